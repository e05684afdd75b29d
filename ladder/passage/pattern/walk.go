package pattern

import (
	"fmt"
	"slices"

	"footing/ladder/counted"
	"footing/ladder/passage"
)

// way is the line that a pattern walks, in notes of a cycle.
type way struct {
	cycle   cycle
	offsets []int // what is played from each note
	in      Range
	legs    [][2]int // from where to where, none empty, each beginning where the one before ended
}

// way finds where a pattern begins and turns.
func (p Pattern) way() (way, error) {
	if int(p.Figure.Shape) >= len(shapes) || p.Figure.Way > Down {
		return way{}, &Error{InFigure, "there is no such figure", "write one such as scale or thirds up"}
	}
	if p.Octaves < 0 || p.Octaves > MaxOctaves {
		return way{}, &Error{InOctaves, fmt.Sprintf("%d octaves cannot be played", p.Octaves), fmt.Sprintf("write 1 to %d", MaxOctaves)}
	}
	if !p.Range.none() && p.Range.High.Cents() < p.Range.Low.Cents() {
		return way{}, &Error{InRange, fmt.Sprintf("the range %s has its highest note below its lowest", p.Range), "write the lowest note first, such as E3-C6"}
	}
	shape := shapes[p.Figure.Shape]
	w := way{cycle: shape.notes(p.Key), offsets: shape.offsets, in: p.Range}
	start, err := p.start(w)
	if err != nil {
		return way{}, err
	}
	low, top := start, start
	if p.Range.none() || p.Octaves > 0 {
		top += len(w.cycle.up) * max(p.Octaves, 1)
		if !w.fits(top) {
			return way{}, &Error{InOctaves, fmt.Sprintf("%s from %s leaves the range %s", counted.Of(p.Octaves, "octave"), w.cycle.at(start, true), p.Range), "write fewer octaves or a wider range"}
		}
	} else {
		low, top = w.turn(start, -1), w.turn(start, 1)
	}
	switch p.Figure.Way {
	case UpAndDown:
		w.legs = [][2]int{{start, top}, {top, low}, {low, start}}
	case Up:
		w.legs = [][2]int{{start, top}}
	case Down:
		for p.Octaves == 0 && !p.Range.none() && p.From == (passage.Pitch{}) && w.fits(start+len(w.cycle.up)) {
			start += len(w.cycle.up) // from the highest tonic, as up is from the lowest
		}
		if p.Range.none() || p.Octaves > 0 {
			start, low = top, start
		}
		w.legs = [][2]int{{start, low}}
	}
	w.legs = slices.DeleteFunc(w.legs, func(leg [2]int) bool { return leg[0] == leg[1] })
	if len(w.legs) == 0 || w.group(start, direction(w.legs[0])) == nil {
		return way{}, &Error{InRange, fmt.Sprintf("the range %s is too narrow for %s", p.Range, p), "write a wider range"}
	}
	return w, nil
}

// start is the note that a pattern begins on.
func (p Pattern) start(w way) (int, error) {
	size := len(w.cycle.up)
	if p.From != (passage.Pitch{}) {
		at, ok := w.find(p.From)
		switch {
		case !ok:
			return 0, &Error{InFrom, fmt.Sprintf("%s is not a note of %s", p.From, p), "write one that is, such as " + w.cycle.at(0, true).String()}
		case !w.cycle.turns(at):
			return 0, &Error{InFrom, fmt.Sprintf("%s cannot turn on %s, which is another note going down", p.Key, w.cycle.at(at, true)), "write one that is the same both ways, such as " + w.cycle.at(0, true).String()}
		case !w.fits(at):
			return 0, &Error{InFrom, fmt.Sprintf("%s lies outside the range %s", w.cycle.at(at, true), p.Range), "write a note within it"}
		}
		return at, nil
	}
	if p.Range.none() {
		return 0, nil
	}
	at := 0
	for w.cycle.at(at-size, true).Cents() >= p.Range.Low.Cents() {
		at -= size
	}
	for w.cycle.at(at, true).Cents() < p.Range.Low.Cents() {
		at += size
	}
	if !w.fits(at) {
		return 0, &Error{InRange, fmt.Sprintf("there is no %s in the range %s", w.cycle.root.Name(), p.Range), "write a wider range"}
	}
	return at, nil
}

// find is the place of a pitch in the cycle: by its spelling, else, where it has
// no accidental, by its letter and octave.
func (w way) find(p passage.Pitch) (int, bool) {
	size := len(w.cycle.up)
	near := size * (int(p.Octave) - int(w.cycle.root.Octave))
	for _, same := range []func(passage.Pitch) bool{
		func(q passage.Pitch) bool { return p == q },
		func(q passage.Pitch) bool { return p.Alter == 0 && p.Steps() == q.Steps() },
	} {
		for _, rising := range []bool{true, false} {
			for n := near - size; n <= near+size; n++ {
				if same(w.cycle.at(n, rising)) {
					return n, true
				}
			}
		}
	}
	return 0, false
}

// fits reports whether the n-th note lies in the range both ways.
func (w way) fits(n int) bool {
	return w.in.holds(w.cycle.at(n, true)) && w.in.holds(w.cycle.at(n, false))
}

// turn is the last note in a direction, from a note on, that lies in the range
// and on which a line may turn.
func (w way) turn(from, direction int) int {
	last := from
	for n := from; w.in.holds(w.cycle.at(n, direction > 0)); n += direction {
		if w.cycle.turns(n) {
			last = n
		}
	}
	return last
}

// walk is all that is played. Where legs meet, the note comes once, as the first
// of them has it: a chromatic line that turns on F sharp does not add a G flat.
func (w way) walk() []passage.Pitch {
	var out []passage.Pitch
	play := func(p passage.Pitch) {
		if len(out) == 0 || out[len(out)-1].Cents() != p.Cents() {
			out = append(out, p)
		}
	}
	for _, leg := range w.legs {
		w.leg(leg[0], leg[1], func(group []passage.Pitch) {
			for _, p := range group {
				play(p)
			}
		})
	}
	return out
}

// leg gives the groups from one note to another and, alone, the last note.
// Groups that leave the range are left out.
func (w way) leg(from, to int, give func([]passage.Pitch)) {
	step := direction([2]int{from, to})
	for n := from; n != to; n += step {
		if group := w.group(n, step); group != nil {
			give(group)
		}
	}
	give([]passage.Pitch{w.cycle.at(to, step > 0)})
}

// direction is 1 going up and −1 going down.
func direction(leg [2]int) int {
	if leg[1] < leg[0] {
		return -1
	}
	return 1
}

// group is what is played from the n-th note, nil where it leaves the range.
func (w way) group(n, step int) []passage.Pitch {
	var out []passage.Pitch
	for _, o := range w.offsets {
		p := w.cycle.at(n+step*o, step > 0)
		if !w.in.holds(p) {
			return nil
		}
		out = append(out, p)
	}
	return out
}
