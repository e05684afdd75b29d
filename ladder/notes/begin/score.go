package begin

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/passage"
)

// Choice is a voice of a score's part, and the step that it can be practised by.
type Choice struct {
	Name   string // "Bassoon", or "Piano, voice 2" where the part has several
	Detail string // "312 notes from Bb1 to F4, bars 1-40"
	// Step is the step. It has no meaning where there is an error.
	Step ladder.Step
	// Goals are what the score says of its tempo where the step's ladder does not go by a
	// number of it already: tempo words, to choose among.
	Goals []notes.Goal
	// Remarks are a sentence each on what of the score the step leaves out or does
	// not follow.
	Remarks []string
	// Err says in one sentence, with the bar and the part, what keeps the voice from
	// being practised.
	Err error
}

// Choices are the voices with notes of all parts of a score, in the score's order,
// of a part the fullest first. file is the score's place in the routine's folder, or
// stands for it until the score has one; title is what the piece is called where
// the score does not say it.
//
// A step holds the bars from the first on, as many as the click can count; their
// meters, pickup and beat; the metronome mark for its goal, with a ladder that
// begins at 60 % of it; and the first bar with notes for its chunk. The error is
// that of ctx, or says that there are no notes.
func Choices(ctx context.Context, s *passage.Score, file, title string) ([]Choice, error) {
	if name := ladder.Name(s.Title); name != "" {
		title = name
	}
	var out []Choice
	for i := range s.Parts {
		p := &s.Parts[i]
		voices := voicesOf(p)
		for _, l := range voices {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			c := Choice{Name: ladder.Name(p.Called())}
			if c.Name == "" {
				c.Name = fmt.Sprintf("Part %d", i+1)
			}
			from := ladder.ScoreFile{File: file}
			if len(voices) > 1 {
				from.Voice = ladder.Name(l.Voice)
				c.Name = ladder.Name(c.Name + ", voice " + from.Voice)
			}
			if from.Part, c.Err = partName(s, p); c.Err == nil {
				if from.Part == p.ID && p.ID != p.Called() { // there are several of the name
					c.Name = ladder.Name(c.Name + " (" + p.ID + ")")
				}
				c.make(s, l, from, title)
			}
			c.Detail = extent(l)
			if c.Err == nil {
				c.Detail += ", " + c.Step.Passage.Bars()
			}
			out = append(out, c)
		}
	}
	if len(out) == 0 {
		return nil, errors.New("the score has no notes to practise; open another")
	}
	return out, nil
}

// voicesOf are the lines of a part that have notes to play, each voice once.
func voicesOf(p *passage.Part) []passage.Line {
	var out []passage.Line
	for _, l := range p.Lines() {
		known := slices.ContainsFunc(out, func(o passage.Line) bool { return o.Voice == l.Voice })
		if !known && slices.ContainsFunc(l.Notes, sounds) {
			out = append(out, l)
		}
	}
	return out
}

// sounds reports whether a note is one that is practised.
func sounds(n passage.Note) bool {
	return n.Kind == passage.Pitched && n.Grace == passage.NoGrace && !n.Cue
}

// extent is how many notes a line has, and from which to which.
func extent(l passage.Line) string {
	var low, high passage.Pitch
	n := 0
	for _, note := range l.Notes {
		if !sounds(note) {
			continue
		}
		if n == 0 || note.Pitch.Cents() < low.Cents() {
			low = note.Pitch
		}
		if n == 0 || note.Pitch.Cents() > high.Cents() {
			high = note.Pitch
		}
		n++
	}
	if n == 1 {
		return fmt.Sprintf("1 note, %s", low)
	}
	return fmt.Sprintf("%d notes from %s to %s", n, low, high)
}

// partName is the name or id by which a part is found again; empty for the only
// one.
func partName(s *passage.Score, p *passage.Part) (string, error) {
	if len(s.Parts) == 1 {
		return "", nil
	}
	for _, name := range []string{ladder.Name(p.Called()), ladder.Name(p.ID)} {
		if got, err := s.PartNamed(name); name != "" && err == nil && got == p {
			return name, nil
		}
	}
	return "", fmt.Errorf("%s cannot be told from another part, which has the same name and id", p.Called())
}

// make makes the step of a line.
func (c *Choice) make(score *passage.Score, l passage.Line, from ladder.ScoreFile, title string) {
	fail := func(err error) {
		what, _, _ := strings.Cut(err.Error(), "; ")
		c.Err = fmt.Errorf("%s: %s", ladder.Name(l.Part.Called()), what)
	}
	run, err := runOf(l)
	if err != nil {
		fail(err)
		return
	}
	s := ladder.DefaultStep()
	s.Name = c.Name
	s.Notes.Score = from
	s.Notes.Instrument = instrumentOf(l.Part)
	s.Passage = ladder.Passage{Piece: ladder.Name(title), From: run.measures.From(), To: run.measures.To()}
	s.Meter, s.Meters = run.meters(l.Part)
	s.Unit, s.Pickup = run.unit, run.measures.Pickup()
	s.Chunk = ladder.Chunk{Bar: s.Passage.From, Landing: true}
	for i := range l.Notes {
		if n := l.Notes[i]; sounds(n) && n.Bar >= run.full {
			s.Chunk.Bar = run.number(l.Part, n.Bar)
			break
		}
	}
	s.Chunk.Length = click.Whole(run.measures.Bar(s.Chunk.Bar).Beats)
	var remark string
	if s.Tempo, remark = tempo(score, run); remark != "" {
		c.Remarks = append(c.Remarks, remark)
	}
	if run.ends != nil {
		c.Remarks = append(c.Remarks, fmt.Sprintf("%s of %s can be practised, and no more: %v", s.Passage.Bars(), ladder.Name(l.Part.Called()), run.ends))
	}
	if faults := s.Check(); len(faults) > 0 {
		fail(faults[0])
		return
	}
	n, _, err := notes.Of(s, score)
	if err != nil {
		fail(err)
		return
	}
	if s.Tempo == ladder.DefaultStep().Tempo {
		c.Goals = n.Goals(s)
	}
	c.Step = s
}
