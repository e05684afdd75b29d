package click

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Three against two over a beat of one second: 0, 333.3, 500 and 666.7 ms, as the
// theory of rhythm has it, and each strand with its own sound.
func TestThreeAgainstTwo(t *testing.T) {
	l := Loop{
		Measures: meterOf(t, MakeMeter(2, 4)), Slots: Cross(3, 2), Count: CountNumber,
		Chunk: Chunk{Bar: 1, Length: Whole(1)},
	}
	p := l.RepPhrase(BPM(60))
	for i, want := range []struct {
		at       Beats
		frame    int64 // at 48 000 a second
		dynamics Dynamics
		voice    Voice
		syllable string
	}{
		{Beats{}, 0, Forte, AccentVoice, "1"},
		{Frac(1, 3), 16_000, Piano, SlotVoice, ""},
		{Frac(1, 2), 24_000, MezzoForte, BeatVoice, ""},
		{Frac(2, 3), 32_000, Piano, SlotVoice, ""},
	} {
		s := p.Strokes[i]
		line := NewTimeline(0, p.Tempo, 48_000)
		if s.At != want.at || line.At(s.At).Round() != want.frame || s.Dynamics != want.dynamics || s.Voice != want.voice || s.Syllable != want.syllable {
			t.Errorf("stroke %d is %+v at frame %d, want %+v", i+1, s, line.At(s.At).Round(), want)
		}
	}
	if len(p.Strokes) != 4 {
		t.Errorf("%d strokes, want 4", len(p.Strokes))
	}
}

// Swing 2:1 is the first and the third of a triplet.
func TestSwingIsATripletWithoutItsSecond(t *testing.T) {
	triplet, swing := EvenSlots(3), Swing(2, 1)
	if swing.At(0) != triplet.At(0) || swing.At(1) != triplet.At(2) || swing.At(2) != triplet.At(3) {
		t.Errorf("swing falls on %s and %s, the triplet on %s and %s", swing.At(0), swing.At(1), triplet.At(0), triplet.At(2))
	}
}

// Of any cross-rhythm the slots are the strokes of both strands, each once and in
// order, and the strand that is named last is struck as the beat is.
func TestCrossRhythms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.IntRange(-1, 14).Draw(t, "a"), rapid.IntRange(-1, 14).Draw(t, "b")
		s, err := ParseCross(Slots{first: a, then: b, cross: true}.String())
		if fits := a >= 2 && b >= 2 && a+b <= MaxSlots+1 && gcd(int64(a), int64(b)) == 1; (err == nil) != fits {
			t.Fatalf("%d:%d: error %v", a, b, err)
		} else if !fits {
			return
		}
		var want, beats []Beats
		for i := range a {
			want = append(want, Frac(int64(i), int64(a)))
		}
		for i := range b {
			beats = append(beats, Frac(int64(i), int64(b)))
		}
		want = append(want, beats...)
		slices.SortFunc(want, Beats.Cmp)
		want = slices.Compact(want)
		if s.Count() != len(want) {
			t.Fatalf("%s has %d slots, want %d", s, s.Count(), len(want))
		}
		shortest := Whole(1)
		for i, at := range want {
			if s.At(i) != at || s.OnBeat(i) != slices.Contains(beats, at) {
				t.Fatalf("slot %d of %s is at %s, struck as a beat: %v; want %s", i, s, s.At(i), s.OnBeat(i), at)
			}
			next := Whole(1)
			if i+1 < len(want) {
				next = want[i+1]
			}
			if next.Sub(at).Less(shortest) {
				shortest = next.Sub(at)
			}
			// The next slot and the one before, from a slot and from between two.
			from := Whole(3).Add(at)
			if got := s.From(from, 1); got != Whole(3).Add(next) || s.From(got, -1) != from {
				t.Fatalf("from %s the next slot of %s is %s, and back %s; want %s", from, s, got, s.From(got, -1), Whole(3).Add(next))
			}
			between := from.Add(Frac(1, 1000))
			if s.From(between, 1) != Whole(3).Add(next) || s.From(between, -1) != from || s.From(between, 0) != between {
				t.Fatalf("from %s the slots of %s are %s and %s", between, s, s.From(between, 1), s.From(between, -1))
			}
		}
		if s.At(s.Count()) != Whole(1) || s.Shortest() != shortest {
			t.Fatalf("%s ends at %s, and its shortest slot is %s; want %s", s, s.At(s.Count()), s.Shortest(), shortest)
		}
		if n := rapid.IntRange(-30, 30).Draw(t, "n"); s.From(s.From(Whole(2), n), -n) != Whole(2) {
			t.Fatalf("%d slots of %s and back is %s", n, s, s.From(s.From(Whole(2), n), -n))
		}
		if x, y, ok := s.Crossed(); x != a || y != b || !ok {
			t.Fatalf("%s is crossed %d:%d, %v", s, x, y, ok)
		}
		if _, _, swung := s.Swung(); swung {
			t.Fatalf("%s is swung", s)
		}
	})
	if _, _, ok := Swing(3, 2).Crossed(); ok || Swing(3, 2) == Cross(3, 2) || Swing(3, 2).OnBeat(1) {
		t.Error("a swing is a cross-rhythm")
	}
	if got := EvenSlots(4).String() + " " + Swing(2, 1).String() + " " + Cross(4, 3).String(); got != "4 2:1 4:3" {
		t.Errorf("four slots, a swing and a cross-rhythm are written %s", got)
	}
	for _, text := range []string{"2:3", "3:2", "7:6", "11:2", " 4 : 3 "} {
		if _, err := ParseCross(text); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
	for _, text := range []string{"", "3", "3:", ":2", "3:2:1", "x:2", "3/2", "2:1", "1:2", "2:2", "4:2", "9:5", "12:1", "13:2"} {
		if s, err := ParseCross(text); err == nil {
			t.Errorf("%q is read as %s", text, s)
		} else if !strings.Contains(err.Error(), "13 together at most") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// Sevens are accented by their groups.
func TestGroupsOfSevenAreAccented(t *testing.T) {
	for _, tt := range []struct {
		meter string
		want  string
	}{{"2+2+3/8", "f mf f mf f mf mf"}, {"3+2+2/8", "f mf mf f mf f mf"}} {
		m, err := ParseMeter(tt.meter)
		if err != nil {
			t.Fatal(err)
		}
		l := Loop{Measures: meterOf(t, m), Chunk: Chunk{Bar: 1, Length: Whole(7)}}
		var got []Dynamics
		for _, s := range l.RepPhrase(BPM(160)).Strokes {
			got = append(got, s.Dynamics)
		}
		if FormatMarks(got) != tt.want {
			t.Errorf("%s is struck %s, want %s", tt.meter, FormatMarks(got), tt.want)
		}
	}
}

// meterOf is two bars of a meter.
func meterOf(t *testing.T, m Meter) Measures {
	t.Helper()
	measures, err := NewMeasures(1, 2, Beats{}, m.Unit(), m)
	if err != nil {
		t.Fatal(err)
	}
	return measures
}
