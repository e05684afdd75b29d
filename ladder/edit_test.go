package ladder

import (
	"strings"
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

// passages are the passage of practice, with and without a pickup and changes of
// meter.
func passages(t *rapid.T) Step {
	return practice(func(s *Step) {
		s.Pickup = click.Frac(rapid.Int64Range(0, 15).Draw(t, "pickup"), 4)
		for bar := 18; bar <= 20; bar++ {
			if above := rapid.IntRange(0, 7).Draw(t, "meter"); above > 1 {
				s.Meters = append(s.Meters, click.MeterChange{Bar: bar, Meter: click.MakeMeter(above, 4)})
			}
		}
	}).Steps[0]
}

// No edit leads out of the passage or to a step that cannot be practised.
func TestEditsKeepAStepPractisable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := passages(t)
		for range rapid.IntRange(1, 30).Draw(t, "edits") {
			switch rapid.IntRange(0, 9).Draw(t, "edit") {
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
				s = s.WithMark(rapid.IntRange(15, 22).Draw(t, "bar"), rapid.IntRange(-1, 7).Draw(t, "beat"), rapid.IntRange(-1, 12).Draw(t, "slot"), click.Pianissimo)
			case 7:
				s = s.Shifted(rapid.IntRange(-9, 9).Draw(t, "slots on"))
			case 8:
				s = s.Longer(rapid.IntRange(-9, 9).Draw(t, "slots more"))
			case 9:
				s = s.WithSlots(click.Swing(2, 1))
			}
			if faults := s.Check(); len(faults) > 0 {
				t.Fatalf("%+v: %v", s, faults[0])
			}
		}
	})
}

// By slots a chunk comes to begin and end on any slot, and lies on no other
// place, whatever the slots are, over bar lines and into the pickup.
func TestAChunkBeginsAndEndsOnAnySlot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := passages(t).Bracketed(click.Beats{}, click.Whole(1))
		s.Pickup = click.Whole(s.Pickup.Floor())
		s = s.WithSlots(rapid.SampledFrom([]click.Slots{click.EvenSlots(1), click.EvenSlots(3), click.EvenSlots(4), click.Swing(2, 1), click.Swing(1, 3)}).Draw(t, "slots"))
		m, _ := s.Measures()
		var places []click.Beats
		for p := m.Start(); p.Cmp(m.End()) <= 0; p = s.Slots.From(p, 1) {
			places = append(places, p)
		}
		from := rapid.IntRange(0, len(places)-2).Draw(t, "from")
		to := rapid.IntRange(from+1, len(places)-1).Draw(t, "to")
		for range len(places) {
			s = s.Longer(-1)
		}
		for s.ChunkStart().Less(places[from]) {
			s = s.Shifted(1)
		}
		for places[from].Less(s.ChunkStart()) {
			s = s.Shifted(-1)
		}
		s = s.Longer(to - from - 1)
		if end := s.ChunkStart().Add(s.Chunk.Length); s.ChunkStart() != places[from] || end != places[to] {
			t.Fatalf("the chunk is %s to %s, want %s to %s", s.ChunkStart(), end, places[from], places[to])
		}
		if bar, at := m.Where(places[from]); s.Chunk.Bar != bar || s.Chunk.At != at {
			t.Fatalf("it starts at %d:%s, want %d:%s", s.Chunk.Bar, s.Chunk.At, bar, at)
		}
	})
}

// A chunk of whole beats goes by beats; off the beat, and under one, by slots.
func TestKeysGoByBeatsOrSlots(t *testing.T) {
	for _, tt := range []struct {
		at, length      click.Beats
		wider, narrower click.Beats
	}{
		{click.Whole(1), click.Whole(2), click.Whole(3), click.Whole(1)},
		{click.Whole(1), click.Frac(5, 2), click.Whole(3), click.Whole(2)},
		{click.Whole(1), click.Whole(1), click.Whole(2), click.Frac(3, 4)},
		{click.Whole(1), click.Frac(3, 4), click.Whole(1), click.Frac(1, 2)},
		{click.Frac(5, 4), click.Whole(2), click.Frac(9, 4), click.Frac(7, 4)},
		{click.Frac(5, 4), click.Frac(1, 4), click.Frac(1, 2), click.Frac(1, 4)},
	} {
		s := practice(func(s *Step) {
			s.Slots, s.Chunk.At, s.Chunk.Length = click.EvenSlots(4), tt.at, tt.length
		}).Steps[0]
		if got := s.Wider().Chunk.Length; got != tt.wider {
			t.Errorf("%s beats from %s are widened to %s, want %s", tt.length, tt.at, got, tt.wider)
		}
		if got := s.Narrower().Chunk.Length; got != tt.narrower {
			t.Errorf("%s beats from %s are narrowed to %s, want %s", tt.length, tt.at, got, tt.narrower)
		}
	}
}

