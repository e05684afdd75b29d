package journal

import (
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder"
)

// ChunkBest is the fastest clean tempo of a chunk.
type ChunkBest struct {
	Start, Beats string // as a [Form] has them
	Landing      bool
	Best         click.Tempo
}

// Beats are, for each beat of a step's passage from its first (a pickup's
// included), the fastest tempo at which a chunk with the whole beat in it was
// clean; 0 where there is none. Chunks that lie outside the passage as it is now are
// passed over. The step must be valid.
func Beats(step ladder.Step, chunks []ChunkBest) []click.Tempo {
	m, err := step.Measures()
	if err != nil {
		return nil
	}
	first := m.Start().Floor()
	out := make([]click.Tempo, m.End().Ceil()-first)
	for _, c := range chunks {
		bar, at, err := parsePlace(c.Start)
		length, err2 := click.ParseBeats(c.Beats)
		if err != nil || err2 != nil || bar < m.From()-1 || bar > m.To() {
			continue
		}
		start := m.Place(bar, at)
		end := start.Add(length)
		for i := range out {
			beat := click.Whole(first + i)
			if !beat.Less(start) && !end.Less(beat.Add(click.Whole(1))) {
				out[i] = max(out[i], c.Best)
			}
		}
	}
	return out
}

// parsePlace reads what [click.FormatPlace] has written.
func parsePlace(s string) (bar int, at click.Beats, err error) {
	b, rest, _ := strings.Cut(s, ":")
	if bar, err = strconv.Atoi(b); err != nil {
		return 0, at, err
	}
	if at, err = click.ParseBeats(rest); err != nil {
		return 0, at, err
	}
	return bar, at.Sub(click.Whole(1)), nil
}

// Spot is a chunk with what was played of it.
type Spot struct {
	Start, Beats string // as a [Form] has them
	Landing      bool
	Tally
}

// On is the step with the chunk of the spot; ok is false where that lies outside the
// passage as it is now.
func (s Spot) On(step ladder.Step) (on ladder.Step, ok bool) {
	bar, at, err := parsePlace(s.Start)
	length, err2 := click.ParseBeats(s.Beats)
	if err != nil || err2 != nil {
		return step, false
	}
	step.Chunk = ladder.Chunk{Bar: bar, At: at, Length: length, Landing: s.Landing}
	return step, len(step.Check()) == 0
}
