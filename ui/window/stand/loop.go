package stand

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/aloud"
	"footing/ladder/conduct"
	"footing/ladder/notes"
	"footing/ui/window/draw"
)

// place says where in the step a stroke of the lane comes from.
type place struct{ bar, beat, slot int }

// lane lays the loop of the step out in time. What sounds now is drawn as it
// was handed to the renderer, since the step may have been edited since: while a
// rep of another chunk ends, so is what belongs to it, and the count runs through.
// places has an entry for each stroke of each section; slot is −1 where a click
// changes nothing.
func lane(v conduct.View) (m draw.LaneModel, places [][]place) { return laneOfNotes(v, nil) }

// laneOfNotes is lane with the rhythm of the notes counted where the step says so; of
// what sounds that has been seen to.
func laneOfNotes(v conduct.View, n *notes.Notes) (m draw.LaneModel, places [][]place) {
	step := onStand(v)
	loop, tempo := step.Loop(), v.State.Standing.Tempo()
	if earlier(v) {
		loop.Chunk = v.Now.Part.Chunk
	}
	_, _, crossed := step.Slots.Crossed()
	m = draw.LaneModel{Now: -1, Active: -1, Heard: -1}
	at, index := 0.0, 0
	add := func(p click.Phrase, ok bool) {
		now := v.Now.Phrase
		sounding := now != nil && now.Kind == p.Kind
		if sounding {
			p, ok = countedIn(*now, p), true
		}
		if !ok {
			return
		}
		if lit := lit(v.Now); sounding && lit >= 0 {
			m.Now = index + lit
			m.Heard = m.Now
		}
		for _, part := range parts(p) {
			s := draw.Section{Kind: part.kind, Label: label(v, part.kind, sounding), Short: brief(v, part.kind, sounding), Beats: part.to - part.from}
			var from []place
			for _, stroke := range part.strokes {
				s.Strokes = append(s.Strokes, draw.Stroke{
					At:       at + stroke.At.Float(),
					Level:    int(max(stroke.Dynamics, stroke.Meant)),
					Syllable: stroke.Syllable,
					Beat:     stroke.Slot == 0,
					Faint:    stroke.Part == click.InLead || stroke.Part == click.InFill,
					Strand:   crossed && stroke.Slot > 0 && !step.Slots.OnBeat(stroke.Slot),
					Editable: editable(stroke),
				})
				where := place{stroke.Bar, stroke.Beat, stroke.Slot}
				if !editable(stroke) {
					where.slot = -1
				}
				from = append(from, where)
				if index == m.Now {
					m.Active = len(m.Sections)
				}
				index++
			}
			m.Sections = append(m.Sections, s)
			places = append(places, from)
		}
		at += p.Length.Float()
	}
	countIn, ok := loop.CountInPhrase(tempo)
	add(countIn, ok)
	rep := step
	rep.Chunk = loop.Chunk
	add(aloud.Phrase(rep, loop.RepPhrase(tempo), n, nil), true)
	breath, ok := loop.BreathPhrase(tempo)
	add(breath, ok)
	return m, places
}

// onStand is the step under way. Where each rep takes another angle it has that of
// the rep that is led to or heard.
func onStand(v conduct.View) ladder.Step {
	step := v.State.Step()
	if part := v.Now.Part; step.Vary > 0 && part.Seq != 0 && part.Step == v.State.StepAt {
		step.Angle = part.Angle
	}
	return step
}

// heardRep is the rep of the step that is heard, and whether one is.
func heardRep(v conduct.View) (ladder.Part, bool) {
	now := v.Now
	return now.Part, now.Phrase != nil && now.Phrase.Kind == click.Rep && now.Part.Seq != 0 && now.Part.Step == v.State.StepAt
}

// earlier reports whether a rep is heard of a chunk that was edited since.
func earlier(v conduct.View) bool {
	part := v.Now.Part
	return part.Seq != 0 && part.Kind == click.Rep && part.Step == v.State.StepAt && part.Chunk != v.State.Step().Chunk
}