func TestHalvedIsAboutHalf(t *testing.T) {
	for _, tt := range []struct {
		slots        click.Slots
		length, want click.Beats
	}{
		{click.EvenSlots(4), click.Whole(5), click.Whole(3)},
		{click.EvenSlots(4), click.Whole(1), click.Frac(1, 2)},
		{click.EvenSlots(3), click.Whole(1), click.Frac(2, 3)},
		{click.EvenSlots(4), click.Frac(1, 4), click.Frac(1, 4)},
		{click.Swing(2, 1), click.Whole(1), click.Frac(2, 3)},
		{click.Swing(2, 1), click.Frac(2, 3), click.Frac(2, 3)},
	} {
		s := practice(func(s *Step) { s.Slots, s.Chunk.Length = tt.slots, tt.length }).Steps[0]
		if got := s.Halved().Chunk.Length; got != tt.want {
			t.Errorf("%s beats in %s slots are halved to %s, want %s", tt.length, tt.slots, got, tt.want)
		}
	}
}

// A mark that is set where bars differ is that of its beat in every bar that has
// the beat.
func TestMarksWhereBarsDiffer(t *testing.T) {
	s := practice(func(s *Step) { meter35(s) }).Steps[0].WithMark(20, 4, 0, click.Silent)
	if len(s.Accents) != 5 || s.Accents[4][0] != click.Silent || s.Accents[0][0] != click.Forte || s.Accents[3][0] != click.MezzoForte {
		t.Errorf("the marks are %v", s.Accents)
	}
	if got := s.WithMark(19, 3, 0, click.Silent); got.Accents[3][0] != click.MezzoForte {
		t.Error("a bar of three has a fourth beat")
	}
}

