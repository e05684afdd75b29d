package hearing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"footing/audio/judge"
	"footing/audio/stat"
)

// Sentence is what a teacher would say about a take that was judged.
func Sentence(r judge.Report) string {
	t := teller{Report: r}
	if r.Outcome == "" {
		return t.plain()
	}
	said := t.outcome()
	if m := t.mishaps(); m != "" {
		said += " " + m
	}
	return said
}

// teller puts a report into words.
type teller struct {
	judge.Report
	rung Rung // by which changes are named; the zero value names none
}

// plain is for notes that were not judged.
func (t teller) plain() string {
	switch n := len(t.Notes); n {
	case 0:
		return "No note was heard."
	case 1:
		return "One note was heard."
	default:
		return fmt.Sprintf("%d notes were heard.", n)
	}
}

func (t teller) outcome() string {
	switch t.Outcome {
	case judge.Habit:
		return t.habit()
	case judge.TooLittle:
		return "Too little was heard on the grid to say anything about evenness."
	case judge.PerhapsHabit, judge.UnsteadySoFar, judge.ChanceSoFar, judge.EvenSoFar:
		return t.soFar()
	case judge.EntryOff:
		return "No change stands out, but " + t.entry() + "."
	}
	if len(t.Slots) == 1 {
		return t.pulse()
	}
	if s, ok := t.unsteadiest(); ok {
		return fmt.Sprintf("No change stands out, but the %s note is never twice the same: it lands about %s ms to either side.", ordinal(s.Slot), round(s.SpreadMs))
	}
	if t.Outcome == judge.Unsteady {
		return fmt.Sprintf("No one change is to blame: the notes land about %s ms to either side, now early, now late.", round(t.InstabilityMs))
	}
	seldom := t.seldom()
	even := "Even"
	if seldom != "" || float64(len(t.Missed)) > muchMissed*float64(len(t.Notes)) || slices.ContainsFunc(t.Slots, func(s judge.SlotStat) bool { return s.Notes == 0 && s.Missed > 0 }) {
		even = "What was heard is even"
	}
	if t.Outcome == judge.EvenByChance {
		return fmt.Sprintf("%s, as far as %s can tell: no change stands out by more than chance would have it.%s", even, t.reps(), seldom)
	}
	return fmt.Sprintf("%s: no change stands out by more than an ear can tell at this tempo (about %s ms).%s", even, round(t.JNDMs), seldom)
}

// What is missing of the notes, as a share, for a take not to be called even as a
// whole; and by how many times a slot's spread exceeds the others' for it not to
// be called even either, where it is beyond what an ear can tell twice over.
const (
	muchMissed  = 0.1
	farUnsteady = 2.5
)

// unsteadiest is the slot whose notes scatter far more than those of the others,
// if there is one.
func (t teller) unsteadiest() (judge.SlotStat, bool) {
	for i, s := range t.Slots {
		var others []float64
		for j, o := range t.Slots {
			if j != i && o.Notes > judge.FewReps {
				others = append(others, o.SpreadMs)
			}
		}
		if len(others) > 1 && s.Notes > judge.FewReps && s.SpreadMs > 2*t.JNDMs && s.SpreadMs > farUnsteady*stat.Median(others) {
			return s, true
		}
	}
	return judge.SlotStat{}, false
}

// habit tells of the weak change, and of the next thing that comes back in
// every rep.
func (t teller) habit() string {
	w := t.Weak
	said := capital(t.describe(w.FromSlot, w.ToSlot, w.LateMs, w.CatchesUp)) + "."
	if t.Entry != nil {
		return said + " " + capital(t.entry()) + " as well."
	}
	if d := t.Also; d != nil {
		too := lateOrEarly(d.LateMs)
		if d.LateMs*w.LateMs > 0 {
			too += " too"
		}
		said += fmt.Sprintf(" %s is %s, by about %s ms.", capital(t.change(d.FromSlot, d.ToSlot)), too, round(math.Abs(d.LateMs)))
	}
	return said
}

// entry tells of a first note that comes in late or early after every breath.
func (t teller) entry() string {
	late := t.Entry.LateMs
	return fmt.Sprintf("the first note of each rep comes in %s by about %s ms", lateOrEarly(late), round(math.Abs(late)))
}

