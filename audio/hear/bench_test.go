//go:build unix

package hear

import (
	"math"
	"math/rand/v2"
	"syscall"
	"testing"
)

// ticked adds struck clicks, so many a second and each fourth another one, each
// heard on between walls for a quarter of a second when it is in a room.
func ticked(x []float32, rate int, clicks float64, room bool) []float32 {
	rng := rand.New(rand.NewPCG(1, 2))
	var sounds [2][]float64
	for s := range sounds {
		click := make([]float64, rate/3)
		for m, mode := range []float64{1500, 2700, 4100} {
			f := mode * (1 + 0.26*float64(s))
			for i := range click {
				t := float64(i) / float64(rate)
				click[i] += 0.1 * math.Sin(2*math.Pi*f*t) * math.Exp(-t*(60+30*float64(m)))
			}
		}
		sounds[s] = append([]float64(nil), click...)
		for range 60 {
			if late := rng.IntN(rate / 4); room {
				g := 0.3 * rng.NormFloat64() * math.Exp(-17*float64(late)/float64(rate))
				for i, v := range click[:len(click)-late] {
					sounds[s][late+i] += g * v
				}
			}
		}
	}
	for k := 0; ; k++ {
		at := int((float64(k) + 0.05) / clicks * float64(rate))
		if at >= len(x) {
			return x
		}
		sound := sounds[min(1, k%4)]
		for i, v := range sound[:min(len(sound), len(x)-at)] {
			x[at+i] += float32(v)
		}
	}
}

// processorSeconds are those that this process has used.
func processorSeconds(b *testing.B) float64 {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return float64(used.Utime.Nano()+used.Stime.Nano()) / 1e9
}

// BenchmarkListen states its speed as seconds of sound heard in a second of
// processor time, the finding of clicks included. Sixteenths are those of 160 beats a
// minute.
func BenchmarkListen(b *testing.B) {
	const rate, seconds = 44100, 30
	const sixteenths = 160.0 / 60 * 4
	for _, bb := range []struct {
		name string
		x    []float32
	}{
		{"six notes a second", scale(rate, seconds, 6)},
		{"sixteenths", scale(rate, seconds, sixteenths)},
		{"sixteenths, a click on each", ticked(scale(rate, seconds, sixteenths), rate, sixteenths, false)},
		{"the same in a room", ticked(scale(rate, seconds, sixteenths), rate, sixteenths, true)},
	} {
		b.Run(bb.name, func(b *testing.B) {
			b.ReportAllocs()
			before := processorSeconds(b)
			for b.Loop() {
				l, err := NewListener(rate)
				if err != nil {
					b.Fatal(err)
				}
				l.Write(bb.x)
				l.Close()
				l.Onsets()
			}
			b.ReportMetric(seconds*float64(b.N)/(processorSeconds(b)-before), "x-real-time")
		})
	}
}
