package hear

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func listen(t testing.TB, rate int, x []float32) ([]Onset, *Listener) {
	t.Helper()
	l, err := NewListener(rate)
	if err != nil {
		t.Fatal(err)
	}
	l.Write(x)
	l.Close()
	return l.Onsets(), l
}

// sound adds up a note's harmonics: level[0] is the fundamental's.
func sound(rate int, seconds float64, note func(t float64) float64, level []float64, gain func(t float64) float64) []float32 {
	x := make([]float32, int(seconds*float64(rate)))
	phase := 0.0
	for i := range x {
		t := float64(i) / float64(rate)
		hz := frequency(note(t))
		phase += hz / float64(rate)
		v := 0.0
		for h, a := range level {
			if f := hz * float64(h+1); f < float64(rate)/2 {
				v += a * math.Sin(2*math.Pi*phase*float64(h+1)+float64(h*h))
			}
		}
		x[i] = float32(v * gain(t))
	}
	return x
}

// held is a soft attack after a quarter of a second, and a long tone.
func held(t float64) float64 { return 0.2 * max(0, min(1, (t-0.25)*25)) }

// A clarinet's spectrum has odd harmonics and overblows at the twelfth; an
// oboe's even ones may drown its fundamental. The note is the fundamental's all
// the same (check value: 3:1 is 1901.955 cents).
func TestNoOctaveOrTwelfthSlips(t *testing.T) {
	spectra := map[string][]float64{
		"odd harmonics":                {1, 0, 0.8, 0, 0.5, 0, 0.3, 0, 0.2},
		"odd, third strongest":         {0.4, 0, 1, 0, 0.6, 0, 0.4, 0, 0.2},
		"even strong":                  {0.3, 1, 0.1, 0.6, 0.05, 0.3},
		"fundamental alone":            {1},
		"fundamental and a little":     {1, 0.3},
		"fundamental nearly gone":      {0.05, 0.5, 0.6, 0.5, 0.4, 0.3, 0.2},
		"a bassoon's, rich and uneven": {0.3, 0.5, 1, 0.8, 0.7, 0.3, 0.4, 0.2, 0.1, 0.1},
	}
	for name, level := range spectra {
		// Above, no instrument has as many harmonics.
		top := 83
		if len(level) <= 2 {
			top = 100
		}
		for note := 41; note <= top; note++ {
			x := sound(44100, 0.42, func(float64) float64 { return float64(note) }, level, held)
			got, _ := listen(t, 44100, x)
			if len(got) != 1 || got[0].Midi != note || math.Abs(got[0].Cents) > 12 {
				t.Errorf("%s, note %d: heard %+v", name, note, got)
			}
		}
	}
}

// Vibrato as players use it is no change of note.
func TestVibratoIsOneNote(t *testing.T) {
	for _, note := range []float64{50, 62, 74, 86} {
		x := sound(44100, 3, func(t float64) float64 { return note + 0.4*math.Sin(2*math.Pi*5.5*t) }, []float64{1, 0.5, 0.3, 0.2},
			func(t float64) float64 { return held(t) * math.Pow(10, 1.5*math.Sin(2*math.Pi*5.5*t)/20) })
		if got, _ := listen(t, 44100, x); len(got) != 1 {
			t.Errorf("note %.0f with vibrato: heard %+v", note, got)
		}
	}
}

func TestSlurIsPlacedSharply(t *testing.T) {
	for _, step := range []float64{1, -1, 2, 5, 7, 12, -12} {
		for _, low := range []float64{46, 58, 70, 82} {
			x := sound(44100, 1.2, func(t float64) float64 {
				if t < 0.7 {
					return low
				}
				return low + step
			}, []float64{1, 0.6, 0.4, 0.2, 0.1}, held)
			got, _ := listen(t, 44100, x)
			if len(got) != 2 || math.Abs(got[1].Seconds-0.7) > 0.003 || !got[1].Slurred && math.Abs(step) < 12 {
				t.Errorf("from %.0f by %+.0f: heard %+v", low, step, got)
			}
		}
	}
}

