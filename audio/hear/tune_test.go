package hear

import "math"

// tune is a made-up take of some seconds: harmonic notes of a scale, six a second.
func tune(rate int, seconds float64) []float32 { return scale(rate, seconds, 6) }

// scale is the same with so many notes a second.
func scale(rate int, seconds, notes float64) []float32 {
	x := make([]float32, int(float64(rate)*seconds))
	phase := 0.0
	for i := range x {
		t := float64(i) / float64(rate)
		n := int(t * notes)
		hz := frequency(float64(55 + []int{0, 2, 4, 5, 7, 9, 11, 12}[n%8]))
		phase += hz / float64(rate)
		age := t*notes - float64(n)
		level := math.Min(1, age*12) * math.Min(1, (1-age)*8) * 0.3
		v := 0.0
		for h := 1; h <= 8; h++ {
			v += math.Sin(2*math.Pi*phase*float64(h)) / float64(h)
		}
		x[i] = float32(v * level)
	}
	return x
}
