package ladder

import (
	"testing"

	"footing/ladder/passage/pattern"
)

func TestWhichNotesAreAccented(t *testing.T) {
	for a, want := range map[Accented][2]bool{
		AccentedOff:     {false, false},
		AccentedSlurs:   {true, false},
		AccentedWritten: {false, true},
		AccentedBoth:    {true, true},
	} {
		if got := [2]bool{a.Slurs(), a.Written()}; got != want {
			t.Errorf("%v: slurs and written %v, want %v", a, got, want)
		}
		if again, err := ParseAccented(a.String()); again != a || err != nil {
			t.Errorf("%v is read as %v, %v", a, again, err)
		}
	}
}

func TestOctavesOfAPattern(t *testing.T) {
	for octaves, ok := range map[int]bool{-2: false, -1: false, 0: true, 1: true, pattern.MaxOctaves: true, pattern.MaxOctaves + 1: false} {
		n := Notes{Pattern: pattern.Words{Key: "B flat major", Octaves: octaves}}
		if faults := n.checkPattern(); (len(faults) == 0) != ok {
			t.Errorf("%d octaves: %v", octaves, faults)
		}
	}
}
