package hear

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// overloaded is a tone that was recorded with so many bits, so many times louder
// than full scale, and turned to a level afterwards.
func overloaded(hz, times, level float64, bits int) []float32 {
	steps := math.Exp2(float64(bits - 1))
	x := make([]float32, 44100)
	for i := range x {
		v := times * math.Sin(2*math.Pi*hz*float64(i)/44100+0.3)
		v = math.Round(max(-1, min(1-1/steps, v))*steps) / steps
		x[i] = float32(level * v)
	}
	return x
}

func TestClipping(t *testing.T) {
	for _, tt := range []struct {
		name  string
		bits  int
		sound []float32
		want  bool
	}{
		{"nothing", 16, nil, false},
		{"silence", 16, make([]float32, 1000), false},
		{"a tone", 16, overloaded(440, 0.9, 1, 16), false},
		{"a tone at full scale", 16, overloaded(440, 1, 1, 16), false},
		{"a low tone", 16, overloaded(50, 0.9, 1, 16), false},
		{"overloaded by a little", 16, overloaded(440, 1.05, 1, 16), true},
		{"overloaded", 16, overloaded(440, 3, 1, 16), true},
		{"overloaded and turned down", 16, overloaded(440, 3, 0.3, 16), true},
		{"overloaded in 24 bits", 24, overloaded(440, 3, 1, 24), true},
		{"as far down as noise", 16, overloaded(440, 3, 0.05, 16), false},
		{"a tone in 8 bits", 8, overloaded(440, 0.9, 1, 8), false},
		{"overloaded in 8 bits", 8, overloaded(440, 3, 1, 8), true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := NewClipping(1, tt.bits)
			c.Add(tt.sound)
			if c.Clipped() != tt.want {
				t.Errorf("%v with %.4f on flat tops", c.Clipped(), c.Share())
			}
		})
	}
}

// What is flat is counted to the sample, whatever was played before it more
// softly, and a louder peak makes it no top.
func TestClippingCountsFlatTops(t *testing.T) {
	soft := overloaded(440, 3, 0.2, 16)
	top := []float32{0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0, -0.5, -0.5, -0.5, -0.5, 0, 0.5, -0.5, 0.5}
	c := NewClipping(1, 16)
	c.Add(soft)
	c.Add(top)
	if got := c.Share() * float64(len(soft)+len(top)); math.Abs(got-6) > 1e-6 {
		t.Errorf("%.2f samples on flat tops, want the six in a row", got)
	}
	c.Add([]float32{0.9})
	if c.Share() != 0 {
		t.Errorf("%v on flat tops beneath a louder peak", c.Share())
	}
	// At full scale a top need not be as long, nor flat to the bit.
	for want, x := range map[float64][]float32{
		0:    {1, -1, 1, -1, 1, -1, 1, -1},
		0.25: {0, 0.995, 0.997, 0.999, 0.997, 0.995, 0, 0, 0.998, 0.998, 0.998, 0},
		0.5:  {0, 1, 1 - 1.0/32768, 1, 1, 0, 0, 0},
		0.75: {1, 1, 1, -1, -1, -1, 0, 0},
	} {
		c := NewClipping(1, 16)
		c.Add(x)
		if c.Share() != want {
			t.Errorf("%v: %v on flat tops, want %v", x, c.Share(), want)
		}
	}
}

// One overloaded channel of several is found out, however the samples come in.
func TestClippingByChannel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "channels")
		bad := rapid.IntRange(0, n-1).Draw(t, "channel")
		loud, soft := overloaded(300, 4, 1, 16), overloaded(300, 0.5, 1, 16)
		var x []float32
		for i := range 8000 {
			for channel := range n {
				if channel == bad {
					x = append(x, loud[i])
				} else {
					x = append(x, soft[i])
				}
			}
		}
		whole := NewClipping(n, 16)
		whole.Add(x)
		parts := NewClipping(n, 16)
		for rest := x; len(rest) > 0; {
			k := min(len(rest), rapid.IntRange(1, 9000).Draw(t, "block"))
			parts.Add(rest[:k])
			rest = rest[k:]
		}
		if !whole.Clipped() || parts.Share() != whole.Share() {
			t.Fatalf("clipped %v, %v at once and %v in parts", whole.Clipped(), whole.Share(), parts.Share())
		}
	})
}
