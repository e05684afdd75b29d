package instrument

import (
	"testing"

	"footing/ladder/passage"
)

func TestTheTableIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range table {
		for _, pitch := range []string{r.low, r.high, r.sounds} {
			if _, err := passage.ParsePitch(pitch); err != nil {
				t.Errorf("%s: %v", r.name, err)
			}
		}
		i, ok := Named(r.name)
		if !ok || i.Name != r.name || i.Range.High.Cents()-i.Range.Low.Cents() < 2000 {
			t.Errorf("%s is read as %+v", r.name, i)
		}
		if _, ok := i.Clef.Middle(); !ok {
			t.Errorf("%s is written in no clef", r.name)
		}
		for _, name := range append([]string{r.name}, r.others...) {
			if seen[plain(name)] {
				t.Errorf("%s is there twice", name)
			}
			seen[plain(name)] = true
		}
	}
}

// Semitones from what is written to what sounds, as in MIDI numbers
// (teoria.com/en/articles/transposing/01.php; the tenor and baritone saxophones
// and the bass clarinet: common practice, no source).
func TestWhatSounds(t *testing.T) {
	for name, semitones := range map[string]int{
		"clarinet": -2, "B flat clarinet": -2, "Clarinet in A": -3, "clarinet in Eb": 3, "alto sax": -9, "horn in F": -7, "flute": 0,
		"trumpet in C": 0, "tenor saxophone": -14, "baritone sax": -21, "soprano saxophone": -2, "bass clarinet": -14, "bassoon": 0,
		"piccolo": 12, "contrabassoon": -12, "B♭ trumpet": -2,
	} {
		i, ok := Named(name)
		c := passage.MiddleC
		if got := c.Up(i.Transpose.Interval()).Cents() - c.Cents(); !ok || got != 100*semitones {
			t.Errorf("%s: %v, %d cents", name, ok, got)
		}
	}
	if _, ok := Named("bagpipe"); ok {
		t.Error("a bagpipe is known")
	}
	if near, ok := Near("basoon"); !ok || near != "bassoon" {
		t.Errorf("basoon is near %q", near)
	}
}
