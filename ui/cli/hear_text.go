package cli

import (
	"fmt"
	"math"
	"strings"
	"text/tabwriter"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/ladder"
	"footing/ui/expect"
)

// heard is what the command has to say.
type heard struct {
	take
	File    string
	Source  string // of the grid: given, routine, found, or empty without one
	Step    string // of the routine, or empty
	placed  bool   // the player said where the grid begins
	finding hear.Finding
	rung    expect.Rung
	Report  hear.Report
}

// text is the result in words.
func (h heard) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", h.File, h.summary())
	if h.finding.Ambiguous {
		fmt.Fprintf(&b, "%s\n%s", h.finding.Sentence, h.candidates())
	} else if h.Source == "found" {
		fmt.Fprintln(&b, h.finding.Sentence)
	}
	if h.Report.Reps > 0 {
		if s := h.removed(); s != "" {
			fmt.Fprintln(&b, s)
		}
		b.WriteString("\n" + h.slotTable() + "\n" + h.changeTable() + "\n")
		fmt.Fprintln(&b, h.split())
	}
	fmt.Fprintln(&b, h.Report.Sentence)
	if w := h.Report.Weak; w != nil {
		fmt.Fprintln(&b, surely(*w))
	}
	if c := h.Report.Cut; c != nil {
		fmt.Fprintln(&b, c.Sentence())
		if chunk, ok := h.chunk(); ok {
			fmt.Fprintf(&b, "In the routine: %s\n", chunkWords(chunk))
		}
	}
	return b.String()
}

// summary is one line about the take: its length, its notes and its grid.
func (h heard) summary() string {
	const rate = 1000
	out := fmt.Sprintf("%s, %s", clockTime(int64(h.hearing.Seconds*rate), rate), plural(len(h.onsets), "note", "notes"))
	if h.Report.HasGrid {
		out += ", " + h.gridWords(", ")
	}
	return out
}

// gridWords is the grid and how much was played on it.
func (h heard) gridWords(sep string) string {
	g := h.Report.Grid
	words := []string{}
	if h.Step != "" {
		words = append(words, h.Step)
	}
	words = append(words, number(g.BPM)+" bpm", plural(g.SlotsPerBeat, "slot a beat", "slots a beat"))
	if h.regular() {
		words = append(words, plural(h.Report.Reps, "beat", "beats"))
	} else {
		words = append(words, plural(h.Report.Reps, "rep", "reps"))
	}
	return strings.Join(words, sep)
}

// regular reports whether each beat counts as a rep.
func (h heard) regular() bool { return len(h.Report.Grid.Places) == 0 }

// candidates lists the grids that would do, as they are asked for.
func (h heard) candidates() string {
	var b strings.Builder
	for _, c := range h.finding.Candidates {
		fmt.Fprintf(&b, "  --tempo %s --slots %d\n", number(c.Grid.BPM), c.Grid.SlotsPerBeat)
	}
	return b.String()
}

// removed says what was taken out before anything was measured.
func (h heard) removed() string {
	r := h.Report
	var parts []string
	// Where the grid was laid by the notes themselves, the offset says nothing.
	if h.placed && math.Abs(r.OffsetMs) >= 0.5 {
		word := "late"
		if r.OffsetMs < 0 {
			word = "early"
		}
		parts = append(parts, fmt.Sprintf("lies %s ms %s on the grid", number(math.Round(math.Abs(r.OffsetMs))), word))
	}
	if math.Abs(r.DriftMsPerMinute) >= 0.5 {
		word := "falls behind"
		if r.DriftMsPerMinute < 0 {
			word = "runs ahead"
		}
		parts = append(parts, fmt.Sprintf("%s by %s ms a minute", word, number(math.Round(math.Abs(r.DriftMsPerMinute)))))
	}
	if len(parts) == 0 {
		return ""
	}
	return "The whole take " + strings.Join(parts, " and ") + ", which is taken out here."
}

