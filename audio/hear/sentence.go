package hear

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// plainSentence is for a report without a grid.
func plainSentence(notes int) string {
	switch notes {
	case 0:
		return "No note was heard."
	case 1:
		return "One note was heard."
	}
	return fmt.Sprintf("%d notes were heard.", notes)
}

// sentence is what a teacher would say about the take.
func (e *evenness) sentence() string {
	said := e.verdict()
	if m := e.mishaps(); m != "" {
		said += " " + m
	}
	return said
}

func (e *evenness) verdict() string {
	r := e.r
	if r.Weak != nil {
		return e.habit(r.Weak)
	}
	s, ok := e.foremost()
	notes := 0
	for _, v := range e.values {
		notes += len(v)
	}
	if !ok || notes < 3 {
		return "Too little was heard on the grid to say anything about evenness."
	}
	if r.Reps <= fewReps {
		return e.hedge(s)
	}
	if e.slotN == 1 {
		return e.pulse()
	}
	if entry := e.entry(); entry != "" {
		return "No change stands out, but " + entry + "."
	}
	if r.InstabilityMs > 2*r.JNDMs {
		return fmt.Sprintf("No one change is to blame: the notes land about %s ms to either side, now early, now late.", round(r.InstabilityMs))
	}
	seldom := e.seldom()
	even := "Even"
	if seldom != "" || slices.ContainsFunc(r.Slots, func(s SlotStat) bool { return s.Notes == 0 && s.Missed > 0 }) {
		even = "What was heard is even"
	}
	if s.n > fewReps && math.Abs(s.late) > r.JNDMs {
		return fmt.Sprintf("%s, as far as %s can tell: no change stands out by more than chance would have it.%s", even, e.reps(), seldom)
	}
	return fmt.Sprintf("%s: no change stands out by more than an ear can tell at this tempo (about %s ms).%s", even, round(r.JNDMs), seldom)
}

// habit tells of the weak change, and of the next thing that comes back in
// every rep.
func (e *evenness) habit(w *WeakChange) string {
	said := capital(e.describe(w.FromSlot, w.ToSlot, w.LateMs, w.CatchesUp)) + "."
	if entry := e.entry(); entry != "" {
		return said + " " + capital(entry) + " as well."
	}
	if s, ok := e.second(w); ok {
		into := e.into(s.slot)
		too := "early"
		if s.late > 0 {
			too = "late"
		}
		if s.late*w.LateMs > 0 {
			too += " too"
		}
		said += fmt.Sprintf(" %s is %s, by about %s ms.", capital(e.change(into.FromSlot, into.ToSlot)), too, round(math.Abs(s.late)))
	}
	return said
}

// entry tells of a first note that comes in late or early after every breath:
// no change leads into it.
func (e *evenness) entry() string {
	for _, s := range e.standings() {
		if e.into(s.slot) != nil || !e.surely(s) {
			continue
		}
		word := "late"
		if s.late < 0 {
			word = "early"
		}
		return fmt.Sprintf("the first note of each rep comes in %s by about %s ms", word, round(math.Abs(s.late)))
	}
	return ""
}

// hedge is for a take of too few reps.
func (e *evenness) hedge(s standing) string {
	r := e.r
	from := "one " + e.group()
	if r.Reps > 1 {
		from = "only " + e.reps()
	}
	// Beyond what a practised player's notes scatter by, about this much
	// (common practice, no source), or beyond what they scatter by here.
	const scatter = 10.0
	chance := 2 * max(scatter, r.InstabilityMs) / math.Sqrt(float64(s.n))
	switch {
	case math.Abs(s.late) >= math.Hypot(e.bound(s.slot), chance):
		into := e.into(s.slot)
		return fmt.Sprintf("I can't tell yet from %s: perhaps %s. Play it a few more times.",
			from, e.describe(into.FromSlot, into.ToSlot, s.late, false))
	case r.InstabilityMs > 2*r.JNDMs:
		return fmt.Sprintf("I can't tell a habit from %s: the notes land about %s ms to either side. Play it a few more times.",
			from, round(r.InstabilityMs))
	case math.Abs(s.late) >= e.bound(s.slot):
		return fmt.Sprintf("Nothing stands out by more than chance would have it, but I can't tell from %s: play it a few more times.", from)
	}
	return fmt.Sprintf("It sounds even so far, but I can't tell from %s: play it a few more times.", from)
}

// pulse is for one note a beat, where there are no slots to compare.
func (e *evenness) pulse() string {
	r := e.r
	if r.InstabilityMs > r.JNDMs {
		return fmt.Sprintf("The notes land about %s ms to either side of the beat, now early, now late.", round(r.InstabilityMs))
	}
	return fmt.Sprintf("Even: the notes land within what an ear can tell at this tempo (about %s ms).", round(r.JNDMs))
}

