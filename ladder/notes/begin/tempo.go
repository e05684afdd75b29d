package begin

import (
	"fmt"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
)

// startShare is where a ladder begins under a goal that was read, in percent: low
// enough to be easy (common practice, no source).
const startShare = 60

// tempo is the ladder to the metronome mark that is in force where a run begins,
// of the part itself or, where it has none, of another; the usual one where there
// is no mark at all. The remark says what is not as in the score; it is empty
// where all is.
func tempo(s *passage.Score, p *passage.Part, r run) (out ladder.Range, remark string) {
	out = ladder.DefaultStep().Tempo
	quarters := markAt(p, r.full)
	for i := 0; i < len(s.Parts) && quarters == 0; i++ {
		quarters = markAt(&s.Parts[i], r.full)
	}
	if quarters <= 0 {
		return out, ""
	}
	// Beats a minute, whole: nobody sets a metronome finer.
	per := 4000 * int64(r.unit.Num)
	bpm := (quarters*int64(r.unit.Den) + per/2) / per
	goal := click.BPM(int(bpm)).Clamp()
	if goal != click.BPM(int(bpm)) {
		remark = fmt.Sprintf("the score's tempo is %d %s beats a minute: the goal is %s, as far as the click goes", bpm, r.unit, goal)
	}
	out.Goal, out.From = goal, click.BPM(int(goal.BPM()*startShare/100+0.5)).Clamp()
	return out, remark
}

// markAt is the tempo in force at a bar's first note, in thousandths of a quarter
// a minute; 0 for none. What is printed goes before what only players of files are
// told.
func markAt(p *passage.Part, bar int) (now int64) {
	before := func(b int, at passage.Quarters) bool { return b < bar || b == bar && at.Sign() == 0 }
	for _, d := range p.Directions {
		if q := printedMark(d); q > 0 && before(d.Bar, d.At) {
			now = q
		}
	}
	if now > 0 {
		return now
	}
	for _, t := range p.Tempos {
		if before(t.Bar, t.At) {
			now = t.MilliQuarters
		}
	}
	return now
}

// printedMark is the tempo of a metronome mark such as "quarter=c. 72", of a range
// the lower; 0 for all else.
func printedMark(d passage.Direction) int64 {
	unit, text, ok := strings.Cut(d.Text, "=")
	value := map[string]int64{"whole": 4000, "half": 2000, "quarter": 1000, "eighth": 500, "16th": 250}[strings.TrimSpace(unit)]
	if d.Kind != passage.Metronome || !ok || value == 0 {
		return 0
	}
	digit := func(r rune) bool { return r >= '0' && r <= '9' }
	if i := strings.IndexFunc(text, digit); i >= 0 {
		text = text[i:]
	}
	if i := strings.IndexFunc(text, func(r rune) bool { return !digit(r) }); i >= 0 {
		text = text[:i]
	}
	n, err := strconv.ParseInt(text, 10, 32)
	if err != nil {
		return 0
	}
	for dot := value / 2; d.Dots > 0 && dot > 0; d.Dots-- {
		value, dot = value+dot, dot/2
	}
	return n * value
}
