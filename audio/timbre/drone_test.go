package timbre

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"footing/audio/click"
)

// droned is seconds of a drone by itself.
func droned(t *testing.T, d *click.Drone, seconds int) []float32 {
	t.Helper()
	k := click.Kit{Accent: []float32{0}, Beat: []float32{0}, Slot: []float32{0}}
	r := click.NewRenderer(rate, &k)
	r.SetVolume(1)
	r.RenderMono(make([]float32, rate/10))
	r.Queue(click.Phrase{Seq: 1, Tempo: click.BPM(60), Length: click.Whole(seconds), Sounds: &click.Sounds{Drone: d},
		Strokes: []click.Stroke{{Dynamics: click.Silent}}})
	r.Start()
	x := make([]float32, seconds*rate)
	r.RenderMono(x)
	return x
}

// A drone is as loud as a bar of sixteenths, in all its compass, and its peaks leave
// room for the click.
func TestADroneIsAsLoudAsTheClick(t *testing.T) {
	clicks := loudnessOf(bar(mustMake(t, "wood", rate)))
	for key := LowestDrone; key <= HighestDrone; key += 6 {
		for _, a := range []float64{LowestA, UsualA, HighestA} {
			d, err := MakeDrone(click.Key(key), a, rate)
			if err != nil {
				t.Fatal(err)
			}
			x := droned(t, d, 2)
			l := loudnessOf(x)
			if a == UsualA {
				t.Logf("key %d: %.1f LKFS, peak %.2f; the click %.1f LKFS", key, l, peak(x), clicks)
			}
			if math.Abs(l-clicks) > 1 {
				t.Errorf("key %d at A = %g Hz is %.1f LKFS; the click is %.1f", key, a, l, clicks)
			}
			if peak(x) > 0.1 {
				t.Errorf("key %d peaks at %.2f", key, peak(x))
			}
		}
	}
}

// The pitch is right to a hundredth of a hundredth, over a minute in which the tempo
// changes with every beat: the phase at its end says so.
func TestADroneIsInTuneThroughChanges(t *testing.T) {
	for _, tt := range []struct {
		pitch click.Cents
		a     float64
	}{{6900, 440}, {6900, 415}, {6900, 466}, {4600, 442}, {8437, 440}} {
		d, err := MakeDrone(tt.pitch, tt.a, rate)
		if err != nil {
			t.Fatal(err)
		}
		d.Level = 0.5
		k := click.Kit{Accent: []float32{0}, Beat: []float32{0}, Slot: []float32{0}}
		r := click.NewRenderer(rate, &k)
		r.SetVolume(1)
		r.Start()
		var x []float32
		block := make([]float32, 4800)
		// More phrases wait than a block holds, each of another tempo and chunk, and all
		// with a Sounds of their own.
		for seq := uint64(1); len(x) < 60*rate; {
			for r.Queue(click.Phrase{Seq: seq, Tempo: click.BPM(60 + int(seq*37%300)), Length: click.Whole(1 + int(seq%3)),
				Sounds: &click.Sounds{Drone: d}, Strokes: []click.Stroke{{}}}) {
				seq++
			}
			r.RenderMono(block)
			x = append(x, block...)
			for ok := true; ok; {
				_, ok = r.NextMark()
			}
		}
		want := tt.a * math.Exp2(float64(tt.pitch-6900)/1200)
		if got := frequency(x[rate/2:]); math.Abs(got/want-1) > 1e-6 {
			t.Errorf("pitch %d at A = %g: %.5f Hz, want %.5f", tt.pitch, tt.a, got, want)
		}
		// Every tenth of a second has the phase that the first has: it never restarts.
		window := windowOf(want, rate/10)
		at := func(i int) (sum complex128) {
			for k, w := range window {
				sum += w * complex(float64(x[i+k]), 0)
			}
			return sum * cmplx.Rect(1, -2*math.Pi*want*float64(i)/rate)
		}
		first := at(rate / 2)
		for i := rate / 2; i+rate/10 <= len(x); i += rate / 10 {
			if off := cmplx.Phase(at(i) / first); math.Abs(off) > 0.01 || math.Abs(cmplx.Abs(at(i))/cmplx.Abs(first)-1) > 0.01 {
				t.Fatalf("pitch %d: after %.1f s the phase is off by %.3f rad", tt.pitch, float64(i)/rate, off)
			}
		}
	}
}