// soFar is for a take of too few reps.
func (t teller) soFar() string {
	from := "one " + t.group()
	if t.Reps > 1 {
		from = "only " + t.reps()
	}
	switch t.Outcome {
	case judge.PerhapsHabit:
		d := t.Perhaps
		return fmt.Sprintf("I cannot tell yet from %s: perhaps %s. Play it a few more times.",
			from, t.describe(d.FromSlot, d.ToSlot, d.LateMs, false))
	case judge.UnsteadySoFar:
		return fmt.Sprintf("I cannot tell a habit from %s: the notes land about %s ms to either side. Play it a few more times.",
			from, round(t.InstabilityMs))
	case judge.ChanceSoFar:
		return fmt.Sprintf("Nothing stands out by more than chance would have it, but I cannot tell from %s: play it a few more times.", from)
	}
	return fmt.Sprintf("It sounds even so far, but I cannot tell from %s: play it a few more times.", from)
}

// pulse is for one note a beat, where there are no slots to compare.
func (t teller) pulse() string {
	if t.Outcome == judge.Unsteady {
		return fmt.Sprintf("The notes land about %s ms to either side of the beat, now early, now late.", round(t.InstabilityMs))
	}
	return fmt.Sprintf("Even: the notes land within what an ear can tell at this tempo (about %s ms).", round(t.JNDMs))
}

// seldom tells of a slot with too few notes to judge, though there are reps enough.
func (t teller) seldom() string {
	n, which := 0, judge.SlotStat{}
	for _, s := range t.Slots {
		if s.Notes <= judge.FewReps && s.Missed > 0 {
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
func (t teller) group() string {
	if t.Grid.Regular() && t.Grid.Cycle == 0 {
		return "beat"
	}
	return "rep"
}

func (t teller) reps() string { return things(t.Reps, t.group(), t.group()+"s") }

// describe words one change and how it comes.
func (t teller) describe(from, to int, late float64, catchesUp bool) string {
	change, comma := t.change(from, to), ""
	switch {
	case strings.HasSuffix(change, "landing"):
		comma = ","
	case strings.HasPrefix(change, "the change"):
	case t.Reps > 1 && t.Grid.Regular() && t.Grid.Cycle == 0:
		change += " in each beat"
	case t.Reps > 1:
		change += " in each rep"
	}
	after := "hurries to catch up"
	if late < 0 {
		after = "waits for the beat"
	}
	said := fmt.Sprintf("%s%s comes %s by about %s ms", change, comma, lateOrEarly(late), round(math.Abs(late)))
	if catchesUp {
		said += ", and the one after " + after
	}
	return said
}

// change names a change by where it lies.
func (t teller) change(from, to int) string {
	if name := t.noted(from, to); name != "" {
		return name
	}
	switch {
	case t.Grid.Regular() && to <= from && len(t.Slots) == 1:
		return "the change to the next beat"
	case t.Grid.Cycle > 0 && to <= from:
		return "the change back to the first note"
	case t.Grid.Regular() && to <= from:
		return "the change across to the next beat"
	case t.Grid.Landing && to == len(t.Slots):
		return "the last change, onto the landing"
	}
	return fmt.Sprintf("the %s change", ordinal(from))
}

// mishaps tells of notes that were missed, doubled or extra.
func (t teller) mishaps() string {
	var parts []string
	tell := func(n int, one, many string, of func(judge.SlotStat) int) {
		if n == 0 {
			return
		}
		worst, most := 0, 1
		for _, s := range t.Slots {
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
	tell(len(t.Missed), "note is missing", "notes are missing", func(s judge.SlotStat) int { return s.Missed })
	tell(t.Doubled, "note sounds double", "notes sound double", func(s judge.SlotStat) int { return s.Doubled })
	tell(t.Extra-t.Outside, "note lies between the slots", "notes lie between the slots", func(judge.SlotStat) int { return 0 })
	tell(t.Outside, "sound outside the reps is left out", "sounds outside the reps are left out", func(judge.SlotStat) int { return 0 })
	if len(parts) == 0 {
		return ""
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// lateOrEarly is the word for a deviation.
func lateOrEarly(ms float64) string {
	if ms < 0 {
		return "early"
	}
	return "late"
}

// cutSentence says which chunk to cut out around the weak change, which there
// is.
func cutSentence(r judge.Report) string {
	c := r.Cut
	switch {
	case c.Beats <= 0:
		return fmt.Sprintf("Cut out slots %d and %d and land on slot %d.", c.FromSlot, c.ToSlot, c.Landing)
	case r.Grid.Regular() && c.Beats == 1:
		return "Cut out the beat around it and land on the next."
	case r.Grid.Regular():
		return fmt.Sprintf("Cut out the %s beats that it joins and land on the next.", count(c.Beats))
	case c.Beats == 1:
		return fmt.Sprintf("Cut out the %s beat around it and land on the note after.", ordinal(c.FirstBeat))
	}
	return fmt.Sprintf("Cut out %s beats around it, from the %s, and land on the note after.", count(c.Beats), ordinal(c.FirstBeat))
}
