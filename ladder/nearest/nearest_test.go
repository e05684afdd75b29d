package nearest_test

import (
	"testing"

	"footing/ladder/nearest"
)

func TestWord(t *testing.T) {
	words := []string{"thirds", "fourths", "scale", "up"}
	for typed, want := range map[string]string{
		"thrids": "thirds", "THIRDS": "thirds", "forths": "fourths", "scal": "scale", "scael": "scale",
		"ub": "up", "tango": "", "": "", "scaleandmuchmore": "", "u": "up",
	} {
		if got, ok := nearest.Word(typed, words); got != want || ok != (want != "") {
			t.Errorf("%q is near %q, want %q", typed, got, want)
		}
	}
}
