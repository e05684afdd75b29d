package ladder

import (
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

func TestSlotsTakeTheMarksWithThem(t *testing.T) {
	marks := func(s string) click.Accents {
		m, err := click.ParseMarks(s)
		if err != nil {
			t.Fatal(err)
		}
		return click.Accents{m}
	}
	for _, tt := range []struct {
		from, to   int
		marks, got string
	}{
		{4, 2, "f - pp mf", "f pp"},
		{4, 3, "f - pp mf", "f - pp"},
		{2, 4, "f p", "f p p p"},
		{4, 1, "f - pp mf", "f"},
		{1, 4, "f", "f p p p"},
		{4, 4, "f - pp mf", "f - pp mf"},
	} {
		s := practice(func(s *Step) { s.Slots, s.Accents = click.EvenSlots(tt.from), marks(tt.marks) }).Steps[0]
		s = s.WithSlots(click.EvenSlots(tt.to))
		if got := click.FormatMarks(s.Accents[0]); got != tt.got {
			t.Errorf("%q in %d slots is %q, want %q", tt.marks, tt.to, got, tt.got)
		}
	}
}

// No edit leads out of the passage or to a step that cannot be practised.
func TestEditsKeepAStepPractisable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := practice(nil).Steps[0]
		for range rapid.IntRange(1, 30).Draw(t, "edits") {
			switch rapid.IntRange(0, 6).Draw(t, "edit") {
			case 0:
				s = s.Wider()
			case 1:
				s = s.Narrower()
			case 2:
				s = s.Halved()
			case 3:
				s = s.Moved(click.Frac(rapid.Int64Range(-40, 40).Draw(t, "by"), rapid.SampledFrom([]int64{1, 2, 3, 4}).Draw(t, "of")))
			case 4:
				s = s.Bracketed(click.Whole(rapid.IntRange(-5, 20).Draw(t, "start")), click.Whole(rapid.IntRange(-1, 20).Draw(t, "length")))
			case 5:
				s = s.WithSlots(click.EvenSlots(rapid.IntRange(1, click.MaxSlots).Draw(t, "slots")))
			case 6:
				s = s.WithMark(rapid.IntRange(-1, 4).Draw(t, "beat"), rapid.IntRange(-1, 12).Draw(t, "slot"), click.Pianissimo)
			}
			if faults := s.Check(); len(faults) > 0 {
				t.Fatalf("%+v: %v", s, faults[0])
			}
		}
	})
}

func TestWiderAndNarrowerAreInverse(t *testing.T) {
	s := practice(func(s *Step) { s.Slots = click.EvenSlots(4) }).Steps[0]
	var sizes []string
	for range 6 {
		s = s.Narrower()
		sizes = append(sizes, s.Chunk.Length.String())
	}
	for range 3 {
		s = s.Wider()
	}
	if got := s.Chunk.Length; got != click.Whole(1) {
		t.Errorf("narrowed to %v and widened back to %v, want 1", sizes, got)
	}
}
