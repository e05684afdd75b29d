package plan

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder"
)

// Words say at which chunk of its plan a step is, and why it is there.
func Words(s ladder.Step) string { return words(s, " of the plan") }

// words say so of a step; whose says what the chunk is one of, where that is not plain.
func words(s ladder.Step, whose string) string {
	i := s.CutAt()
	if i < 0 {
		return fmt.Sprintf("a plan of %d chunks, this is none of them", len(s.Plan))
	}
	out := fmt.Sprintf("%d of %d%s", i+1, len(s.Plan), whose)
	if why := s.Plan[i].Why; why != "" {
		out += ": " + why
	}
	return out
}

// Turned is the step with the kind of plan that comes so many after its own, round and
// round with none, at its first chunk; and what it is in words. spot and edges are as
// for [Make]. What the player made of a plan is lost: ask first where [Of] knows none.
func Turned(s ladder.Step, spot click.Beats, edges []click.Beats, by int) (ladder.Step, string) {
	kinds := Kinds()
	n := len(kinds) + 1
	next := ((Of(s, edges)+1+by)%n + n) % n // 0 is none
	if next == 0 {
		s.Plan = nil
		return s, "no plan"
	}
	kind := kinds[next-1]
	s.Plan = Make(kind, s, spot, edges)
	if len(s.Plan) > 0 {
		s.Chunk.Bar, s.Chunk.At, s.Chunk.Length = s.Plan[0].Bar, s.Plan[0].At, s.Plan[0].Length
	}
	return s, fmt.Sprintf("plan: %s, %s", kind, words(s, ""))
}