// seldom tells of a slot with too few notes to judge, though there are reps enough.
func (e *evenness) seldom() string {
	n, which := 0, SlotStat{}
	for _, s := range e.r.Slots {
		if s.Notes <= fewReps && s.Missed > 0 {
			n++
			which = s
		}
	}
	times := count(which.Notes) + " times"
	switch {
	case n == 0:
		return ""
	case n > 1:
		return fmt.Sprintf(" %s slots were heard too seldom to judge.", capital(count(n)))
	case which.Notes == 0:
		return "" // the missing notes are told of in any case
	case which.Notes == 1:
		times = "once"
	case which.Notes == 2:
		times = "twice"
	}
	return fmt.Sprintf(" The %s slot was heard only %s, too seldom to judge.", ordinal(which.Slot), times)
}

// group is what comes back: each beat of an endless grid, each rep of a step.
func (e *evenness) group() string {
	if len(e.r.Grid.Places) == 0 {
		return "beat"
	}
	return "rep"
}

func (e *evenness) reps() string { return things(e.r.Reps, e.group(), e.group()+"s") }

// describe words one change and how it comes.
func (e *evenness) describe(from, to int, late float64, catchesUp bool) string {
	change, comma := e.change(from, to), ""
	switch {
	case strings.HasSuffix(change, "landing"):
		comma = ","
	case strings.HasPrefix(change, "the change"):
	case e.r.Reps > 1 && len(e.r.Grid.Places) == 0:
		change += " in each group"
	case e.r.Reps > 1:
		change += " in each rep"
	}
	how, after := "late", "hurries to catch up"
	if late < 0 {
		how, after = "early", "waits for the beat"
	}
	said := fmt.Sprintf("%s%s comes %s by about %s ms", change, comma, how, round(math.Abs(late)))
	if catchesUp {
		said += ", and the one after " + after
	}
	return said
}

// change names a change by where it lies.
func (e *evenness) change(from, to int) string {
	switch {
	case len(e.r.Grid.Places) == 0 && to <= from && e.slotN == 1:
		return "the change to the next beat"
	case len(e.r.Grid.Places) == 0 && to <= from:
		return "the change across to the next beat"
	case e.r.Grid.Landing && to == e.slotN:
		return "the last change, onto the landing"
	}
	return fmt.Sprintf("the %s change", ordinal(from))
}

// mishaps tells of notes that were missed, doubled or extra.
func (e *evenness) mishaps() string {
	var parts []string
	tell := func(n int, one, many string, of func(SlotStat) int) {
		if n == 0 {
			return
		}
		worst, most := 0, 1
		for _, s := range e.r.Slots {
			if k := of(s); k > most {
				worst, most = s.Slot, k
			}
		}
		p := things(n, one, many)
		switch {
		case worst != 0 && most == n && n == 2:
			p += fmt.Sprintf(", both on the %s slot", ordinal(worst))
		case worst != 0 && most == n:
			p += fmt.Sprintf(", all on the %s slot", ordinal(worst))
		case worst != 0:
			p += fmt.Sprintf(", %s of them on the %s slot", count(most), ordinal(worst))
		}
		parts = append(parts, p)
	}
	tell(len(e.r.Missed), "note is missing", "notes are missing", func(s SlotStat) int { return s.Missed })
	tell(e.r.Doubled, "note sounds double", "notes sound double", func(s SlotStat) int { return s.Doubled })
	tell(e.r.Extra, "note lies between the slots", "notes lie between the slots", func(SlotStat) int { return 0 })
	if len(parts) == 0 {
		return ""
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// Sentence says which chunk to cut.
func (c Chunk) Sentence() string {
	if c.Beats <= 0 {
		return fmt.Sprintf("Cut out slots %d and %d and land on slot %d.", c.FromSlot, c.ToSlot, c.Landing)
	}
	switch {
	case c.endless && c.Beats == 1:
		return "Cut out the beat around it and land on the next."
	case c.endless:
		return fmt.Sprintf("Cut out the %s beats that it joins and land on the next.", count(c.Beats))
	case c.Beats == 1:
		return fmt.Sprintf("Cut out the %s beat around it and land on the note after.", ordinal(c.FirstBeat))
	}
	return fmt.Sprintf("Cut out %s beats around it, from the %s, and land on the note after.", count(c.Beats), ordinal(c.FirstBeat))
}

// Sentence says in plain words why a take holds nothing to judge, or what is
// wrong with it; it is empty when nothing is.
func (h Hearing) Sentence() string {
	switch {
	case h.Seconds == 0:
		return "The take is empty."
	case h.Peak < math.Pow(10, silenceDB/20.0):
		return "The take is silent: check that the microphone was on and its level up."
	case h.Notes == 0 && h.Pitched < 0.05:
		return "No note was heard: what sounds here has no pitch."
	case h.Notes == 0:
		return "No note was heard to begin."
	case h.Notes == 1:
		return "Only one held note was heard: evenness needs several."
	case h.Clipped > 0.001:
		return "The recording is overloaded in places, so onsets are less sure: turn the level down and move back a little."
	}
	return ""
}
