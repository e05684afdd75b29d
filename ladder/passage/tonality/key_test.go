package tonality_test

import (
	"slices"
	"strings"
	"testing"

	"footing/ladder/passage"
	"footing/ladder/passage/tonality"

	"pgregory.net/rapid"
)

func anyKey(t *rapid.T) tonality.Key {
	return tonality.Key{
		Letter: passage.Letter(rapid.IntRange(0, 6).Draw(t, "letter")),
		Alter:  passage.Alter(100 * rapid.IntRange(-2, 2).Draw(t, "alter")),
		Mode:   tonality.Mode(rapid.IntRange(0, int(tonality.Locrian)).Draw(t, "mode")),
	}
}

// steps are the semitones between the notes of each scale (common practice, no
// source); the code has the row of fifths instead.
var steps = map[tonality.Mode][]int{
	tonality.Major:         {2, 2, 1, 2, 2, 2, 1},
	tonality.NaturalMinor:  {2, 1, 2, 2, 1, 2, 2},
	tonality.HarmonicMinor: {2, 1, 2, 2, 1, 3, 1},
	tonality.MelodicMinor:  {2, 1, 2, 2, 2, 2, 1},
	tonality.Dorian:        {2, 1, 2, 2, 2, 1, 2},
	tonality.Phrygian:      {1, 2, 2, 2, 1, 2, 2},
	tonality.Lydian:        {2, 2, 2, 1, 2, 2, 1},
	tonality.Mixolydian:    {2, 2, 1, 2, 2, 1, 2},
	tonality.Locrian:       {1, 2, 2, 1, 2, 2, 2},
}

func TestScaleLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyKey(t)
		if k.Degree(4, 0, true) != k.Tonic(4) || k.Degree(4, 7, true) != k.Tonic(5) || k.Degree(4, -7, false) != k.Tonic(3) {
			t.Fatalf("%s does not come back to its tonic", k)
		}
		for n := range 7 {
			i := k.Degree(4, n, true).To(k.Degree(4, n+1, true))
			if i.Steps != 1 || i.Cents != 100*steps[k.Mode][n] {
				t.Fatalf("%s: degree %d steps by %+v", k, n+1, i)
			}
		}
		falling := k
		if k.Mode == tonality.MelodicMinor {
			falling.Mode = tonality.NaturalMinor
		}
		for n := -9; n < 9; n++ {
			if k.Degree(4, n, false) != falling.Degree(4, n, true) {
				t.Fatalf("%s: degree %d going down", k, n)
			}
		}
	})
}

func TestWordsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyKey(t)
		for _, s := range []string{k.String(), strings.ToUpper(k.String()), strings.TrimSuffix(k.Tonic(4).String(), "4") + " " + k.Mode.String()} {
			if got, err := tonality.Parse(s); err != nil || got != k {
				t.Fatalf("%q is read as %v, %v", s, got, err)
			}
		}
	})
}

func TestTwins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := anyKey(t)
		twin := k.Twin()
		if d := (k.Tonic(4).Cents() - twin.Tonic(4).Cents()) % 1200; d != 0 || twin.Mode != k.Mode {
			t.Fatalf("the twin of %s is %s", k, twin)
		}
		for _, other := range k.Twins() {
			if d := (k.Tonic(4).Cents() - other.Tonic(4).Cents()) % 1200; d != 0 || other.Mode != k.Mode || other == k {
				t.Fatalf("a twin of %s is %s", k, other)
			}
			if twin.Fifths()*twin.Fifths() > other.Fifths()*other.Fifths() {
				t.Fatalf("%s has fewer signs than %s, the twin of %s", other, twin, k)
			}
		}
		if twin.Fifths()*twin.Fifths() > k.Fifths()*k.Fifths() || !twin.Printed() {
			t.Fatalf("the twin of %s with %d signs has %d", k, k.Fifths(), twin.Fifths())
		}
	})
}

// The signatures of the circle of fifths (common practice, no source).
func TestSignatures(t *testing.T) {
	for name, want := range map[string]int{
		"C": 0, "Cb": -7, "C#": 7, "F": -1, "Bb major": -2, "E-flat major": -3, "f sharp": 6, "Dm": -1, "A♭ minor": -7,
		"A# harmonic minor": 7, "G# minor": 5, "D♯ melodic minor": 6, "Amix": 2, "D dor": 0, "E phr": 0, "F lydian": 0,
		"B locrian": 0, "A aeolian": 0, "C ionian": 0, "G# major": 8, "B double flat major": -9, "F## minor": 10, "Bbm": -5, "bb": -2,
	} {
		k, err := tonality.Parse(name)
		if err != nil || k.Fifths() != want || k.Signature().Fifths != want || k.Printed() != (want >= -7 && want <= 7) {
			t.Errorf("%s: %v with %d signs, %v", name, k, k.Fifths(), err)
		}
	}
}

func TestRefusedWords(t *testing.T) {
	for text, want := range map[string]string{
		"":                "does not begin with a note",
		"H major":         "does not begin with a note",
		"E flat mayor":    `did you mean "major"?`,
		"C harmonc minor": `did you mean "harmonic minor"?`,
		"Ebbb":            "at most a double flat",
		"C blue":          "write one of major, minor",
	} {
		if _, err := tonality.Parse(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if !slices.Contains(tonality.ModeNames(), "ionian") || slices.Contains(tonality.ModeNames(), "mix") {
		t.Error(tonality.ModeNames())
	}
}
