package pattern

import (
	"strconv"

	"footing/audio/click"
	"footing/ladder/passage"
)

// Setting is what a pattern's step says of its notes.
type Setting struct {
	Meter click.Meter
	// Beat is the note value of a beat. The zero value is the meter's own.
	Beat click.Unit
	// First is the number of the first bar; 0 stands for 1.
	First int
	// Clef is the treble or the bass clef where it is the zero value, whichever fits
	// the notes.
	Clef      passage.Clef
	Transpose passage.Transposition
}

// Score is the pattern in bars: even notes, so many to a beat, and a last one
// that fills its bar. A key of more than seven signs has no signature, and all its
// accidentals stand before the notes. The error is an [*Error], or that of a meter
// whose bar is no whole number of beats.
func (p Pattern) Score(in Setting) (*passage.Score, error) {
	pitches, err := p.Pitches()
	if err != nil {
		return nil, err
	}
	if in.Beat == (click.Unit{}) {
		in.Beat = in.Meter.Unit()
	}
	if in.First == 0 {
		in.First = 1
	}
	r, err := p.rhythm(in.Meter, in.Beat)
	if err != nil {
		return nil, err
	}
	key := passage.Key{}
	if p.Key.Printed() {
		key = p.Key.Signature()
	}
	meter := passage.FromClick(in.Meter)
	part := passage.Part{ID: "P1", Staves: 1}
	for i, pitch := range pitches {
		part.Notes = append(part.Notes, p.written(r, i, len(pitches), pitch, in.Transpose)...)
	}
	printAccidentals(part.Notes, key)
	last := part.Notes[len(part.Notes)-1].Bar
	for i := range last + 1 {
		part.Bars = append(part.Bars, passage.Bar{Number: strconv.Itoa(in.First + i), Length: meter.Length(), Meter: meter})
	}
	part.Bars[last].Right.Style = "light-heavy"
	part.Changes = passage.Opening(part.Notes, in.Clef, key, meter, in.Transpose)
	s := &passage.Score{Title: p.String(), Parts: []passage.Part{part}}
	if err := s.Settle(); err != nil {
		return nil, err
	}
	return s, nil
}

// written is the i-th of n notes, in as many tied ones as its length needs.
func (p Pattern) written(r rhythm, i, n int, pitch passage.Pitch, t passage.Transposition) []passage.Note {
	var out []passage.Note
	pieces := r.pieces(i, n)
	for j, piece := range pieces {
		note := r.note(piece)
		note.Pitch, note.Sounds = pitch, pitch.Up(t.Interval())
		note.TieFrom, note.TieTo = j > 0, j < len(pieces)-1
		out = append(out, note)
	}
	first, last := &out[0], &out[len(out)-1]
	starts, ends := p.Articulation.slur(i, n, r.group)
	if starts {
		first.Marks = append(first.Marks, passage.Mark{Name: passage.MarkSlur, Edge: passage.Start, Number: 1})
	}
	if ends {
		last.Marks = append(last.Marks, passage.Mark{Name: passage.MarkSlur, Edge: passage.Stop, Number: 1})
	}
	if mark := p.Articulation.mark(i, r.group); mark != "" && (i < n-1 || mark != passage.MarkStaccato) {
		first.Marks = append(first.Marks, passage.Mark{Name: mark})
	}
	return out
}

// printAccidentals puts a sign before each note that is not as the key, or the
// sign before it in its bar and octave, has it.
func printAccidentals(notes []passage.Note, key passage.Key) {
	bar := -1
	var signs map[int]passage.Alter
	for i := range notes {
		n := &notes[i]
		if n.Bar != bar {
			bar, signs = n.Bar, map[int]passage.Alter{}
		}
		now, known := signs[n.Pitch.Steps()]
		if !known {
			now = key.Of(n.Pitch.Letter)
		}
		if n.Pitch.Alter != now {
			n.Accidental = passage.AccidentalName(n.Pitch.Alter)
			signs[n.Pitch.Steps()] = n.Pitch.Alter
		}
	}
}
