package passage

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// findOrder plays the score's repeats and jumps out into Order, of at most so
// many bars. After MusicXML 4.0's repeat, ending and sound elements:
//
//   - A backward repeat goes back to the last forward repeat, else behind the last
//     backward repeat that is done, else to the beginning; Times counts outside
//     endings only.
//   - An ending is played on the passes that it names. A lone one is left out on
//     the next pass. Behind the last ending of a group the section is over.
//   - A jump is made at the end of its bar, after the bar's repeats: DaCapo and
//     DalSegno the first time, ToCoda and Fine after a jump only. Only overrides,
//     counting how often the bar has been played.
//   - After a jump, repeats are left out unless they say AfterJump, and of endings
//     the last is played.
func (s *Score) findOrder(most int) error {
	w := newJourney(s)
	s.Order = make([]int, 0, len(w.bars))
	for at := 0; at >= 0 && at < len(w.bars); {
		if at = w.enter(at); at >= len(w.bars) {
			break
		}
		if len(s.Order) >= most || w.left > 100*most {
			return fmt.Errorf("the piece is too long once its repeats are played out: more than %d bars", most)
		}
		s.Order = append(s.Order, at)
		w.played[at]++
		at = w.leave(at)
	}
	s.Unsure = w.unsure
	return nil
}

// waymark is what one bar says of the way, in any part.
type waymark struct {
	forward, backward bool
	times             int
	afterJump         bool
	jumps             []Jump
	ending            int // index of the ending that the bar is in, −1 for none
}

// ending is bars that are played on some passes only.
type ending struct {
	first, last int   // bars
	on          []int // the passes it is played on
	lone, final bool
	*group
}

// group is endings that follow each other.
type group struct {
	passes    int  // the last that any of them names
	afterJump bool // their repeats are taken after a jump
}

// sign is a place that jumps lead to.
type sign struct {
	kind JumpKind
	name string
}

// journey is a place on the way through a score.
type journey struct {
	bars    []waymark
	endings []ending
	signs   map[sign][]int // their bars, in order
	unsure  string

	start    int         // where a backward repeat goes back to
	opened   bool        // a forward repeat stands at start
	doubtful bool        // start is behind a repeat that a forward repeat opened
	pass     int         // through the section from start, from 1
	taken    map[int]int // how often a backward repeat has gone back
	played   []int       // how often each bar has been played
	jumped   bool
	made     map[int]bool // bars whose DaCapo or DalSegno is done
	back     bool         // the bar comes next by a backward repeat
	left     int          // endings left out so far
}

func newJourney(s *Score) *journey {
	w := &journey{pass: 1, taken: map[int]int{}, made: map[int]bool{}, signs: map[sign][]int{}}
	for i := range s.Parts {
		w.read(s.Parts[i].Bars)
	}
	w.played = make([]int, len(w.bars))
	w.findEndings(s)
	for i, b := range w.bars {
		for _, j := range b.jumps {
			if j.Kind == Segno || j.Kind == Coda {
				w.signs[sign{j.Kind, j.Name}] = append(w.signs[sign{j.Kind, j.Name}], i)
			}
		}
	}
	return w
}

// read takes in what a part says, besides what others have said.
func (w *journey) read(bars []Bar) {
	for len(w.bars) < len(bars) {
		w.bars = append(w.bars, waymark{ending: -1})
	}
	for i, b := range bars {
		for _, line := range []struct {
			Barline
			from, to int // the bars that begin behind it and end before it
		}{{b.Left, i, i - 1}, {b.Right, i + 1, i}} {
			switch {
			case line.Repeat == Start && line.from < len(w.bars):
				w.bars[line.from].forward = true
			case line.Repeat == Stop && line.to >= 0:
				m := &w.bars[line.to]
				m.backward = true
				m.times = max(m.times, line.Times)
				m.afterJump = m.afterJump || line.AfterJump
			}
		}
		for _, j := range b.Jumps {
			same := func(k Jump) bool { return k.Kind == j.Kind && k.Name == j.Name }
			if j.Kind == ForwardRepeat {
				w.bars[i].forward = true
			} else if len(w.bars[i].jumps) < maxJumps && !slices.ContainsFunc(w.bars[i].jumps, same) {
				w.bars[i].jumps = append(w.bars[i].jumps, j)
			}
		}
	}
}

// findEndings finds the endings of the first part that has any.
func (w *journey) findEndings(s *Score) {
	for i := range s.Parts {
		if w.endings == nil {
			w.endingsOf(s.Parts[i].Bars)
		}
	}
	type pass struct {
		*group
		n int
	}
	named := map[pass]bool{}
	for i := range w.endings {
		e := &w.endings[i]
		follows := i > 0 && w.endings[i-1].last+1 == e.first
		if e.group = (&group{}); follows {
			e.group = w.endings[i-1].group
		}
		e.final = i+1 == len(w.endings) || e.last+1 != w.endings[i+1].first
		e.lone = e.final && !follows
		e.afterJump = e.afterJump || w.bars[e.last].afterJump
		for bar := e.first; bar <= e.last; bar++ {
			w.bars[bar].ending = i
		}
		for _, n := range e.on {
			if named[pass{e.group, n}] {
				w.doubt("two endings of a group are for the same pass")
			}
			named[pass{e.group, n}] = true
			e.passes = max(e.passes, n)
		}
	}
}

