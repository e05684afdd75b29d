package notes

import (
	"fmt"
	"slices"
	"strconv"

	"footing/ladder"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
	"footing/ladder/passage/pattern"
)

// Made is the score of a step's typed notes or its pattern, with bars numbered as
// the step's, whether or not its passage has as many; nil where it has neither. The
// step must be valid. The error is [Faults].
func Made(s ladder.Step) (*passage.Score, []abc.Remark, error) {
	if s.Notes.Typed.Text != "" {
		return typed(s)
	}
	if s.Notes.Pattern == (pattern.Words{}) {
		return nil, nil, nil
	}
	score, err := patterned(s)
	return score, nil, err
}

func typed(s ladder.Step) (*passage.Score, []abc.Remark, error) {
	i := Instrument(s)
	in := abc.Setting{
		Meter: passage.FromClick(s.Meter), Changes: s.Meters, First: s.Passage.From, Clef: i.Clef, Transpose: i.Transpose,
	}
	var err error
	if key := s.Notes.Typed.Key; key != "" {
		if in.Key, err = abc.ParseKey(key); err != nil {
			return nil, nil, faultOf("key", err)
		}
	}
	if unit := s.Notes.Typed.Unit; unit != "" {
		if in.Unit, err = abc.ParseUnit(unit); err != nil {
			return nil, nil, faultOf("unit", err)
		}
	}
	score, remarks, err := abc.Read(s.Notes.Typed.Text, in)
	if err != nil {
		return nil, nil, faultOf("notes", err)
	}
	return score, remarks, nil
}

func patterned(s ladder.Step) (*passage.Score, error) {
	if len(s.Meters) > 0 {
		return nil, fault("pattern key", fmt.Sprintf("a pattern is in one meter, and the meter changes in bar %d", s.Meters[0].Bar), "leave meters out, or write the notes out")
	}
	i := Instrument(s)
	p, err := pattern.Parse(s.Notes.Pattern)
	if err != nil {
		return nil, faultOf("pattern key", err)
	}
	if p.Range == (pattern.Range{}) {
		p.Range = i.Range
	}
	if _, _, swung := s.Slots.Swung(); p.Group == 0 && !swung && slices.Contains([]int{2, 3, 4, 6}, s.Slots.Count()) {
		p.Group = s.Slots.Count()
	}
	score, err := p.Score(pattern.Setting{Meter: s.Meter, Beat: s.Unit, Clef: i.Clef, Transpose: i.Transpose})
	if err != nil {
		return nil, faultOf("pattern key", err)
	}
	bars := score.Parts[0].Bars
	for i := range bars {
		bars[i].Number = strconv.Itoa(s.Passage.From + i)
	}
	return score, nil
}
