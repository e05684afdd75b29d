package click

import (
	"fmt"
	"testing"
)

func TestGraces(t *testing.T) {
	for _, tt := range []struct {
		from, at Beats
		n        int
		tempo    Tempo
		want     string
	}{
		// At 100 a beat is 600 ms, a grace note a tenth of it.
		{Whole(1), Whole(2), 1, BPM(100), "[19/10]"},
		{Whole(1), Whole(2), 3, BPM(100), "[17/10 9/5 19/10]"},
		{Whole(1), Whole(2), 1, BPM(200), "[9/5]"},
		// The note before keeps its half.
		{Frac(7, 4), Whole(2), 2, BPM(100), "[15/8 31/16]"},
		{Whole(2), Whole(2), 1, BPM(100), "[]"},
		{Whole(1), Whole(2), 0, BPM(100), "[]"},
		{Whole(1), Whole(2), -1, BPM(100), "[]"},
	} {
		if got := fmt.Sprint(Graces(tt.from, tt.at, tt.n, tt.tempo)); got != tt.want {
			t.Errorf("%d from %v before %v at %v: %s, want %s", tt.n, tt.from, tt.at, tt.tempo, got, tt.want)
		}
	}
}
