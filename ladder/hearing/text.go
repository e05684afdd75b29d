package hearing

import (
	"fmt"
	"math"
	"strings"
	"text/tabwriter"

	"footing/audio/judge"
	"footing/ladder/counted"
)

// Text is the report in words, in lines, with a table of the slots and one of
// the changes.
func (r Report) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", r.Recording.Name, r.summary())
	if r.Finding.Ambiguous() {
		fmt.Fprintf(&b, "%s\n%s", r.Search, r.candidates())
	} else if r.Source == Found || r.Finding.Otherwise() {
		fmt.Fprintln(&b, r.Search)
	}
	if r.Assumed != "" {
		fmt.Fprintln(&b, r.Assumed)
	}
	if r.Reps > 0 && !r.FitsBadly {
		if s := r.removed(); s != "" {
			fmt.Fprintln(&b, s)
		}
		b.WriteString("\n" + r.slotTable() + "\n" + r.changeTable() + "\n")
		if len(r.Climbed) > 0 {
			b.WriteString(r.climbTable() + "\n")
		}
		fmt.Fprintln(&b, r.split())
		b.WriteString(r.readingWords())
	}
	fmt.Fprintln(&b, r.Sentence)
	if r.Weak != nil {
		fmt.Fprintln(&b, surely(*r.Weak))
	}
	if r.Cut != nil {
		fmt.Fprintln(&b, r.cutSentence())
		if chunk, ok := r.Chunk(); ok {
			fmt.Fprintf(&b, "In the routine: %s\n", chunkWords(chunk))
		}
	}
	return b.String()
}

// SmallPrint is what stands under the sentence where there is little room: the
// chunk to cut, what was taken out before anything was measured, and what makes
// the report less sure.
func (r Report) SmallPrint() string {
	var parts []string
	if r.Cut != nil {
		parts = append(parts, r.cutSentence())
	}
	if chunk, ok := r.Chunk(); ok {
		parts = append(parts, "In the routine: "+chunkWords(chunk)+".")
	}
	if s := r.removed(); s != "" {
		parts = append(parts, s)
	}
	if r.Finding.Ambiguous() || r.Finding.Otherwise() {
		parts = append(parts, r.Search)
	}
	if r.Grid.Cycle > 0 && r.Assumed != "" {
		parts = append(parts, r.Assumed)
	}
	return strings.Join(append(parts, r.Remarks...), " ")
}

// summary is one line about the take: its length, its notes and its grid.
func (r Report) summary() string {
	out := fmt.Sprintf("%s, %s", clock(r.Recording.Hearing.Seconds), counted.As(len(r.Recording.Onsets), "note", "notes"))
	if r.HasGrid {
		out += ", " + r.GridWords(", ")
	}
	return out
}

// GridWords is the grid and how much was played on it, its parts joined by a
// separator; empty without a grid.
func (r Report) GridWords(separator string) string {
	if !r.HasGrid {
		return ""
	}
	var words []string
	if r.Step != "" {
		words = append(words, r.Step)
	}
	words = append(words, r.tempoWords(), counted.As(r.Grid.SlotsPerBeat, "slot a beat", "slots a beat"))
	if r.Grid.Regular() && r.Grid.Cycle == 0 {
		words = append(words, counted.As(r.Reps, "beat", "beats"))
	} else {
		words = append(words, counted.As(r.Reps, "rep", "reps"))
	}
	return strings.Join(words, separator)
}

// candidates lists the grids that would do, as they are asked for.
func (r Report) candidates() string {
	var b strings.Builder
	for _, c := range r.Finding.Candidates {
		fmt.Fprintf(&b, "  --tempo %s --slots %d\n", hundredths(c.Grid.BPM), c.Grid.SlotsPerBeat)
	}
	return b.String()
}

// removed says what was taken out before anything was measured.
func (r Report) removed() string {
	if !r.HasGrid || r.FitsBadly {
		return ""
	}
	var parts []string
	// Where the grid was laid by the notes themselves, the offset says nothing.
	if r.placed && math.Abs(r.OffsetMs) >= 0.5 {
		parts = append(parts, fmt.Sprintf("lies %s ms %s on the grid", round(math.Abs(r.OffsetMs)), lateOrEarly(r.OffsetMs)))
	}
	if math.Abs(r.DriftMsPerMinute) >= 0.5 {
		word := "falls behind"
		if r.DriftMsPerMinute < 0 {
			word = "runs ahead"
		}
		parts = append(parts, fmt.Sprintf("%s by %s ms a minute", word, round(math.Abs(r.DriftMsPerMinute))))
	}
	if len(parts) == 0 {
		return ""
	}
	return "The whole take " + strings.Join(parts, " and ") + ", which is taken out here."
}

// slotTable is a line for each slot.
func (r Report) slotTable() string {
	labels := r.Labels()
	return table(func(row func(cells ...string)) {
		cells := func(slot, name string, rest ...string) {
			if r.rung.known != nil {
				rest = append([]string{name}, rest...)
			}
			row(append([]string{slot}, rest...)...)
		}
		cells("slot", "note", "count", "mean", "spread", "notes", "missed", "doubled")
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
			cells(fmt.Sprint(s.Slot), r.noteName(s.Slot), label, mean, spread, fmt.Sprint(s.Notes), unlessNone(s.Missed), unlessNone(s.Doubled))
		}
	})
}

// changeTable is a line for each change between neighbours.
func (r Report) changeTable() string {
	return table(func(row func(cells ...string)) {
		row("change", "the gap", "spread", "")
		for _, c := range r.Changes {
			change, weak := fmt.Sprintf("%d to %d", c.FromSlot, c.ToSlot), ""
			if from, to := r.noteName(c.FromSlot), r.noteName(c.ToSlot); from != "" && to != "" {
				change = from + " to " + to
			}
			if w := r.Weak; w != nil && w.FromSlot == c.FromSlot && w.ToSlot == c.ToSlot {
				weak = "<- the weak change"
			}
			if c.Count == 0 {
				row(change, "", "", weak)
				continue
			}
			row(change, longer(c.MeanMs), fmt.Sprintf("%.0f ms", c.SpreadMs), weak)
		}
	})
}

// split says how much of the unevenness is habit and how much is chance.
func (r Report) split() string {
	unit := "rep to rep"
	if r.Grid.Regular() && r.Grid.Cycle == 0 {
		unit = "beat to beat"
	}
	said := fmt.Sprintf("The same every time: %.1f ms. Changing from %s: %.1f ms. An ear tells %.0f ms at this tempo.",
		r.SystematicMs, unit, r.InstabilityMs, r.JNDMs)
	if r.EntryMs > 0 {
		said += fmt.Sprintf(" The reps begin within %.0f ms of a steady pulse.", r.EntryMs)
	}
	return said
}

// surely says how likely chance would show as much.
func surely(w judge.WeakChange) string {
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

// longer words a change: by how much its gap is longer or shorter than even.
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
