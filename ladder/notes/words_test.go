package notes_test

import (
	"slices"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage"
)

func find(t *testing.T, s ladder.Step) *notes.Notes {
	t.Helper()
	n, _, err := notes.Of(s, nil)
	if err != nil || n == nil {
		t.Fatalf("%v, %v", n, err)
	}
	return n
}

func TestAChangeIsNamedAsItIsSaid(t *testing.T) {
	for _, tt := range []struct{ from, to, want string }{
		{"G4", "A4", "from G to A"},
		{"A4", "Bb4", "from A to B flat"},
		{"C#5", "F##5", "from C sharp to F double sharp"},
		{"G3", "G3", "from G to the next G"},
		{"G3", "G4", "from G up to the next G"},
		{"Bb4", "Bb3", "from B flat down to the next B flat"},
		{"A#4", "Bb4", "from A sharp to B flat"},
	} {
		a, _ := passage.ParsePitch(tt.from)
		b, _ := passage.ParsePitch(tt.to)
		if got := notes.Change(a, b); got != tt.want {
			t.Errorf("%s, %s: %q, want %q", tt.from, tt.to, got, tt.want)
		}
	}
}

// A chunk is named by what the player reads, whatever it sounds, and without its
// landing.
func TestAChunkIsNamedByItsNotes(t *testing.T) {
	for _, tt := range []struct {
		text string
		at   click.Beats
		long click.Beats
		want string
	}{
		{"C2D2 E2F2 |", click.Beats{}, click.Whole(1), "C"},
		{"C2D2 E2F2 |", click.Beats{}, click.Whole(2), "from C to D"},
		{"C2D2 E2F2 |", click.Beats{}, click.Whole(3), "C to E"},
		{"C2D2 E2_B2 |", click.Beats{}, click.Whole(4), "C to B flat"},
		{"C2D2 z2_B2 |", click.Whole(2), click.Whole(1), ""},
		{"C4- C2_B2 |", click.Whole(1), click.Whole(3), "B flat"},
	} {
		s := typed(tt.text, func(s *ladder.Step) {
			s.Chunk = ladder.Chunk{Bar: 17, At: tt.at, Length: tt.long, Landing: tt.at.Add(tt.long).Less(click.Whole(4))}
			s.Notes.Instrument = ladder.Instrument{Name: "clarinet in B flat"}
		})
		if got := find(t, s).Words(s); got != tt.want {
			t.Errorf("%s from %v for %v: %q, want %q", tt.text, tt.at, tt.long, got, tt.want)
		}
	}
}

// What is proposed instead of a chunk that is too hard is named by its notes; no
// other advice is touched, nor any where there are no notes.
func TestAdviceNamesWhatToCutOut(t *testing.T) {
	s := typed("C2D2 E2_B2 |", nil)
	n := find(t, s)
	state := ladder.New(ladder.Routine{Name: "Morning", Steps: []ladder.Step{s}}, false)
	if a, plain := n.Advice(state), state.Advice(); a != plain {
		t.Errorf("%+v, want %+v while nothing is too hard", a, plain)
	}
	state.Standing.TooHard = true
	if a := n.Advice(state); a.Next != "halve it: from C to D" || a.Line != state.Advice().Line {
		t.Errorf("%+v", a)
	}
	if a := (*notes.Notes)(nil).Advice(state); a != state.Advice() {
		t.Errorf("%+v without notes", a)
	}
}

// The wants of a rep: as many as notes begin in it, each where a model sounds it,
// with what may be heard beside it.
func TestWants(t *testing.T) {
	s := typed("{e}C2D- D2/2TE2F2/2z/2 |", func(s *ladder.Step) {
		s.Chunk = ladder.Chunk{Bar: 17, At: click.Frac(3, 2), Length: click.Frac(3, 2), Landing: true}
		s.Notes.Instrument = ladder.Instrument{Name: "clarinet in B flat"}
	})
	n := find(t, s)
	wants := n.Wants(s)
	tones := n.Tones(s, s.Loop().RepPhrase(click.BPM(60)), false)
	if len(wants) == 0 || len(wants) != len(tones) {
		t.Fatalf("%d wants, %d tones", len(wants), len(tones))
	}
	for i, w := range wants {
		if w.At != tones[i].At || w.Sounds[0] != int(tones[i].Pitch) || w.Pitch.Cents() != w.Sounds[0]+200 || w.Bar != 17 {
			t.Errorf("want %+v, tone %+v", w, tones[i])
		}
	}
	first, last := wants[0], wants[len(wants)-1]
	if want := []int{6000, 6100, 6200, 6300, 6400, 6000}; !slices.Equal(first.Beside, want) {
		t.Errorf("beside a trill, and what sounds into the chunk: %v, want %v", first.Beside, want)
	}
	if first.Landing || !last.Landing {
		t.Errorf("the landing: %+v", wants)
	}
	all := march.Step(nil)
	all.Notes.Typed = s.Notes.Typed
	all.Passage.To = 17
	all.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(1)}
	if w := find(t, all).Wants(all); len(w[0].Beside) != 1 || w[0].Beside[0] != 7600 {
		t.Errorf("beside a grace note's note: %+v", w[0])
	}
	all.Chunk.At, all.Chunk.Length = click.Frac(1, 2), click.Frac(1, 4)
	if w := find(t, all).Wants(all); len(w) != 0 {
		t.Errorf("in a held note: %+v", w)
	}
}