func TestAnyRateHearsTheSame(t *testing.T) {
	note := func(t float64) float64 { return []float64{60, 62, 64, 65, 67}[min(4, int(t/0.3))] }
	for _, rate := range []int{8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 192000, 384000} {
		x := sound(rate, 1.7, note, []float64{1, 0.6, 0.4, 0.2, 0.1}, held)
		got, _ := listen(t, rate, x)
		if len(got) != 5 {
			t.Errorf("%d Hz: %d notes", rate, len(got))
			continue
		}
		for i, o := range got[1:] {
			if want := 0.3 * float64(i+1); math.Abs(o.Seconds-want) > 0.003 {
				t.Errorf("%d Hz: a note at %.4f, played at %.4f", rate, o.Seconds, want)
			}
		}
	}
	for _, rate := range []int{-1, 0, 7999, 400_000} {
		if _, err := NewListener(rate); err == nil {
			t.Errorf("%d Hz was taken", rate)
		}
	}
}

// How the stream is cut into writes changes nothing.
func TestChunksDoNotMatter(t *testing.T) {
	x := tune(44100, 0.6)
	want, _ := listen(t, 44100, x)
	rapid.Check(t, func(rt *rapid.T) {
		l, _ := NewListener(44100)
		var got []Onset
		for at := 0; at < len(x); {
			n := min(len(x)-at, rapid.IntRange(1, 9_000).Draw(rt, "n"))
			l.Write(x[at : at+n])
			got = append(got, l.Onsets()...)
			at += n
		}
		l.Close()
		got = append(got, l.Onsets()...)
		if len(got) != len(want) {
			rt.Fatalf("%d notes in chunks, %d at once", len(got), len(want))
		}
		for i := range got {
			if got[i] != want[i] {
				rt.Fatalf("note %d: %+v in chunks, %+v at once", i, got[i], want[i])
			}
		}
	})
}

// Nor does it where clicks are learned and taken out on the way, and notes come
// again.
func TestChunksDoNotMatterWithClicks(t *testing.T) {
	x := tune(44100, 4)
	for at := 10_000; at+800 < len(x); at += 11_025 {
		for k := range 800 {
			x[at+k] += float32(0.4 * math.Exp(-float64(k)/200) * math.Cos(2*math.Pi*1900*float64(k)/44100))
		}
	}
	whole, l := listen(t, 44100, x)
	l.Refine(whole)
	for _, n := range []int{160, 1111, 5000} {
		l, _ := NewListener(44100)
		var got []Onset
		for at := 0; at < len(x); at += n {
			l.Write(x[at:min(at+n, len(x))])
			got = append(got, l.Onsets()...)
		}
		l.Close()
		got = append(got, l.Onsets()...)
		l.Refine(got)
		if i := slices.IndexFunc(got, func(o Onset) bool { return !slices.Contains(whole, o) }); i >= 0 || len(got) != len(whole) {
			t.Errorf("in chunks of %d, %d notes of %d, and note %d is another", n, len(got), len(whole), i)
		}
	}
}

// Every note is told within the stated delay, and in order.
func TestDelayHolds(t *testing.T) {
	const rate = 44100
	l, _ := NewListener(rate)
	x := tune(rate, 4)
	last, notes := 0.0, 0
	for at := 0; at < len(x); at += 441 {
		l.Write(x[at:min(len(x), at+441)])
		for _, o := range l.Onsets() {
			notes++
			if d := float64(at+441)/rate - o.Seconds; d > l.Delay() {
				t.Errorf("the note at %.3f s was told after %.0f ms, %.0f are stated", o.Seconds, d*1000, l.Delay()*1000)
			}
			if o.Seconds < last {
				t.Errorf("a note at %.3f s after one at %.3f", o.Seconds, last)
			}
			last = o.Seconds
		}
	}
	if notes < 20 || l.Delay() > 0.35 {
		t.Errorf("%d notes told; the delay is %.0f ms", notes, l.Delay()*1000)
	}
}

// Between notes nothing is allocated, and a stream however long takes no more
// memory than a short one.
func TestMemoryIsBounded(t *testing.T) {
	const rate = 8000
	l, _ := NewListener(rate)
	x := tune(rate, 10)
	heap := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	hear := func(times int) {
		for range times {
			l.Write(x)
			l.Onsets()
		}
	}
	hear(3)
	before := heap()
	hear(30)
	if after := heap(); after > before+100_000 {
		t.Errorf("five minutes more took %d bytes more", after-before)
	}
	quiet := make([]float32, 4410)
	if n := testing.AllocsPerRun(50, func() { l.Write(quiet) }); n > 0 {
		t.Errorf("a write without a note allocates %.0f times", n)
	}
}