// countedIn is a count-in or a breath that sounds, counted as the next would be:
// into the chunk that follows it, and on from the one that is drawn before it.
func countedIn(sounding, next click.Phrase) click.Phrase {
	if sounding.Kind == click.Rep || len(sounding.Strokes) != len(next.Strokes) {
		return sounding
	}
	strokes := slices.Clone(sounding.Strokes)
	for i := range strokes {
		if strokes[i].At != next.Strokes[i].At {
			return sounding
		}
		strokes[i].Syllable = next.Strokes[i].Syllable
	}
	sounding.Strokes = strokes
	return sounding
}

// lit is the stroke that is lit: the latest that sounds, is counted or is on the
// beat. In the silence of a breath or a landing the light rests on its beat, where the
// picture is hushed too wherever it is, and the window is not repainted for what nobody hears.
func lit(now conduct.Now) int {
	if now.Phrase == nil {
		return -1
	}
	for i := min(now.Stroke, len(now.Phrase.Strokes)-1); i >= 0; i-- {
		if s := now.Phrase.Strokes[i]; s.Dynamics != click.Silent || s.Meant != click.Silent || s.Syllable != "" || s.Slot == 0 && !s.Hushed {
			return i
		}
	}
	return -1
}

// section is a run of strokes of one phrase that is drawn under one label.
type section struct {
	kind     draw.SectionKind
	from, to float64 // beats from the start of the phrase
	strokes  []click.Stroke
}

// parts cuts the landing off a rep; other phrases stay whole.
func parts(p click.Phrase) []section {
	length := p.Length.Float()
	switch p.Kind {
	case click.CountIn:
		return []section{{draw.SectionCountIn, 0, length, p.Strokes}}
	case click.Breath:
		return []section{{draw.SectionBreath, 0, length, p.Strokes}}
	}
	for i, s := range p.Strokes {
		if s.Part == click.InLanding {
			cut := s.At.Float()
			return []section{{draw.SectionChunk, 0, cut, p.Strokes[:i]}, {draw.SectionLanding, cut, length, p.Strokes[i:]}}
		}
	}
	return []section{{draw.SectionChunk, 0, length, p.Strokes}}
}

// editable reports whether a click on the stroke changes the dynamics that are
// written for it. A breath has none of its own.
func editable(s click.Stroke) bool {
	return s.Slot >= 0 && (s.Part == click.InChunk || s.Part == click.InCountIn)
}

// label names a section; the rep is that which sounds, or is the next to.
func label(v conduct.View, kind draw.SectionKind, sounding bool) string {
	switch kind {
	case draw.SectionCountIn:
		return "count-in"
	case draw.SectionBreath:
		return "breath"
	case draw.SectionLanding:
		return "landing"
	}
	rep := "rep " + short(v.State, kind, sounding)
	if earlier(v) {
		rep += ", then new"
	}
	return rep
}

// brief is a label for a narrow section.
func brief(v conduct.View, kind draw.SectionKind, sounding bool) string {
	s := short(v.State, kind, sounding)
	if s != "" && earlier(v) {
		return "rep " + s
	}
	return s
}

// short is a label for a narrow chunk: which rep on its rung, and of how many
// where the rung asks for a number of them.
func short(s ladder.State, kind draw.SectionKind, sounding bool) string {
	if kind != draw.SectionChunk {
		return ""
	}
	rep, of := s.Counted()
	if !sounding || s.Sounding.Kind == click.Rep {
		rep++
	}
	// A rung that is new has no rep yet, though the last of the one before may
	// still sound.
	rep = max(rep, 1)
	if of == 0 {
		return fmt.Sprint(rep)
	}
	return fmt.Sprintf("%d of %d", min(rep, of), of)
}

// turned is the mark after d, going round from strong to silent, or back.
func turned(d click.Dynamics, turn int) click.Dynamics {
	const marks = 5
	return click.Dynamics((int(d) - turn + marks) % marks)
}
