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
	return t.judged()
}

// teller puts a report into words.
type teller struct {
	judge.Report
	rung Rung // by which changes are named; the zero value names none
}

// judged tells of notes that were judged: what came of it and what went amiss. Where
// much was not heard, that comes first.
func (t teller) judged() string {
	said, amiss := t.outcome(), t.mishaps()
	if t.much() {
		return t.unheard() + " " + said + amiss
	}
	return said + amiss
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
	doubtful, doubt := t.doubtful()
	if said := t.strays(); said != "" && !doubt {
		return said
	}
	if t.Outcome == judge.Unsteady {
		return fmt.Sprintf("No one change is to blame: the notes land about %s ms to either side, now early, now late.", round(t.InstabilityMs))
	}
	if doubt {
		return fmt.Sprintf("I cannot tell whether it is even: the %s note lies about %s ms off the others, which in this take may be the ears' doing. Record it once more, close to the microphone.",
			ordinal(doubtful.Slot), round(math.Abs(doubtful.MeanMs)))
	}
	seldom := t.seldom()
	even, than := "Even: no change stands out", fmt.Sprintf("an ear can tell at this tempo (about %s ms)", round(t.JNDMs))
	if t.Outcome == judge.EvenByChance {
		even, than = fmt.Sprintf("Even, as far as %s can tell: no change stands out", t.reps()), "chance would have it"
	}
	if seldom != "" || t.much() {
		even = "In what was heard no change stands out"
	}
	return fmt.Sprintf("%s by more than %s.%s", even, than, seldom)
}

// What was not heard of the notes, as a share, for a take not to be called even as a
// whole; and by how many times a slot's spread exceeds the others' for it not to
// be called even either, where it is beyond what an ear can tell twice over.
const (
	muchMissed  = 0.1
	farUnsteady = 2.5
)

// much tells whether much of the take was not heard: a part of all notes, or all of a
// slot's.
func (t teller) much() bool {
	return float64(len(t.Missed)) > muchMissed*float64(t.expected()) ||
		slices.ContainsFunc(t.Slots, func(s judge.SlotStat) bool { return s.Notes == 0 && s.Missed > 0 })
}

// expected is how many notes the reps that were heard have.
func (t teller) expected() int {
	n := len(t.Missed)
	for _, s := range t.Slots {
		n += s.Notes
	}
	return n
}

// deviations are those of a slot's notes, in milliseconds, and how well these are
// placed.
func (t teller) deviations(slot int) (ms []float64, placed float64) {
	for _, n := range t.Notes {
		if n.Slot == slot && n.Kind == judge.Played {
			ms = append(ms, n.DeviationMs)
			placed += n.PlacedMs * n.PlacedMs
		}
	}
	return ms, math.Sqrt(placed / float64(max(1, len(ms))))
}

// middle is the spread of most values, in which a few that lie far off weigh nothing.
func middle(values []float64) float64 {
	m := stat.Median(values)
	var off []float64
	for _, v := range values {
		off = append(off, math.Abs(v-m))
	}
	return 1.4826 * stat.Median(off)
}

// spreads are those of the slots that were heard often enough to judge, without one.
func (t teller) spreads(but int) (out []float64) {
	for _, s := range t.Slots {
		if s.Slot != but && s.Notes > judge.FewReps {
			out = append(out, s.SpreadMs)
		}
	}
	return out
}

// wide tells whether a spread is beyond what an ear can tell, and far beyond those of
// the other slots.
func (t teller) wide(ms float64, others []float64) bool {
	return len(others) > 1 && ms > 2*t.JNDMs && ms > farUnsteady*stat.Median(others)
}

// unsteadiest is the slot whose notes scatter far more than those of the others,
// if there is one: most of them, and farther than the ears may have put them.
func (t teller) unsteadiest() (judge.SlotStat, bool) {
	for _, s := range t.Slots {
		ms, placed := t.deviations(s.Slot)
		if s.Notes > judge.FewReps && t.wide(s.SpreadMs, t.spreads(s.Slot)) && t.wide(middle(ms), t.spreads(s.Slot)) && s.SpreadMs > 2*placed {
			return s, true
		}
	}
	return judge.SlotStat{}, false
}

