package ladder

import (
	"math"
	"slices"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
)

// What a file cannot say is a fault, of the key that would say it.
func TestSoundsThatCannotBe(t *testing.T) {
	for key, edit := range map[string]func(*Sounds){
		"sounds bar":   func(s *Sounds) { s.Bar = "drum" },
		"sounds beat":  func(s *Sounds) { s.Beat = "Wood" },
		"sounds slot":  func(s *Sounds) { s.Slot = "yours" },
		"levels f":     func(s *Sounds) { s.Levels[click.Forte] = Level{true, 1} },
		"levels pp":    func(s *Sounds) { s.Levels[click.Pianissimo] = Level{true, LeastLevel - 1} },
		"levels p":     func(s *Sounds) { s.Levels[click.Piano] = Level{false, -3} },
		"levels -":     func(s *Sounds) { s.Levels[click.Silent] = Level{true, 0} },
		"stereo":       func(s *Sounds) { s.Stereo = BeatsRight + 1 },
		"drone note":   func(s *Sounds) { s.Drone.Note = passage.Pitch{Letter: passage.B, Octave: 0} },
		"drone a":      func(s *Sounds) { s.Drone.A = 467 },
		"drone level":  func(s *Sounds) { s.Drone.Level = MostDrone + 1 },
		"drone level ": func(s *Sounds) { s.Drone.Level = LeastLevel - 1 },
	} {
		s := DefaultStep()
		s.Name = "Run"
		edit(&s.Sounds)
		faults := s.Check()
		if len(faults) != 1 || faults[0].Key+" " != key+" " && faults[0].Key+" " != key {
			t.Errorf("%s: %+v", key, faults)
		}
	}
}

func TestLevels(t *testing.T) {
	for text, want := range map[string]int{"0": 0, "-6": -6, "-6 dB": -6, "−6dB": -6, "+3 dB": 3, "-40": -40, "18 dB": 18} {
		if got, err := ParseLevel(text, MostDrone); err != nil || got != want {
			t.Errorf("%q is %d, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "-", "dB", "-41", "19", "-6.5", "- 6", "-6 db", "--6", "99999999999999999999"} {
		if got, err := ParseLevel(text, MostDrone); err == nil {
			t.Errorf("%q is read as %d", text, got)
		}
	}
	// 4.5 dB a mark, see [click.Dynamics.Gain].
	var usual []int
	for d := click.Pianissimo; d <= click.Forte; d++ {
		usual = append(usual, UsualLevel(d))
	}
	if !slices.Equal(usual, []int{-14, -9, -4, 0}) {
		t.Errorf("the usual levels are %v", usual)
	}
	// 20 dB are a tenth of the amplitude, 6 dB a half (common practice, no source).
	if a, b := Gain(-20), Gain(-6); math.Abs(float64(a)-0.1) > 1e-6 || math.Abs(float64(b)-0.5) > 0.002 {
		t.Errorf("gains are %v and %v", a, b)
	}
}

func TestRanksOfSounds(t *testing.T) {
	s := Sounds{Bar: "brass", Slot: "cork"}
	if s.Of(click.BarRank) != "brass" || s.Of(click.BeatRank) != "" || s.Of(click.SlotRank) != "cork" || s.Owns() != 2 {
		t.Errorf("the ranks sound as %q, %q, %q; %d of its own", s.Of(click.BarRank), s.Of(click.BeatRank), s.Of(click.SlotRank), s.Owns())
	}
}
