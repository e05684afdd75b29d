package ladder

import (
	"fmt"
	"slices"
	"strings"

	"footing/audio/click"
)

// Cut is a chunk of a plan: how a passage is cut into what is worked at in turn, and
// put together again. It lands where the step's chunk does.
type Cut struct {
	Bar    int         // the number of the bar that it starts in
	At     click.Beats // where in that bar, from 0
	Length click.Beats // above 0
	Why    string      // the reason in words; may be empty
}

// chunk is the cut as a chunk that has its landing, or none, from another.
func (c Cut) chunk(like Chunk) Chunk {
	like.Bar, like.At, like.Length = c.Bar, c.At, c.Length
	return like
}

// CutAt is the index of the cut of the step's plan that its chunk is; −1 where it is
// none of them.
func (s Step) CutAt() int {
	return slices.IndexFunc(s.Plan, func(c Cut) bool { return c.chunk(s.Chunk) == s.Chunk })
}

// Onward is the step with the chunk of the cut that comes so many after the one that
// it is at; from a chunk that is none of the plan's, the first. At the ends of the
// plan it stays as it is.
func (s Step) Onward(by int) Step {
	if s.CutAt() < 0 {
		return s.ToCut(0)
	}
	return s.ToCut(s.CutAt() + by)
}

// ToCut is the step with the chunk of a cut, by its index in the plan; as it was where
// there is none of that index.
func (s Step) ToCut(i int) Step {
	if i >= 0 && i < len(s.Plan) {
		s.Chunk = s.Plan[i].chunk(s.Chunk)
	}
	return s
}

// WithCut is the step with its chunk put at the end of the plan; as it was where the
// chunk is in the plan already.
func (s Step) WithCut(why string) Step {
	if s.CutAt() < 0 && len(s.Plan) < MaxCuts {
		s.Plan = append(slices.Clone(s.Plan), Cut{s.Chunk.Bar, s.Chunk.At, s.Chunk.Length, why})
	}
	return s
}

// WithoutCut is the step with the cut that it is at taken out of the plan. The chunk
// goes to the next one, or to the one before at the end.
func (s Step) WithoutCut() Step {
	i := s.CutAt()
	if i < 0 {
		return s
	}
	if s.Plan = slices.Delete(slices.Clone(s.Plan), i, i+1); len(s.Plan) == 0 {
		s.Plan = nil
		return s
	}
	s.Chunk = s.Plan[min(i, len(s.Plan)-1)].chunk(s.Chunk)
	return s
}

// CutMoved is the step with the cut that it is at moved by so many places in the plan,
// within its ends.
func (s Step) CutMoved(by int) Step {
	i := s.CutAt()
	to := min(max(i+by, 0), len(s.Plan)-1)
	if i < 0 || to == i {
		return s
	}
	cut := s.Plan[i]
	plan := slices.Delete(slices.Clone(s.Plan), i, i+1)
	s.Plan = slices.Insert(plan, to, cut)
	return s
}

// checkPlan says what is wrong with the first cut that is at fault.
func (s Step) checkPlan(m click.Measures) []Fault {
	if len(s.Plan) > MaxCuts {
		return []Fault{{"plan", fmt.Sprintf("there are %d chunks", len(s.Plan)), fmt.Sprintf("write at most %d", MaxCuts)}}
	}
	if i := s.WrongCut(m); i >= 0 {
		return s.Plan[i].check(m)
	}
	return nil
}

// WrongCut is the index of the first cut that is at fault, below 0 for none.
func (s Step) WrongCut(m click.Measures) int {
	return slices.IndexFunc(s.Plan, func(c Cut) bool { return len(c.check(m)) > 0 })
}

func (c Cut) check(m click.Measures) []Fault {
	for _, f := range checkText("reason", c.Why, MaxName, false) {
		return []Fault{{"plan", f.What, f.Want}}
	}
	if strings.Contains(c.Why, ";") {
		return []Fault{{"plan", "the reason of a chunk holds a semicolon", "write it without"}}
	}
	return checkChunk("plan", c.chunk(Chunk{}), m)
}