func meter35(s *Step) {
	s.Meters = []click.MeterChange{{Bar: 19, Meter: click.MakeMeter(3, 4)}, {Bar: 20, Meter: click.MakeMeter(5, 4)}}
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

// An edit of one mark changes that mark alone: of every beat where one line is
// written for all, else of its beat.
func TestAMarkIsChangedAlone(t *testing.T) {
	lines := func(s Step) string {
		var out []string
		for _, line := range s.Accents {
			out = append(out, click.FormatMarks(line))
		}
		return strings.Join(out, " | ")
	}
	bare := practice(func(s *Step) { s.Slots = click.EvenSlots(2) }).Steps[0]
	one := bare
	one.Accents = click.Accents{{click.Forte, click.Piano}}
	full := bare.WithMark(17, 0, 0, click.Forte)
	for _, tt := range []struct {
		name       string
		step       Step
		beat, slot int
		want       string
	}{
		{"the default", bare, 1, 1, "f p | mf pp | mf p | mf p"},
		{"the first of the default", bare, 0, 0, "pp p | mf p | mf p | mf p"},
		{"one line", one, 3, 1, "f pp"},
		{"a line for each beat", full, 3, 0, "f p | mf p | mf p | pp p"},
		{"no such beat", full, 4, 0, "f p | mf p | mf p | mf p"},
		{"no beat", full, -1, 0, "f p | mf p | mf p | mf p"},
		{"no such slot", full, 0, 2, "f p | mf p | mf p | mf p"},
		{"no slot", full, 0, -1, "f p | mf p | mf p | mf p"},
	} {
		before := lines(tt.step)
		if got := lines(tt.step.WithMark(18, tt.beat, tt.slot, click.Pianissimo)); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
		if after := lines(tt.step); after != before {
			t.Errorf("%s: the step it was made from has %q now", tt.name, after)
		}
	}
}

// The sizes that a key leads through, up and down: slots up to a beat, then beats.
func TestSizesOfAChunk(t *testing.T) {
	size := func(s Step) string { return s.Chunk.Length.String() }
	at := func(length click.Beats) Step {
		return practice(func(s *Step) { s.Slots, s.Chunk.Length = click.EvenSlots(4), length }).Steps[0]
	}
	for _, tt := range []struct {
		length                click.Beats
		wider, narrower, half string
	}{
		{click.Frac(1, 4), "1/2", "1/4", "1/4"},
		{click.Frac(1, 2), "3/4", "1/4", "1/4"},
		{click.Frac(3, 4), "1", "1/2", "1/2"},
		{click.Whole(1), "2", "3/4", "1/2"},
		{click.Frac(5, 4), "2", "1", "1"},
		{click.Whole(2), "3", "1", "1"},
		{click.Frac(5, 2), "3", "2", "2"},
		{click.Whole(3), "4", "2", "2"},
		{click.Whole(4), "5", "3", "2"},
		{click.Whole(5), "6", "4", "3"},
		{click.Whole(11), "11", "10", "6"},
	} {
		s := at(tt.length)
		if got := []string{size(s.Wider()), size(s.Narrower()), size(s.Halved())}; got[0] != tt.wider || got[1] != tt.narrower || got[2] != tt.half {
			t.Errorf("%v beats become %v, want %v", tt.length, got, []string{tt.wider, tt.narrower, tt.half})
		}
	}
}

// A bracket that is dragged past an end of the passage stops there.
func TestABracketStopsAtTheEndsOfThePassage(t *testing.T) {
	s := practice(func(s *Step) { s.Slots = click.EvenSlots(4) }).Steps[0] // 16 beats
	for _, tt := range []struct{ start, length, wantStart, wantLength click.Beats }{
		{click.Whole(0), click.Whole(16), click.Whole(0), click.Whole(16)},
		{click.Whole(3), click.Whole(17), click.Whole(0), click.Whole(16)},
		{click.Whole(-1), click.Whole(2), click.Whole(0), click.Whole(2)},
		{click.Whole(14), click.Whole(2), click.Whole(14), click.Whole(2)},
		{click.Whole(15), click.Whole(2), click.Whole(14), click.Whole(2)},
		{click.Whole(4), click.Frac(1, 8), click.Whole(4), click.Frac(1, 4)},
		{click.Frac(63, 4), click.Whole(0), click.Frac(63, 4), click.Frac(1, 4)},
		{click.Frac(9, 2), click.Whole(3), click.Frac(9, 2), click.Whole(3)},
	} {
		got := s.Bracketed(tt.start, tt.length)
		if got.ChunkStart() != tt.wantStart || got.Chunk.Length != tt.wantLength {
			t.Errorf("%v from %v becomes %v from %v, want %v from %v", tt.length, tt.start, got.Chunk.Length, got.ChunkStart(), tt.wantLength, tt.wantStart)
		}
	}
	if got := s.Moved(click.Frac(3, 4)).ChunkStart(); got != click.Frac(23, 4) {
		t.Errorf("moved by 3/4 of a beat it starts at %v", got)
	}
	// At the very end there is room for one slot.
	end := s.Bracketed(click.Frac(63, 4), click.Frac(1, 4)).WithSlots(click.EvenSlots(2))
	if got := end.Narrower(); got.Chunk.Length != click.Frac(1, 2) || got.ChunkStart() != click.Frac(31, 2) {
		t.Errorf("one slot of two at the end is %v from %v", got.Chunk.Length, got.ChunkStart())
	}
}

// Slots of several kinds, one after the other, cut no beat finer than can be
// played.
func TestManyKindsOfSlotsStayPlayable(t *testing.T) {
	s := practice(func(s *Step) { s.Pickup = click.Frac(1, 4) }).Steps[0]
	s = s.WithSlots(click.EvenSlots(5)).Bracketed(click.Whole(0), click.Whole(20)).Narrower()
	for _, n := range []int{7, 9, 11, 5, 12} {
		s = s.WithSlots(click.EvenSlots(n)).Longer(-1)
		if faults := s.Check(); len(faults) > 0 {
			t.Fatalf("at %d slots: %v", n, faults[0])
		}
	}
}