// slotTable is a line for each slot.
func (h heard) slotTable() string {
	r := h.Report
	labels := h.labels()
	return table(func(row func(cells ...string)) {
		row("slot", "count", "mean", "spread", "notes", "missed", "doubled")
		for _, s := range r.Slots {
			label := ""
			if s.Slot <= len(labels) {
				label = labels[s.Slot-1]
			}
			if r.Grid.Landing && s.Slot == len(r.Slots) {
				label = "landing"
			}
			mean, spread := "", ""
			if s.Notes > 0 {
				mean, spread = signedMs(s.MeanMs), fmt.Sprintf("%.0f ms", s.SpreadMs)
			}
			row(fmt.Sprint(s.Slot), label, mean, spread, fmt.Sprint(s.Notes), unlessNone(s.Missed), unlessNone(s.Doubled))
		}
	})
}

// changeTable is a line for each change between neighbours.
func (h heard) changeTable() string {
	r := h.Report
	return table(func(row func(cells ...string)) {
		row("change", "than even", "spread", "")
		for _, c := range r.Changes {
			from, to, weak := fmt.Sprint(c.FromSlot), fmt.Sprint(c.ToSlot), ""
			if w := r.Weak; w != nil && w.FromSlot == c.FromSlot && w.ToSlot == c.ToSlot {
				weak = "<- the weak change"
			}
			if c.Count == 0 {
				row(from+" to "+to, "", "", weak)
				continue
			}
			row(from+" to "+to, longer(c.MeanMs), fmt.Sprintf("%.0f ms", c.SpreadMs), weak)
		}
	})
}

// split says how much of the unevenness is habit and how much is chance.
func (h heard) split() string {
	r := h.Report
	unit := "rep to rep"
	if h.regular() {
		unit = "beat to beat"
	}
	return fmt.Sprintf("The same every time: %.1f ms. Changing from %s: %.1f ms. An ear tells %.0f ms at this tempo.",
		r.SystematicMs, unit, r.InstabilityMs, r.JNDMs)
}

// surely says how likely chance would show as much.
func surely(w hear.WeakChange) string {
	effect := fmt.Sprintf("That is %.1f times its own spread", math.Abs(w.Effect))
	if math.Abs(w.Effect) >= 20 {
		effect = "That is far beyond its own spread"
	}
	switch {
	case w.P < 0.001:
		return effect + "; by chance, an even player would show as much in fewer than 1 take of 1000."
	case w.P < 1:
		return fmt.Sprintf("%s; by chance, an even player would show as much in about 1 take of %.0f.", effect, math.Max(2, 1/w.P))
	}
	return effect + "."
}

// labels is what is counted on the slots.
func (h heard) labels() []string {
	if h.Source == "routine" {
		return h.rung.Labels()
	}
	var out []string
	n := h.Report.Grid.SlotsPerBeat
	for i := range n {
		out = append(out, click.CountNumber.Syllable(n, i, 1))
	}
	return out
}

// chunk is what to cut out as a chunk of the routine's step.
func (h heard) chunk() (ladder.Chunk, bool) {
	if h.Source != "routine" || h.Report.Cut == nil {
		return ladder.Chunk{}, false
	}
	return h.rung.Chunk(*h.Report.Cut)
}

// chunkWords is a chunk as a routine file has it.
func chunkWords(c ladder.Chunk) string {
	return fmt.Sprintf("chunk: {start: %q, beats: %s, landing: %v}", chunkStart(c), c.Length, c.Landing)
}

// chunkStart is where a chunk starts, as bar:beat.
func chunkStart(c ladder.Chunk) string {
	return fmt.Sprintf("%d:%s", c.Bar, c.At.Add(click.Whole(1)))
}

// table lines cells up, the figures to the right.
func table(fill func(row func(cells ...string))) string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 3, ' ', tabwriter.AlignRight)
	fill(func(cells ...string) { fmt.Fprintln(w, strings.Join(cells, "\t")+"\t") })
	w.Flush() // into memory: it cannot fail
	lines := strings.Split(b.String(), "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return strings.Join(lines, "\n")
}

func signedMs(ms float64) string {
	if r := math.Round(ms); r != 0 {
		return fmt.Sprintf("%+.0f ms", r)
	}
	return "0 ms"
}

// longer words a change: by how much its step is longer or shorter than even.
func longer(ms float64) string {
	switch r := math.Round(ms); {
	case r > 0:
		return fmt.Sprintf("%.0f ms longer", r)
	case r < 0:
		return fmt.Sprintf("%.0f ms shorter", -r)
	}
	return "even"
}

func unlessNone(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

// number writes a number with at most two decimals.
func number(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
