package hear

import (
	"math"
	"testing"
)

// tune is a made-up take: harmonic notes of a scale, six a second.
func tune(rate int, seconds float64) []float32 {
	x := make([]float32, int(float64(rate)*seconds))
	phase := 0.0
	for i := range x {
		t := float64(i) / float64(rate)
		n := int(t * 6)
		hz := frequency(float64(55 + []int{0, 2, 4, 5, 7, 9, 11, 12}[n%8]))
		phase += hz / float64(rate)
		age := t*6 - float64(n)
		level := math.Min(1, age*12) * math.Min(1, (1-age)*8) * 0.3
		v := 0.0
		for h := 1; h <= 8; h++ {
			v += math.Sin(2*math.Pi*phase*float64(h)) / float64(h)
		}
		x[i] = float32(v * level)
	}
	return x
}

// BenchmarkListen states its speed as seconds of sound heard in a second of work.
func BenchmarkListen(b *testing.B) {
	const rate, seconds = 44100, 10
	x := tune(rate, seconds)
	b.ReportAllocs()
	for b.Loop() {
		l, err := NewListener(rate)
		if err != nil {
			b.Fatal(err)
		}
		l.Write(x)
		l.Close()
		l.Onsets()
	}
	b.ReportMetric(seconds*float64(b.N)/b.Elapsed().Seconds(), "x-real-time")
}
