package hearing

import (
	"fmt"

	"footing/audio/click"
	"footing/audio/judge"
	"footing/ladder"
)

// Chunk turns what to cut out, in slots of the rep, into a chunk of the step in
// whole beats. It reports false where no such chunk lies within the passage.
func (r Rung) Chunk(cut judge.Cut) (ladder.Chunk, bool) {
	if r.known != nil {
		return r.chunkAround(cut)
	}
	if cut.FromSlot < 1 || cut.FromSlot > len(r.notes) {
		return ladder.Chunk{}, false
	}
	from := r.notes[cut.FromSlot-1]
	end := r.rep.Length
	if cut.Landing >= 1 && cut.Landing <= len(r.notes) {
		end = r.notes[cut.Landing-1].At
	} else if r.step.Chunk.Landing {
		end = end.Sub(click.Whole(1))
	}
	beats := max(1, end.Ceil()-from.At.Floor())
	out := ladder.Chunk{Bar: from.Bar, At: click.Whole(from.Beat), Length: click.Whole(beats), Landing: true}
	step := r.step
	step.Chunk = out
	return out, len(step.Check()) == 0
}

// chunkWords is a chunk as a routine file has it.
func chunkWords(c ladder.Chunk) string {
	return fmt.Sprintf("chunk: {start: %q, beats: %s, landing: %v}", click.FormatPlace(c.Bar, c.At), c.Length, c.Landing)
}
