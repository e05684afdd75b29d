package hear

import "testing"

// Heights of the peaks of a correlation, by note, as a bassoon's in a room gave
// them: its third harmonic is strong, and the note before still rings.
func TestTwelfthUnder(t *testing.T) {
	c := &correlator{rate: 11_025}
	for _, tt := range []struct {
		name  string
		peaks map[float64]float64
		old   float64
		want  float64 // 0: the first peak is the note
	}{
		{"a strong third harmonic", map[float64]float64{73.02: 0.878, 61.02: 0.867, 54: 0.992, 49.02: 0.877}, 44, 54},
		{"nothing before", map[float64]float64{73.02: 0.878, 61.02: 0.867, 54: 0.992, 49.02: 0.877}, 0, 54},
		{"the note itself", map[float64]float64{73.02: 0.97, 61.02: 0.96, 54: 0.98, 49.02: 0.95}, 44, 0},
		{"two notes a fifth apart", map[float64]float64{73.02: 0.878, 61.02: 0.867, 54: 0.992, 49.02: 0.877}, 66, 0},
		{"no peak between", map[float64]float64{73.02: 0.878, 54: 0.992}, 44, 0},
	} {
		var list []candidate
		var first candidate
		for note, height := range tt.peaks {
			q := candidate{c.rate / frequency(note), height}
			list = append(list, q)
			if first.lag == 0 || q.lag < first.lag {
				first = q
			}
		}
		low, sure := c.twelfthUnder(first, list, tt.old)
		if sure != (tt.want > 0) || sure && noteNumber(c.rate/low.lag) != noteNumber(c.rate/(c.rate/frequency(tt.want))) {
			t.Errorf("%s: heard %.2f, sure %v", tt.name, noteNumber(c.rate/low.lag), sure)
		}
	}
}
