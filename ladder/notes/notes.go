package notes

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/counted"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
)

// Notes are the notes of a step's passage.
type Notes struct {
	Score *passage.Score
	Part  *passage.Part
	// Line is the one that is read, from the part's first bar to its last; First and
	// Last are the indexes of the passage's bars, its pickup included.
	Line        passage.Line
	First, Last int
	// All are the notes as heard, in order of time.
	All []Note
	// Marks are the player's, in order of time.
	Marks []Mark

	measures click.Measures
	unit     click.Unit
	bars     []int // the numbers of the passage's bars, as its measures count them
}

// Note is a note as heard: tied notes are one, rests, grace notes and cues none.
// Those of a chord begin at one place.
type Note struct {
	// From and To are where it begins and ends, in beats from the line of the
	// passage's first full bar: below 0 in a pickup.
	From, To click.Beats
	// First and Last are the indexes in Line.Notes of its first written note and of
	// the last that is tied to it.
	First, Last int
	Pitch       passage.Pitch // as written
	Sounds      passage.Pitch // after transposition
}

// Mark is a player's mark with its place.
type Mark struct {
	At           click.Beats // as Note.From
	Note         int         // the index in All of the first note that begins there
	Text, Finger string
}

// Of finds the notes of a step. The score is the one in the file that the step
// names, nil where it names none. A step that has no notes gives nil without an
// error. The step must be valid. The error is [Faults].
func Of(s ladder.Step, score *passage.Score) (*Notes, []abc.Remark, error) {
	if err := alone(s); err != nil || s.Notes.None() {
		return nil, nil, err
	}
	var remarks []abc.Remark
	if s.Notes.Score.File == "" {
		var err error
		if score, remarks, err = Made(s); err != nil {
			return nil, nil, err
		}
	}
	n, err := within(s, score)
	if err != nil {
		return nil, remarks, err
	}
	if err := n.mark(s); err != nil {
		return nil, remarks, err
	}
	return n, remarks, nil
}

// alone complains of what belongs to notes that are not there.
func alone(s ladder.Step) error {
	switch {
	case s.Notes.Typed.Text == "" && s.Notes.Typed.Key != "":
		return fault("key", "there are no typed notes to be in a key", "write notes: and under it such as CDEF GABc |, or leave key out")
	case s.Notes.Typed.Text == "" && s.Notes.Typed.Unit != "":
		return fault("unit", "there are no typed notes to have a unit", "write notes: and under it such as CDEF GABc |, or leave unit out")
	case s.Notes.None() && s.Accented != ladder.AccentedOff:
		return fault("accents", "there are no notes to take accents from", "write score:, notes: or pattern:, or leave accents out")
	case s.Notes.None() && len(s.Notes.Marks) > 0:
		return fault("marks", "there are no notes to be marked", "write score:, notes: or pattern:, or leave marks out")
	}
	return nil
}

// within finds the passage in a score.
func within(s ladder.Step, score *passage.Score) (*Notes, error) {
	part, err := score.PartNamed(s.Notes.Score.Part)
	if err != nil {
		return nil, faultOf("score part", err)
	}
	m, err := s.Measures()
	if err != nil {
		return nil, faultOf("bars", err)
	}
	n := &Notes{Score: score, Part: part, measures: m, unit: s.Unit}
	if err := n.findBars(s); err != nil {
		return nil, err
	}
	if n.Line, err = lineOf(part, s.Notes.Score.Voice); err != nil {
		return nil, err
	}
	n.place()
	if len(n.All) == 0 {
		return nil, fault(source(s), "there is no note in "+s.Passage.Bars(), "write other bars or other notes")
	}
	return n, nil
}

// lineOf is the line of that voice that has most notes, of all voices where none is
// named.
func lineOf(part *passage.Part, voice string) (passage.Line, error) {
	lines := part.Lines()
	var voices []string
	for _, l := range lines {
		if voice == "" || l.Voice == voice {
			return l, nil
		}
		if !slices.Contains(voices, l.Voice) {
			voices = append(voices, l.Voice)
		}
	}
	if voice == "" {
		return passage.Line{}, nil
	}
	return passage.Line{}, fault("score voice", fmt.Sprintf("%s has no voice %q", part.Called(), voice), "write one of "+strings.Join(voices, ", "))
}