// strays tells of a few notes that lie far off the others of their slot, where but
// for them the slot would be as steady as the rest, or of a slot that scatters no
// farther than the ears may have put it; empty without any.
func (t teller) strays() string {
	var all []float64
	var wide judge.SlotStat
	for _, s := range t.Slots {
		ms, _ := t.deviations(s.Slot)
		m := stat.Median(ms)
		for _, v := range ms {
			all = append(all, v-m)
		}
		if s.Notes > judge.FewReps && t.wide(s.SpreadMs, t.spreads(s.Slot)) && s.SpreadMs > wide.SpreadMs {
			wide = s
		}
	}
	usual := middle(all)
	if wide.Slot == 0 && (t.Outcome != judge.Unsteady || usual > 2*t.JNDMs) {
		return ""
	}
	n, where := 0, map[int]int{}
	for _, s := range t.Slots {
		ms, _ := t.deviations(s.Slot)
		m := stat.Median(ms)
		for _, v := range ms {
			if math.Abs(v-m) > max(3*usual, 2*t.JNDMs) {
				n++
				where[s.Slot]++
			}
		}
	}
	switch {
	case n == 0 && wide.Slot == 0:
		return ""
	case n == 0:
		return fmt.Sprintf("No change stands out, but the %s note is less steady than the others, by about %s ms to either side, which in this take may be the ears' doing.",
			ordinal(wide.Slot), round(wide.SpreadMs))
	}
	notes, on := things(n, "note lies", "notes lie"), ""
	for slot := range where {
		if len(where) == 1 {
			on = fmt.Sprintf(" on the %s slot", ordinal(slot))
		}
	}
	return fmt.Sprintf("No change stands out, but %s far off%s: slips, or the ears' mistakes.", notes, on)
}

// doubtful is the slot that lies farthest off the others, by far more than an ear can
// tell and more than its own spread explains, though it could not be called a habit.
func (t teller) doubtful() (judge.SlotStat, bool) {
	best := judge.SlotStat{}
	for _, s := range t.Slots {
		off := math.Abs(s.MeanMs)
		ms, _ := t.deviations(s.Slot)
		if s.Notes > judge.FewReps && off > max(2*t.JNDMs, 4*middle(ms)/math.Sqrt(float64(s.Notes))) && off > math.Abs(best.MeanMs) {
			best = s
		}
	}
	return best, best.Slot > 0
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
	what := "It"
	if t.much() {
		what = "What was heard"
	}
	return fmt.Sprintf("%s sounds even so far, but I cannot tell from %s: play it a few more times.", what, from)
}

// pulse is for one note a beat, where there are no slots to compare.
func (t teller) pulse() string {
	if t.Outcome == judge.Unsteady {
		return fmt.Sprintf("The notes land about %s ms to either side of the beat, now early, now late.", round(t.InstabilityMs))
	}
	even := "Even: the notes land"
	if t.much() {
		even = "Those that were heard land"
	}
	return fmt.Sprintf("%s within what an ear can tell at this tempo (about %s ms).", even, round(t.JNDMs))
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

// unheard tells how much was not heard, and where most of it.
func (t teller) unheard() string {
	n := len(t.Missed)
	return fmt.Sprintf("%s of %s notes %s not heard%s.", capital(count(n)), count(t.expected()), wasOrWere(n), t.mostly(n, func(s judge.SlotStat) int { return s.Missed }))
}

func wasOrWere(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// mostly says on which slot most of n things lie; empty where they lie on several
// alike.
func (t teller) mostly(n int, of func(judge.SlotStat) int) string {
	worst, most := 0, 1
	for _, s := range t.Slots {
		switch k := of(s); {
		case k > most:
			worst, most = s.Slot, k
		case k == most:
			worst = 0
		}
	}
	switch {
	case worst == 0:
		return ""
	case most == n && n == 2:
		return fmt.Sprintf(", both on the %s slot", ordinal(worst))
	case most == n:
		return fmt.Sprintf(", all on the %s slot", ordinal(worst))
	}
	return fmt.Sprintf(", %s of them on the %s slot", count(most), ordinal(worst))
}

// mishaps tells of notes that were not heard, doubled or extra, each sentence after a
// space.
func (t teller) mishaps() string {
	var parts []string
	tell := func(n int, one, many string, of func(judge.SlotStat) int) {
		if n > 0 {
			parts = append(parts, things(n, one, many)+t.mostly(n, of))
		}
	}
	none := func(judge.SlotStat) int { return 0 }
	if !t.much() {
		tell(len(t.Missed), "note was not heard", "notes were not heard", func(s judge.SlotStat) int { return s.Missed })
	}
	tell(t.Doubled, "note sounds double", "notes sound double", func(s judge.SlotStat) int { return s.Doubled })
	tell(t.Extra-t.Outside, "note lies between the slots", "notes lie between the slots", none)
	tell(t.Outside, "sound outside the reps is left out", "sounds outside the reps are left out", none)
	if len(parts) == 0 {
		return ""
	}
	return " " + capital(strings.Join(parts, "; ")) + "."
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