func TestNothingToHear(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	noise := make([]float32, 3*44100)
	for i := range noise {
		noise[i] = float32(rng.NormFloat64() * 0.1)
	}
	broken := tune(44100, 1)
	for i := range broken {
		if i%7 == 0 {
			broken[i] = float32(math.NaN())
		}
		if i%11 == 0 {
			broken[i] = float32(math.Inf(1))
		}
	}
	for name, tt := range map[string]struct {
		sound          []float32
		sounding, tone bool
	}{
		"empty": {nil, false, false}, "silence": {make([]float32, 44100), false, false},
		"white noise": {noise, true, false}, "one sample": {[]float32{1}, false, false},
	} {
		got, l := listen(t, 44100, tt.sound)
		h := l.Hearing()
		if len(got) != 0 || h.Notes != 0 || (h.Sounding > 0.9) != tt.sounding || (h.Pitched > 0.05) != tt.tone {
			t.Errorf("%s: heard %+v, %+v", name, got, h)
		}
	}
	sine := sound(44100, 3, func(float64) float64 { return 69 }, []float64{1}, held)
	if got, l := listen(t, 44100, sine); len(got) != 1 || got[0].Midi != 69 || l.Hearing().Notes != 1 || l.Hearing().Pitched < 0.8 {
		t.Errorf("a sine: heard %+v, %+v", got, l.Hearing())
	}
	if _, l := listen(t, 44100, broken); l.Hearing().Broken == 0 {
		t.Error("samples that are no numbers were not counted")
	}
	loud := tune(44100, 2)
	for i := range loud {
		loud[i] = max(-0.3, min(0.3, loud[i]*4))
	}
	if got, l := listen(t, 44100, loud); len(got) < 10 || math.Abs(l.Hearing().Peak-0.3) > 1e-6 {
		t.Errorf("clipped: %d notes, a peak of %v", len(got), l.Hearing().Peak)
	}
	clipping := NewClipping(1, 0)
	clipping.Add(loud)
	if !clipping.Clipped() || clipping.Share() < 0.01 {
		t.Errorf("%.3f on flat tops", clipping.Share())
	}
}

// FuzzListener feeds any samples at any rate.
func FuzzListener(f *testing.F) {
	f.Add(44100, []byte{0, 1, 2, 3, 255, 128})
	f.Add(8000, []byte{})
	f.Add(96000, []byte("RIFF....WAVEfmt "))
	f.Fuzz(func(t *testing.T, rate int, b []byte) {
		l, err := NewListener(rate)
		if err != nil {
			return
		}
		x := make([]float32, 20*len(b))
		for i := range x {
			x[i] = math.Float32frombits(uint32(b[i%len(b)])<<24 | uint32(b[i*7%len(b)])<<16 | uint32(i))
		}
		l.Write(x)
		l.Close()
		last := 0.0
		for _, o := range l.Onsets() {
			if math.IsNaN(o.Seconds) || o.Seconds < last || o.Certainty < 0 || o.Certainty > 1 {
				t.Fatalf("heard %+v", o)
			}
			last = o.Seconds
		}
	})
}

// strike adds a struck click of some modes, zero again within 80 ms.
func strike(x []float32, at int, modes []float64, level float64) {
	for n := 0; n < 3528 && at+n < len(x); n++ {
		s := float64(n) / 44100
		v := 0.0
		for m, hz := range modes {
			v += math.Cos(2*math.Pi*hz*s) * math.Exp(-s*(45+25*float64(m)))
		}
		x[at+n] += float32(level * v * (1 - s/0.08) / math.Sqrt(float64(len(modes))))
	}
}

// A metronome's clicks are no notes: not in silence, and not over a held one.
func TestClicksAreNoNotes(t *testing.T) {
	for name, modes := range map[string][]float64{
		"woody": {830, 1370, 2210, 2890, 4300}, "metallic": {2100, 3400, 5150, 7230, 9310},
		"one high tone": {1500}, "soft": {620, 905, 1480},
	} {
		for _, level := range []float64{0.05, 0.2, 0.5} {
			alone := make([]float32, 5*44100)
			over := sound(44100, 5, func(float64) float64 { return 53 }, []float64{1, 0.6, 0.4, 0.2}, held)
			for c := range 14 {
				strike(alone, 20_000+c*13_000, modes, level)
				strike(over, 30_000+c*13_000, modes, level*0.4)
			}
			if got, l := listen(t, 44100, alone); len(got) != 0 || l.Hearing().Notes != 0 {
				t.Errorf("%s clicks alone at %.2f: heard %+v", name, level, got)
			}
			if got, _ := listen(t, 44100, over); len(got) != 1 || got[0].Midi != 53 {
				t.Errorf("%s clicks over a note at %.2f: heard %+v", name, level, got)
			}
		}
	}
}