// windowOf is a Hann window of n samples on a frequency: the sum of a sound under it is
// what that holds of it.
func windowOf(hz float64, n int) []complex128 {
	out := make([]complex128, n)
	for i := range out {
		w := 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n))
		out[i] = complex(w, 0) * cmplx.Rect(1, -2*math.Pi*hz*float64(i)/rate)
	}
	return out
}

// frequency counts rises through zero, of which a wave of ours has one a period, with
// the places of the first and the last between their samples.
func frequency(x []float32) float64 {
	first, last, n := 0.0, 0.0, -1
	for i := 1; i < len(x); i++ {
		if x[i-1] < 0 && x[i] >= 0 {
			at := float64(i-1) + float64(x[i-1])/float64(x[i-1]-x[i])
			if n++; n == 0 {
				first = at
			}
			last = at
		}
	}
	return float64(n) * rate / (last - first)
}

// By itself a drone has no step larger than its own, however pitch, level and click come
// and go: a thousand times, also while it turns already.
func TestADroneTurnsWithoutAStep(t *testing.T) {
	var drones []*click.Drone
	own := 0.0
	for _, key := range []int{36, 43, 48, 50, 55} {
		d, err := MakeDrone(click.Key(key), UsualA, rate)
		if err != nil {
			t.Fatal(err)
		}
		d.Level = 2
		drones = append(drones, d)
		own = max(own, step(droned(t, d, 1)))
	}
	random := rand.New(rand.NewPCG(41, 14))
	k := click.Kit{Accent: []float32{0}, Beat: []float32{0}, Slot: []float32{0}}
	r := click.NewRenderer(rate, &k)
	r.SetVolume(1)
	r.RenderMono(make([]float32, rate/10))
	var x []float32
	for seq := range uint64(1000) {
		some := *drones[random.IntN(len(drones))]
		some.Level *= random.Float32()
		s := &click.Sounds{Drone: &some}
		switch random.IntN(6) {
		case 0:
			s.Drone = nil
		case 1:
			r.Stop(0)
			r.Try(click.Trial{Sounds: s, Drone: true})
			block := make([]float32, 1+random.IntN(1000))
			r.RenderMono(block)
			x = append(x, block...)
		}
		r.Replace(click.Phrase{Seq: seq + 1, Tempo: click.MaxTempo, Length: click.Whole(1), Sounds: s, Strokes: []click.Stroke{{}}})
		r.Start()
		block := make([]float32, 1+random.IntN(9000)) // a beat is 7200 long
		r.RenderMono(block)
		x = append(x, block...)
		for ok := true; ok; {
			_, ok = r.NextMark()
		}
	}
	const ramp = 0.2 / 4800 // of a peak that comes within a tenth of a second
	t.Logf("steps up to %.5f, the drones' own are up to %.5f", step(x), own)
	if got := step(x); got > own+ramp {
		t.Errorf("a step of %.5f; the drones' own are up to %.5f", got, own)
	}
	if peak(x) < 0.05 {
		t.Error("hardly anything was heard")
	}
}

func TestDronesThatAreNone(t *testing.T) {
	for _, tt := range []struct {
		pitch click.Cents
		a     float64
		rate  int
		want  string
	}{
		{2399, 440, rate, "C1 to C7"}, {9601, 440, rate, "C1 to C7"}, {6900, 414, rate, "an A of 414 Hz"}, {6900, math.NaN(), rate, "an A of NaN Hz"},
		{6900, 440, 8000, "rate is 8000"},
	} {
		if _, err := MakeDrone(tt.pitch, tt.a, tt.rate); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%d at %g and %d: %v", tt.pitch, tt.a, tt.rate, err)
		}
	}
}
