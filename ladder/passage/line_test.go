package passage

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"footing/audio/click"
)

func open(t *testing.T, name string) *Part {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "made", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s, _, err := Read(context.Background(), f, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return &s.Parts[0]
}

// The line with most notes comes first; one of cues and rests last.
func TestLines(t *testing.T) {
	lines := open(t, "made-19-cue-notes.musicxml").Lines()
	if len(lines) != 2 || lines[0].Voice != "1" || lines[1].Voice != "2" || lines[0].Staff != 1 || len(lines[0].Notes) != 4 {
		t.Fatalf("%+v", lines)
	}
	if got := lines[0].Between(1, 1); len(got) != 3 || got[0].Pitch != MiddleC {
		t.Errorf("bar index 1 has %v", got)
	}
	if got := lines[0].Between(2, 9); len(got) != 0 {
		t.Errorf("behind the end stand %v", got)
	}
}

func TestWhatIsInForce(t *testing.T) {
	p := open(t, "made-12-change-of-instrument.musicxml")
	for _, c := range []struct {
		bar               int
		fifths, chromatic int
	}{{0, 1, -2}, {1, 1, -2}, {2, 2, -3}, {3, 2, -3}} {
		now := p.At(c.bar, Quarters{}, 1)
		if now.Key.Fifths != c.fifths || now.Transpose.Chromatic != c.chromatic || now.Meter.String() != "4/4" || now.Clef.String() != "G2" {
			t.Errorf("bar index %d: %+v", c.bar, now)
		}
	}
	if got := (&Part{}).At(0, Quarters{}, 1).Clef.String(); got != "G2" {
		t.Errorf("with no clef there is %s", got)
	}
	two := &Part{Changes: []Change{{Clef: &Clef{Sign: "F", Line: 4}, Staff: 2}, {At: click.Whole(2), Clef: &Clef{Sign: "C", Line: 4}}}}
	for _, c := range []struct {
		at, staff int
		want      string
	}{{0, 1, "G2"}, {0, 2, "F4"}, {1, 2, "F4"}, {2, 2, "C4"}, {2, 1, "C4"}} {
		if got := two.At(0, click.Whole(c.at), c.staff).Clef.String(); got != c.want {
			t.Errorf("at %d on staff %d there is %s, want %s", c.at, c.staff, got, c.want)
		}
	}
}

// Ties join where both ends fit and no time lies between, and only there.
func TestSounding(t *testing.T) {
	p := &Part{Bars: []Bar{{}}}
	a, b := Pitch{Letter: A, Octave: 4}, Pitch{Letter: B, Octave: 4}
	note := func(at int, pitch Pitch, to, from bool) Note {
		return Note{At: click.Whole(at), Duration: click.Whole(1), Pitch: pitch, TieTo: to, TieFrom: from}
	}
	grace := func(n Note) Note { n.Grace, n.Duration = PlainGrace, Quarters{}; return n }
	for _, c := range []struct {
		name  string
		notes []Note
		want  []int // durations
	}{
		{"tied", []Note{note(0, a, true, false), note(1, a, false, true)}, []int{2}},
		{"tied on and on", []Note{note(0, a, true, false), note(1, a, true, true), note(2, a, false, true)}, []int{3}},
		{"a grace note between", []Note{note(0, a, true, false), grace(note(1, b, false, false)), note(1, a, false, true)}, []int{2}},
		{"no stop", []Note{note(0, a, true, false), note(1, a, false, false)}, []int{1, 1}},
		{"no start", []Note{note(0, a, false, false), note(1, a, false, true)}, []int{1, 1}},
		{"another pitch", []Note{note(0, a, true, false), note(1, b, false, true)}, []int{1, 1}},
		{"time between", []Note{note(0, a, true, false), note(2, a, false, true)}, []int{1, 1}},
		{"another spelling", []Note{note(0, Pitch{Letter: A, Octave: 4, Alter: Sharp}, true, false), note(1, Pitch{Letter: B, Octave: 4, Alter: Flat}, false, true)}, []int{2}},
		{"a note between in time", []Note{note(0, a, true, false), note(0, b, true, false), note(1, a, false, true), note(1, b, false, true)}, []int{2, 2}},
	} {
		sounds := p.Sounding(c.notes)
		if len(sounds) != len(c.want) {
			t.Errorf("%s: %v", c.name, sounds)
			continue
		}
		for i, s := range sounds {
			if s.Duration != click.Whole(c.want[i]) {
				t.Errorf("%s: sound %d lasts %v, want %d", c.name, i, s.Duration, c.want[i])
			}
		}
	}
}

func TestValues(t *testing.T) {
	for v := Maxima; v <= Value1024; v++ {
		for dots := range 4 {
			if back, n, ok := Written(v.Length(dots)); !ok || back != v || n != dots {
				t.Errorf("%v with %d dots lasts %v, which is written %v with %d", v, dots, v.Length(dots), back, n)
			}
		}
		if back, ok := ParseValue(v.String()); !ok || back != v {
			t.Errorf("%v is read as %v", v, back)
		}
	}
	if Quarter.Length(0) != click.Whole(1) || Eighth.Flags() != 1 || ThirtySecond.Flags() != 3 || Whole.Flags() != 0 {
		t.Error("a quarter is not a quarter")
	}
	if v, _, ok := Written(click.Frac(1, 3)); ok {
		t.Errorf("a triplet's eighth is written %v", v)
	}
}