// endingsOf reads a part's endings; one that is not stopped goes on to the next,
// or is of one bar.
func (w *journey) endingsOf(bars []Bar) {
	open := -1
	for i, b := range bars {
		if b.Left.Ending == Start {
			if open >= 0 {
				w.endings[open].last = i - 1
			}
			open = -1
			if len(b.Left.Endings) > 0 {
				open = len(w.endings)
				w.endings = append(w.endings, ending{first: i, last: i, on: b.Left.Endings})
			}
		}
		if b.Right.Ending == Stop || b.Right.Ending == Continue {
			if open < 0 && len(b.Right.Endings) > 0 {
				w.doubt("an ending stops that was not begun")
			}
			if open >= 0 {
				w.endings[open].last = i
			}
			open = -1
		}
	}
}

func (w *journey) doubt(why string) {
	if w.unsure == "" {
		w.unsure = why
	}
}

// enter is the bar that is played where bar at comes next: it itself, or one
// behind endings that are for other passes.
func (w *journey) enter(at int) int {
	back := w.back
	w.back = false
	for at < len(w.bars) {
		b := w.bars[at]
		if b.ending >= 0 && w.endings[b.ending].first == at && !back && !w.plays(b.ending) {
			at = w.endings[b.ending].last + 1
			w.close(b.ending)
			w.left++
			continue
		}
		if b.forward && !back {
			w.begin(at)
			w.opened = true
		}
		return at
	}
	return at
}

// begin makes a bar the first of a section.
func (w *journey) begin(at int) { w.start, w.pass, w.opened, w.doubtful = at, 1, false, false }

// close ends the section behind the last ending of a group, where no other has
// begun within it.
func (w *journey) close(i int) {
	if e := w.endings[i]; e.final && w.start < e.first {
		w.begin(e.last + 1)
	}
}

// plays reports whether an ending is played now.
func (w *journey) plays(i int) bool {
	e := w.endings[i]
	if w.jumped && !e.afterJump {
		return e.final && !(e.lone && w.bars[e.last].backward)
	}
	return slices.Contains(e.on, w.pass)
}

// leave is the bar that comes next behind bar at, −1 at the end.
func (w *journey) leave(at int) int {
	b := w.bars[at]
	if b.backward && w.repeats(at) {
		if w.doubtful {
			w.doubt("a repeat goes back where none begins; it is taken to begin behind the last one that is done")
		}
		w.pass++
		w.back = true
		return w.start
	}
	for _, j := range b.jumps {
		if to, ok := w.jump(at, j); ok {
			return to
		}
	}
	switch {
	case b.ending >= 0 && w.endings[b.ending].last == at:
		w.close(b.ending)
	case b.backward && b.ending < 0:
		opened := w.opened
		w.begin(at + 1)
		w.doubtful = opened
	}
	return at + 1
}

// repeats reports whether a bar's backward repeat is taken now.
func (w *journey) repeats(at int) bool {
	b := w.bars[at]
	if w.jumped && !b.afterJump {
		return false
	}
	if b.ending >= 0 {
		e := w.endings[b.ending]
		return e.passes > w.pass || e.lone && slices.Contains(e.on, w.pass)
	}
	if w.taken[at]+1 >= b.times {
		return false
	}
	w.taken[at]++
	return true
}

// jump is where an instruction leads at a bar's end, −1 for the end of the piece;
// false where it leads nowhere now.
func (w *journey) jump(at int, j Jump) (int, bool) {
	now := slices.Contains(j.Only, w.played[at])
	switch {
	case len(j.Only) > 0:
	case j.Kind == DaCapo || j.Kind == DalSegno:
		now = !w.made[at]
	default:
		now = w.jumped
	}
	if !now {
		return 0, false
	}
	to := -1
	switch j.Kind {
	case DaCapo:
		to = 0
	case DalSegno:
		to = w.find(Segno, j.Name, at)
	case ToCoda:
		to = w.find(Coda, j.Name, at)
	}
	if to < 0 && j.Kind != Fine || j.Kind == Segno || j.Kind == Coda {
		return 0, false
	}
	w.made[at], w.jumped = true, true
	clear(w.taken)
	w.begin(w.sectionOf(to))
	return to, true
}

// find is the bar with a sign of that name: for a segno the last one up to bar
// at, for a coda the next behind it, else the nearest. It is −1 where there is
// none.
func (w *journey) find(kind JumpKind, name string, at int) int {
	bars := w.signs[sign{kind, name}]
	if len(bars) == 0 {
		for _, s := range slices.SortedFunc(maps.Keys(w.signs), func(a, b sign) int { return strings.Compare(a.name, b.name) }) {
			if s.kind == kind && len(bars) == 0 {
				bars = w.signs[s]
				w.doubt("a jump and the sign it leads to have different names")
			}
		}
		if len(bars) == 0 {
			w.doubt("a jump leads to a sign that is not there")
			return -1
		}
		w.signs[sign{kind, name}] = bars
	}
	behind, _ := slices.BinarySearch(bars, at+1)
	if kind == Segno {
		behind--
	}
	return bars[min(max(behind, 0), len(bars)-1)]
}

// sectionOf is where a repeat would go back to that comes behind bar at.
func (w *journey) sectionOf(at int) int {
	for i := at; i > 0; i-- {
		if w.bars[i].forward {
			return i
		}
		if before := w.bars[i-1]; before.backward && before.ending < 0 ||
			before.ending >= 0 && w.endings[before.ending].final && w.endings[before.ending].last == i-1 {
			return i
		}
	}
	return 0
}
