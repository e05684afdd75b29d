package ladder

import (
	"slices"
	"testing"

	"footing/audio/click"
	"footing/ladder/angle"
)

// Every rep takes another angle than the one before it, which is what is recorded of
// it, and keeps its length but for what leads it in.
func TestAVaryingStepNeverTakesOneAngleTwiceRunning(t *testing.T) {
	p := newPlayer(practice(func(s *Step) { s.Slots = click.EvenSlots(4); s.Vary = 7 }), false)
	p.do(Start{})
	for range 40 {
		p.rep(Skip)
	}
	p.do(Leave{})
	var last Played
	seen := map[angle.Angle]bool{}
	for _, r := range p.recorded {
		if last.Number > 0 && r.Angle == last.Angle {
			t.Errorf("reps %d and %d are both %s", last.Number, r.Number, r.Angle)
		}
		if !r.Angle.Keeps() {
			t.Errorf("rep %d: %s", r.Number, r.Angle)
		}
		last = r
		seen[r.Angle] = true
	}
	all := 0
	for _, a := range p.state.Step().Angles() {
		if a.Keeps() {
			all++
		}
	}
	if len(seen) != all || all < 20 {
		t.Errorf("%d angles in 40 reps, of %d", len(seen), all)
	}
}

// The angle of a step is heard in its reps, and in nothing else.
func TestAnAngleSounds(t *testing.T) {
	p := newPlayer(practice(func(s *Step) {
		s.Slots = click.EvenSlots(2)
		s.Angle, _ = angle.Parse("long short")
	}), false)
	p.do(Start{})
	var places []click.Beats
	for p.next() && len(places) == 0 {
		for _, s := range p.now.Strokes {
			switch {
			case p.now.Kind != click.Rep && s.Cell != 0:
				t.Errorf("cell %d in a %s", s.Cell, p.now.Kind)
			case s.Cell > 0:
				places = append(places, s.At)
			}
		}
	}
	want := []click.Beats{{}, click.Frac(3, 4), click.Whole(1), click.Frac(7, 4)}
	if len(places) != len(want) {
		t.Fatalf("notes at %v, want %v", places, want)
	}
	for i := range want {
		if places[i] != want[i] {
			t.Errorf("note %d at %s, want %s", i, places[i], want[i])
		}
	}
	if part := p.state.Sounding; part.Angle != p.state.Step().Angle {
		t.Errorf("%s sounds", part.Angle)
	}
}

func TestTurnedTo(t *testing.T) {
	s := practice(func(s *Step) { s.Slots = click.EvenSlots(4) }).Steps[0]
	all := s.Angles()
	for i := range all {
		if s.Angle != all[i] {
			t.Fatalf("after %d turns it is at %s, want %s", i, s.Angle, all[i])
		}
		if len(s.Check()) > 0 {
			t.Errorf("%s: %v", s.Angle, s.Check())
		}
		s = s.TurnedTo(1)
	}
	if s.Angle != (angle.Angle{}) {
		t.Errorf("round it is at %s", s.Angle)
	}
}

// Once it is known where notes begin, a step's angle goes by them, in what is planned
// already too; it is nothing to be saved, and holds for these notes alone.
func TestAnAngleGoesByTheNotesThatAreKnown(t *testing.T) {
	p := newPlayer(practice(func(s *Step) {
		s.Slots, s.CountIn = click.EvenSlots(4), 0
		s.Notes.Typed.Text = "eighths"
		s.Angle, _ = angle.Parse("long short")
	}), false)
	m, _ := p.state.Step().Measures()
	start := m.Place(p.state.Step().Chunk.Bar, p.state.Step().Chunk.At)
	var eighths []click.Beats
	for i := range 8 {
		eighths = append(eighths, start.Add(click.Frac(int64(i), 2)))
	}
	struck := func() (out []string) {
		for _, s := range p.waiting.Strokes {
			if s.Cell > 0 {
				out = append(out, s.At.String())
			}
		}
		return out
	}
	is := func(what string, want ...string) {
		t.Helper()
		if got := struck(); !slices.Equal(got, want) {
			t.Errorf("%s: notes at %v, want %v", what, got, want)
		}
	}
	p.do(Start{})
	is("by slots", "0", "3/8", "1/2", "7/8", "1", "11/8", "3/2", "15/8")
	revised := p.revised
	p.do(Know{Step: p.state.Step(), Begins: eighths})
	is("by notes", "0", "3/4", "1", "7/4")
	if p.revised != revised || p.state.Routine.Steps[0].Begins != nil {
		t.Error("what is found is to be saved")
	}
	if !p.state.Step().ByNotes() {
		t.Error("the step does not go by notes")
	}
	edited := p.state.Step()
	edited.Pencil = "thumb early"
	p.do(Revise{edited})
	is("after an edit of something else", "0", "3/4", "1", "7/4")
	if p.state.Routine.Steps[0].Begins != nil {
		t.Error("what is found is kept in the routine")
	}
	again := p.state.Routine
	again.Name = "Evening runs"
	p.do(Replan{again})
	is("with another version of the routine", "0", "3/4", "1", "7/4")
	edited = p.state.Step()
	edited.Notes.Typed.Text = "sixteenths"
	p.do(Revise{edited})
	is("of other notes", "0", "3/8", "1/2", "7/8", "1", "11/8", "3/2", "15/8")
	p.do(Know{Step: again.Steps[0], Begins: eighths})
	if p.state.Step().ByNotes() {
		t.Error("notes that the step has no more are taken for its own")
	}
	p.do(Know{Step: p.state.Step(), Begins: eighths})
	p.do(Know{Step: p.state.Step()})
	is("when there are none any more", "0", "3/8", "1/2", "7/8", "1", "11/8", "3/2", "15/8")
	edited = p.state.Step()
	edited.Slots = click.Swing(2, 1)
	edited.Begins = eighths
	if edited.ByNotes() {
		t.Error("swung slots are no slots to go by")
	}
}
