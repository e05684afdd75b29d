package ladder

import (
	"strings"
	"testing"

	"footing/audio/click"
)

func TestAPlanIsWalked(t *testing.T) {
	s := practice(func(s *Step) {
		s.Chunk.Landing = false
		s.Plan = []Cut{
			{Bar: 17, Length: click.Whole(1), Why: "the two notes"},
			{Bar: 18, At: click.Whole(2), Length: click.Frac(1, 2)},
			{Bar: 17, Length: click.Whole(4)},
		}
	}).Steps[0]
	if s.CutAt() != -1 {
		t.Fatalf("it begins at cut %d", s.CutAt())
	}
	for i, want := range []int{0, 1, 2, 2} {
		if s = s.Onward(1); s.CutAt() != want {
			t.Errorf("walk %d leads to cut %d, want %d", i, s.CutAt(), want)
		}
	}
	for _, want := range []int{1, 0, 0} {
		if s = s.Onward(-1); s.CutAt() != want {
			t.Errorf("back at cut %d, want %d", s.CutAt(), want)
		}
	}
	if s.Chunk.Landing {
		t.Error("it lands where the step did not")
	}
	if s = s.Moved(click.Whole(1)).Onward(-1); s.CutAt() != 0 {
		t.Errorf("from elsewhere back to cut %d", s.CutAt())
	}
	s.Plan = nil
	if got := s.Onward(1); got.Chunk != s.Chunk {
		t.Error("without a plan it moved")
	}
}

func TestWhatIsNoPlan(t *testing.T) {
	for _, tt := range []struct {
		name, want string
		plan       []Cut
	}{
		{"outside the passage", "the chunk starts in bar 25, outside bars 17-20", []Cut{{Bar: 17, Length: click.Whole(1)}, {Bar: 25, Length: click.Whole(1)}}},
		{"too long", "a chunk of 17 beats from 17:1 ends after bar 20", []Cut{{Bar: 17, Length: click.Whole(17)}}},
		{"a semicolon", "holds a semicolon", []Cut{{Bar: 17, Length: click.Whole(1), Why: "a; b"}}},
		{"a reason without end", "longer than 200 characters", []Cut{{Bar: 17, Length: click.Whole(1), Why: strings.Repeat("a", 201)}}},
		{"too many", "there are 201 chunks", make([]Cut, 201)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := practice(nil).Steps[0]
			s.Plan = tt.plan
			faults := s.Check()
			if len(faults) != 1 || faults[0].Key != "plan" || !strings.Contains(faults[0].What, tt.want) {
				t.Errorf("%v, want one of the plan: %s", faults, tt.want)
			}
		})
	}
}

func TestAPlanIsEdited(t *testing.T) {
	s := practice(func(s *Step) {
		for bar := 17; bar <= 19; bar++ {
			s.Plan = append(s.Plan, Cut{Bar: bar, Length: click.Whole(4), Why: "bar"})
		}
	}).Steps[0]
	bars := func(s Step) string {
		var out []string
		for _, c := range s.Plan {
			out = append(out, click.FormatPlace(c.Bar, c.At))
		}
		return strings.Join(out, " ")
	}
	at := s.Onward(1).Onward(1) // 18
	for _, tt := range []struct {
		what string
		got  Step
		want string
		at   int
	}{
		{"what is no cut is not moved", s.CutMoved(1), "17:1 18:1 19:1", -1},
		{"nor taken out", s.WithoutCut(), "17:1 18:1 19:1", -1},
		{"but put at the end", s.WithCut("slip"), "17:1 18:1 19:1 18:2", 3},
		{"not where it is one already, the first too", s.Onward(1).WithCut("again"), "17:1 18:1 19:1", 0},
		{"once", s.WithCut("slip").WithCut("again"), "17:1 18:1 19:1 18:2", 3},
		{"a cut moves earlier", at.CutMoved(-1), "18:1 17:1 19:1", 0},
		{"and later", at.CutMoved(1), "17:1 19:1 18:1", 2},
		{"the first one too", s.Onward(1).CutMoved(1), "18:1 17:1 19:1", 1},
		{"within the ends", at.CutMoved(9).CutMoved(1), "17:1 19:1 18:1", 2},
		{"one is taken out for the next", at.WithoutCut(), "17:1 19:1", 1},
		{"the last for the one before", at.Onward(1).WithoutCut(), "17:1 18:1", 1},
		{"until there is no plan", at.WithoutCut().WithoutCut().WithoutCut(), "", -1},
	} {
		if got := bars(tt.got); got != tt.want || tt.got.CutAt() != tt.at {
			t.Errorf("%s: %s at %d, want %s at %d", tt.what, got, tt.got.CutAt(), tt.want, tt.at)
		}
	}
	if bars(s) != "17:1 18:1 19:1" {
		t.Error("an edit wrote to the step that it was made of")
	}
}
