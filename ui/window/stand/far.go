package stand

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder/conduct"
	"footing/ui/window/draw"
)

// showFar shows the count alone, or no longer.
func (s *Stand) showFar() {
	if s.far = !s.far; s.far {
		s.p.far.Show()
	} else {
		s.p.far.Hide()
	}
	s.p.root.Refresh() // at rest nothing else would be repainted, and it be shown with the next click
}

// farModel is the count as it is heard now. A step without syllables is counted in
// numbers here.
func farModel(v conduct.View, key string, still bool) draw.FarModel {
	m := draw.FarModel{Now: -1, Tempo: v.State.Standing.Tempo().String(), Key: "Space starts; " + key + " goes back"}
	now := v.Now
	if now.Phrase == nil {
		return m
	}
	m.Tempo, m.Key = now.Tempo.String(), "" // a beat that is hushed stays so to the eye
	at := lit(now)
	if at < 0 {
		return m
	}
	strokes := now.Phrase.Strokes
	beat := func(s click.Stroke) int { return s.At.Floor() }
	from := at
	for from > 0 && beat(strokes[from-1]) == beat(strokes[at]) {
		from--
	}
	if still {
		at = from // the beat moves and nothing between
	}
	numbers := v.State.Step().Count == click.CountNone
	for i := from; i < len(strokes) && beat(strokes[i]) == beat(strokes[from]); i++ {
		word := strokes[i].Syllable
		if numbers && strokes[i].Slot == 0 && !(strokes[i].Hushed && strokes[i].Meant == click.Silent) {
			word = fmt.Sprint(strokes[i].Beat + 1)
		}
		if word == "" {
			continue
		}
		if i <= at {
			m.Word, m.Now = word, len(m.Beat)
		}
		m.Beat = append(m.Beat, word)
	}
	kind, parts := draw.SectionChunk, parts(*now.Phrase)
	for _, part := range parts {
		if part.from <= strokes[at].At.Float() {
			kind = part.kind
		}
	}
	m.Kind = kind
	m.Where = fmt.Sprintf("%s · bar %d", label(v, kind, true), strokes[at].Bar)
	return m
}
