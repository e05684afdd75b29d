package hearing

import "footing/audio/click"

// struck are the strokes of a rep on which a note is expected: every slot of the
// chunk, however softly it clicks, or every cell of its path, and the landing. A
// click of a doubled or shifted pulse may stand on no slot: it is none.
func struck(rep click.Phrase) []click.Stroke {
	var out []click.Stroke
	landed := false
	for _, s := range rep.Strokes {
		switch {
		case s.Part == click.InChunk && (s.Cell > 0 || s.Cell == 0 && s.Slot >= 0):
			out = append(out, s)
		case s.Part == click.InLanding && !landed:
			landed = true
			out = append(out, s)
		}
	}
	return out
}

// Places are the frames, at rate frames a second, at which a rep's notes are
// expected when its phrase began at frame start, in ascending order. In a
// count-in or a breath there are none. They hold as long as the tempo is not
// changed by hand within the phrase.
func Places(phrase click.Phrase, start int64, rate int) []int64 {
	line := click.NewTimeline(start, phrase.Tempo, rate)
	var out []int64
	for _, s := range struck(phrase) {
		out = append(out, line.At(s.At).Round())
	}
	return out
}