// findBars finds the passage's bars by their printed numbers, and sees that the
// step counts them as they are.
func (n *Notes) findBars(s ladder.Step) error {
	bars, file := n.Part.Bars, s.Notes.Score.File != ""
	n.First = slices.IndexFunc(bars, func(b passage.Bar) bool {
		return b.Offset.Sign() == 0 && b.Number == strconv.Itoa(s.Passage.From)
	})
	if n.First < 0 {
		return fault("bars", fmt.Sprintf("the score has no bar %d", s.Passage.From), "write bars of the score such as "+someBars(bars))
	}
	to := s.Passage.To
	for n.Last = n.First; n.Last+1 < len(bars); n.Last++ {
		next := bars[n.Last+1]
		if number, err := strconv.Atoi(next.Number); next.Offset.Sign() == 0 && (err != nil || number > to) {
			break
		}
	}
	last, err := strconv.Atoi(bars[n.Last].Number)
	switch {
	case err == nil && last < to && file:
		return fault("bars", fmt.Sprintf("the score has no bar %d behind bar %d", last+1, last), fmt.Sprintf("write bars up to %d", last))
	case !file && n.Last+1 < len(bars):
		last, _ = strconv.Atoi(bars[len(bars)-1].Number)
		return fault("bars", fmt.Sprintf("the notes go on to bar %d, the passage to bar %d", last, to), fmt.Sprintf("write bars: %d-%d", s.Passage.From, last))
	}
	if before := n.First - 1; before >= 0 && bars[before].Offset.Sign() > 0 && (s.Pickup.Sign() > 0 || !file) {
		n.First = before
	}
	theirs, _, err := n.Part.Measures(n.First, n.Last, s.Unit)
	if err != nil {
		return faultOf("bars", err)
	}
	if theirs.Pickup() != s.Pickup {
		return fault("pickup", fmt.Sprintf("the notes have a pickup of %s, the step one of %s", counted.Value(theirs.Pickup(), "beat"), s.Pickup), fmt.Sprintf("write pickup: %s", theirs.Pickup()))
	}
	for bar := s.Passage.From; bar <= min(to, last); bar++ {
		if own, other := n.measures.Bar(bar), theirs.Bar(bar); own != other {
			key := "meter"
			if len(s.Meters) > 0 && bar >= s.Meters[0].Bar {
				key = "meters"
			}
			return fault(key, fmt.Sprintf("bar %d is in another meter in the score, of %d beats where the step has %d", bar, other.Beats, own.Beats), "write meter and meters as in the score")
		}
	}
	return nil
}

// someBars are bars of a score, to show what can be written.
func someBars(bars []passage.Bar) string {
	for _, b := range bars {
		if n, err := strconv.Atoi(b.Number); err == nil && n > 0 {
			return strconv.Itoa(n)
		}
	}
	return "1"
}

// place finds where the notes lie in the step's beats.
func (n *Notes) place() {
	number := n.measures.From() - 1
	for i := n.First; i <= n.Last; i++ {
		if b := n.Part.Bars[i]; b.Offset.Sign() == 0 {
			number++
		}
		n.bars = append(n.bars, number)
	}
	notes := n.Line.Between(n.First, n.Last)
	first := slices.IndexFunc(n.Line.Notes, func(l passage.Note) bool { return l.Bar >= n.First })
	for _, sound := range n.Part.Sounding(notes) {
		from := n.At(notes[sound.First])
		n.All = append(n.All, Note{
			From: from, To: from.Add(passage.InBeats(sound.Duration, n.unit)),
			First: first + sound.First, Last: first + sound.Last,
			Pitch: sound.Pitch, Sounds: sound.Sounds,
		})
	}
	slices.SortStableFunc(n.All, func(a, b Note) int { return a.From.Cmp(b.From) })
}

// At is where a written note or rest of the passage begins, as [Note.From].
func (n *Notes) At(l passage.Note) click.Beats {
	b := n.Part.Bars[l.Bar]
	return n.measures.Place(n.bars[l.Bar-n.First], passage.InBeats(b.Offset.Add(l.At), n.unit))
}

// mark puts the player's marks on their notes.
func (n *Notes) mark(s ladder.Step) error {
	var out Faults
	for i, m := range s.Notes.Marks {
		at := n.measures.Place(m.Bar, m.At)
		note := n.from(at)
		if note == len(n.All) || n.All[note].From != at {
			near := n.All[max(0, min(note, len(n.All)-1))].From
			if note > 0 && (note == len(n.All) || at.Sub(n.All[note-1].From).Less(near.Sub(at))) {
				near = n.All[note-1].From
			}
			out = append(out, Fault{ladder.Fault{
				Key: "marks", What: "no note begins at " + click.FormatPlace(m.Bar, m.At), Want: "write where one does, such as " + n.Place(near),
			}, 0, 0, i})
			continue
		}
		n.Marks = append(n.Marks, Mark{at, note, m.Text, m.Finger})
	}
	slices.SortStableFunc(n.Marks, func(a, b Mark) int { return cmp.Or(a.At.Cmp(b.At), a.Note-b.Note) })
	if len(out) > 0 {
		return out
	}
	return nil
}

// Place writes a place in beats as bar:beat, "18:3+1/4".
func (n *Notes) Place(at click.Beats) string { return click.FormatPlace(n.measures.Where(at)) }

// from is the index of the first note that begins at a place or after it, the
// number of notes where none does.
func (n *Notes) from(at click.Beats) int {
	i, _ := slices.BinarySearchFunc(n.All, at, func(note Note, at click.Beats) int { return note.From.Cmp(at) })
	return i
}
