package click

import "testing"

func TestBPM(t *testing.T) {
	for tempo, want := range map[Tempo]float64{76_500: 76.5, MinTempo: float64(MinTempo) / 1000, 120_000: 120} {
		if got := tempo.BPM(); got != want {
			t.Errorf("%d is %v beats a minute, want %v", int(tempo), got, want)
		}
	}
}
