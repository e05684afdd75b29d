package speaker

import (
	"math"
	"sync/atomic"
)

// The master level, in decibels below what the source renders; at its least nothing sounds.
const (
	LeastLevel = -60
	MostLevel  = 0
)

// level is the gain that the device's samples are brought to. Any goroutine may set it; only who reads for the device
// moves along it.
type level struct {
	target atomic.Uint32 // float32 bits
	now    float32
}

func newLevel() *level {
	l := &level{now: 1}
	l.set(MostLevel)
	return l
}

func (l *level) set(dB float64) {
	gain := math.Pow(10, min(max(dB, LeastLevel), MostLevel)/20)
	if dB <= LeastLevel {
		gain = 0
	}
	l.target.Store(math.Float32bits(float32(gain)))
}

// apply scales interleaved stereo samples, on a ramp that takes at most 10 ms: a level that jumps is a click.
func (l *level) apply(samples []float32, rate int) {
	target := math.Float32frombits(l.target.Load())
	step := 1 / (0.010 * float32(rate))
	for i := 0; i < len(samples); i += 2 {
		l.now += min(max(target-l.now, -step), step)
		samples[i] *= l.now
		samples[i+1] *= l.now
	}
}

// SetLevel sets the master level in dB, [LeastLevel] to [MostLevel]: of all that the device plays, and of nothing else.
func (s *Speaker) SetLevel(dB float64) { s.level.set(dB) }
