package pattern

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder/passage"
)

// checkGroup says whether so many notes to a beat are known.
func (p Pattern) checkGroup() error {
	switch p.Group {
	case 0, 2, 3, 4, 6:
		return nil
	}
	return &Error{InGroup, fmt.Sprintf("%d notes to a beat are not known", p.Group), "write 2, 3, 4 or 6"}
}

// rhythm is even notes in beats.
type rhythm struct {
	group  int              // notes to a beat
	beats  int              // to a bar
	beat   passage.Quarters // the length of one
	tuplet passage.Ratio    // of the notes in a beat, zero where they are plain
	starts func(beat int) bool
}

// rhythm finds how so many notes to a beat are written.
func (p Pattern) rhythm(meter click.Meter, unit click.Unit) (rhythm, error) {
	if err := p.checkGroup(); err != nil {
		return rhythm{}, err
	}
	bar, err := meter.Bar(unit)
	if err != nil {
		return rhythm{}, err
	}
	r := rhythm{group: p.Group, beats: bar.Beats, beat: passage.FromBeats(click.Whole(1), unit), starts: bar.GroupStart}
	if r.group == 0 {
		if r.group = 4; unit.Dotted() {
			r.group = 6
		}
	}
	switch threes := r.group%3 == 0; {
	case unit.Dotted() && !threes: // two or four in the time of the beat's three
		r.tuplet = passage.Ratio{Actual: r.group, Normal: 3}
	case !unit.Dotted() && threes:
		r.tuplet = passage.Ratio{Actual: r.group, Normal: 2 * r.group / 3}
	}
	return r, nil
}

// piece is a written note of the rhythm: its place, in beats from the pattern's
// start and notes from that beat, and its length in one or the other.
type piece struct {
	beat, at     int
	beats, notes int
}

// pieces are the written notes of the i-th note of n. All but the last are one;
// the last fills its bar, tied where no single value does, and split where a beat
// or a group of the meter begins (common practice, no source).
func (r rhythm) pieces(i, n int) []piece {
	beat, at := i/r.group, i%r.group
	if i < n-1 {
		return []piece{{beat: beat, at: at, notes: 1}}
	}
	var out []piece
	if at > 0 {
		for _, notes := range inBeat(r.group - at) {
			out = append(out, piece{beat: beat, at: at, notes: notes})
			at += notes
		}
		beat++
	}
	for beat%r.beats > 0 || len(out) == 0 {
		beats := r.longest(beat % r.beats)
		out = append(out, piece{beat: beat, beats: beats})
		beat += beats
	}
	return out
}

// inBeat splits so many notes' time, up to a beat's end, into single values.
func inBeat(notes int) []int {
	if notes == 5 {
		return []int{1, 4}
	}
	return []int{notes}
}

// longest is how many beats one note can last from a beat of the bar on: within
// the bar and its group, and not over a beat that is stronger than its own, which
// there is none of in a group of three.
func (r rhythm) longest(from int) int {
	group := from
	for !r.starts(group) {
		group--
	}
	end := from + 1
	for end < r.beats && !r.starts(end) {
		end++
	}
	for n := end - from; n > 1; n-- {
		step := 1
		for 2*step <= n {
			step *= 2
		}
		if _, dots, ok := passage.Written(r.beat.Times(int64(n))); ok && dots < 2 && (end-group == 3 || (from-group)%step == 0) {
			return n
		}
	}
	return 1
}

// note is a piece as written, without its pitch.
func (r rhythm) note(p piece) passage.Note {
	unit := click.Frac(r.beat.Num(), r.beat.Den()*int64(r.group))
	n := passage.Note{
		Bar: p.beat / r.beats, Voice: "1",
		At:       r.beat.Times(int64(p.beat % r.beats)).Add(unit.Times(int64(p.at))),
		Duration: r.beat.Times(int64(p.beats)).Add(unit.Times(int64(p.notes))),
	}
	written := n.Duration
	if p.notes > 0 && r.tuplet != (passage.Ratio{}) {
		n.Tuplet = r.tuplet
		written = click.Frac(written.Num()*int64(r.tuplet.Actual), written.Den()*int64(r.tuplet.Normal))
		if p.at == 0 {
			n.TupletMarks = append(n.TupletMarks, passage.TupletMark{Edge: passage.Start, Number: 1})
		}
		if p.at+p.notes == r.group {
			n.TupletMarks = append(n.TupletMarks, passage.TupletMark{Edge: passage.Stop, Number: 1})
		}
	}
	n.Value, n.Dots, _ = passage.Written(written)
	return n
}
