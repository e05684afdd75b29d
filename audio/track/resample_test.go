package track

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// resample is x at another rate, in pieces of n.
func resample(t rapid.TB, x []float32, from, to, n int) []float32 {
	t.Helper()
	r, err := NewResampler(from, to)
	if err != nil {
		t.Fatal(err)
	}
	var out []float32
	buf := make([]float32, n)
	for len(x) > 0 {
		wrote, read := r.Process(buf, x[:min(n, len(x))])
		out = append(out, buf[:wrote]...)
		x = x[read:]
	}
	for {
		wrote := r.Drain(buf)
		if wrote == 0 {
			return out
		}
		out = append(out, buf[:wrote]...)
	}
}

func sine(n int, rate, freq, phase float64) []float32 {
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(0.5 * math.Sin(2*math.Pi*freq*float64(i)/rate+phase))
	}
	return x
}

func decibels(ratio float64) float64 { return 20 * math.Log10(ratio) }

var commonRates = []int{8000, 11025, 16000, 22050, 24000, 32000, 44056, 44100, 47952, 48000, 88200, 96000, 192000}

// TestResampleSine: a sine in the pass band comes out as the same sine, at the
// same place in time, but for the filter's length at both ends; one beyond the
// stop band's edge comes out as almost nothing.
func TestResampleSine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.OneOf(rapid.SampledFrom(commonRates), rapid.IntRange(8000, 96000))
		from, to := rate.Draw(t, "from"), rate.Draw(t, "to")
		nyquist := float64(min(from, to)) / 2
		freq := nyquist * rapid.Float64Range(0.01, 0.9).Draw(t, "freq")
		phase := rapid.Float64Range(0, 6).Draw(t, "phase")
		x := sine(from/20, float64(from), freq, phase)
		y := resample(t, x, from, to, rapid.IntRange(1, 5000).Draw(t, "piece"))
		if want := (len(x)*to + from - 1) / from; len(y) != want {
			t.Fatalf("%d samples became %d, want %d", len(x), len(y), want)
		}
		skip := 40 * to / min(from, to)
		want := sine(len(y), float64(to), freq, phase)
		worst := 0.0
		for i := skip; i < len(y)-skip; i++ {
			worst = max(worst, math.Abs(float64(y[i]-want[i])))
		}
		if db := decibels(worst / 0.5); db > -80 {
			t.Fatalf("off by %.1f dB, want at most -80", db)
		}

		if top := float64(from) / 2; top > 1.1*nyquist {
			freq := rapid.Float64Range(1.1*nyquist, top).Draw(t, "stopped")
			y := resample(t, sine(from/20, float64(from), freq, phase), from, to, 4096)
			worst := 0.0
			for i := skip; i < len(y)-skip; i++ {
				worst = max(worst, math.Abs(float64(y[i])))
			}
			if db := decibels(worst / 0.5); db > -90 {
				t.Fatalf("%.0f Hz passes with %.1f dB, want at most -90", freq, db)
			}
		}
	})
}

// TestResampleKeepsTime: the centre of gravity of a band-limited pulse stays where
// it was, to under a thousandth of the 0.1 ms allowed.
func TestResampleKeepsTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.OneOf(rapid.SampledFrom(commonRates), rapid.IntRange(8000, 192000))
		from, to := rate.Draw(t, "from"), rate.Draw(t, "to")
		place := rapid.Float64Range(0.02, 0.03).Draw(t, "seconds")
		x := make([]float32, from/20)
		for i := range x { // a bell of 0.5 ms
			d := (float64(i)/float64(from) - place) / 0.5e-3
			x[i] = float32(math.Exp(-d * d / 2))
		}
		y := resample(t, x, from, to, rapid.IntRange(1, 5000).Draw(t, "piece"))
		var sum, moment float64
		for i, v := range y {
			sum += float64(v)
			moment += float64(v) * float64(i) / float64(to)
		}
		if off := moment/sum - place; math.Abs(off) > 1e-7 {
			t.Fatalf("off by %v s", off)
		}
	})
}

// TestResampleImpulse: an impulse has its peak on its place, even as the first or
// last sample, and after ten seconds.
func TestResampleImpulse(t *testing.T) {
	for _, c := range []struct{ from, to int }{{48000, 44100}, {44100, 48000}, {96000, 48000}, {8000, 48000}, {47952, 48000}, {44056, 22050}} {
		for _, at := range []int{0, 1, 4999, 9999} {
			x := make([]float32, 10000)
			x[at] = 1
			y := resample(t, x, c.from, c.to, 777)
			peak := 0
			for i, v := range y {
				if v > y[peak] {
					peak = i
				}
			}
			if off := float64(peak)/float64(c.to) - float64(at)/float64(c.from); math.Abs(off) > 0.501/float64(min(c.from, c.to)) {
				t.Errorf("%v: impulse at %d comes at %d, off by %v s", c, at, peak, off)
			}
		}
	}

	// After a while: 10 s + 1 of 47 952 samples is 10 s + 1.001 of 48 000.
	x := make([]float32, 10*47952+100)
	x[10*47952+1] = 1
	y := resample(t, x, 47952, 48000, 4096)
	for i, v := range y {
		if math.Abs(float64(v)) > 0.5 && i != 10*48000+1 {
			t.Errorf("after ten seconds, the impulse comes at %d", i)
		}
	}
	if v := y[10*48000+1]; v < 0.99 {
		t.Errorf("after ten seconds, the impulse is %v", v)
	}
}

// TestResamplePieces: the pieces in which sound comes make no difference, and
// twice the sound gives twice the samples.
func TestResamplePieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.OneOf(rapid.SampledFrom(commonRates), rapid.IntRange(1000, 200000))
		from, to := rate.Draw(t, "from"), rate.Draw(t, "to")
		x := sine(rapid.IntRange(0, 500).Draw(t, "n"), 48000, 1000, 1)
		a := resample(t, x, from, to, rapid.IntRange(1, 100).Draw(t, "piece"))
		b := resample(t, x, from, to, 100000)
		if !slices.Equal(a, b) {
			t.Fatalf("%d and %d samples differ", len(a), len(b))
		}
	})
}

func TestResampleConstant(t *testing.T) {
	x := make([]float32, 5000)
	for i := range x {
		x[i] = 0.7
	}
	for _, c := range []struct{ from, to int }{{48000, 44100}, {44100, 48000}, {96000, 48000}, {8000, 48000}, {44056, 48000}} {
		y := resample(t, x, c.from, c.to, 1000)
		for i := 300; i < len(y)-300; i++ {
			if math.Abs(float64(y[i])-0.7) > 1e-6 {
				t.Errorf("%v: sample %d is %v", c, i, y[i])
				break
			}
		}
	}
}

func TestResampleRefuses(t *testing.T) {
	for _, c := range []struct{ from, to int }{{0, 48000}, {48000, 0}, {-1, 1}, {1, 48000}, {maxRate, 100}, {maxRate + 1, maxRate}} {
		if _, err := NewResampler(c.from, c.to); err == nil {
			t.Errorf("%v was taken", c)
		}
	}
	stereo := write(t, Format{48000, 2, Int16}, make([]float32, 8), 8)
	if _, err := Resample(open(t, stereo), 44100); err == nil {
		t.Error("two channels were taken")
	}
	if r, err := Resample(Mono(open(t, stereo)), 48000); err != nil || r.Info().Frames != 4 {
		t.Errorf("at its own rate: %v", err)
	}
}

func TestResampleReader(t *testing.T) {
	x := sine(44101, 44100, 440, 0)
	file := write(t, Format{44100, 1, Float32}, x, 4096, Mark{0, "a"}, Mark{22050, "b"}, Mark{44101, "c"})
	r, err := Resample(open(t, file), 48000)
	if err != nil {
		t.Fatal(err)
	}
	if want := (Info{"WAV", 48000, 1, 48002, Float32, 32}); r.Info() != want {
		t.Errorf("%+v, want %+v", r.Info(), want)
	}
	if got, want := r.Marks(), []Mark{{0, "a"}, {24000, "b"}, {48001, "c"}}; !slices.Equal(got, want) {
		t.Errorf("marks %v, want %v", got, want)
	}
	if got := readAll(t, r, 100); !slices.Equal(got, resample(t, x, 44100, 48000, 4096)) {
		t.Errorf("%d samples, other than the resampler's own", len(got))
	}
}

// TestResampleBesideSox holds us against sox's own resampler on a sweep.
func TestResampleBesideSox(t *testing.T) {
	dir := t.TempDir()
	run(t, dir, "sox", "-R", "-D", "-n", "-r", "96000", "-b", "32", "-e", "floating-point", "a.wav", "synth", "1", "sine", "50-18000", "vol", "0.5")
	for _, to := range []int{48000, 44100} {
		run(t, dir, "sox", "-D", "a.wav", "b.wav", "rate", "-v", fmt.Sprint(to))
		a, err := Open(filepath.Join(dir, "a.wav"))
		if err != nil {
			t.Fatal(err)
		}
		defer a.Close()
		r, err := Resample(a, to)
		if err != nil {
			t.Fatal(err)
		}
		ours := readAll(t, r, 4096)
		_, theirs := readFile(t, filepath.Join(dir, "b.wav"))
		if len(ours) != len(theirs) {
			t.Fatalf("%d samples beside %d", len(ours), len(theirs))
		}
		worst := 0.0
		for i := 200; i < len(ours)-200; i++ {
			worst = max(worst, math.Abs(float64(ours[i]-theirs[i])))
		}
		if db := decibels(worst / 0.5); db > -80 {
			t.Errorf("to %d: %.1f dB apart", to, db)
		}
	}
}

func TestResampleAllocatesNothing(t *testing.T) {
	r, err := NewResampler(96000, 44100)
	if err != nil {
		t.Fatal(err)
	}
	in, out := make([]float32, 4096), make([]float32, 4096)
	if n := testing.AllocsPerRun(100, func() { r.Process(out, in) }); n != 0 {
		t.Errorf("%v allocations a Process", n)
	}
}

// Each iteration of the benchmarks below is one minute or ten minutes of sound;
// the metric says how many times faster than it sounds.

func BenchmarkResample(b *testing.B) {
	for _, c := range []struct{ from, to int }{{96000, 48000}, {44100, 48000}, {48000, 22050}, {44056, 48000}} {
		b.Run(fmt.Sprintf("%d-%d", c.from, c.to), func(b *testing.B) {
			in, out := sine(c.from, float64(c.from), 440, 0), make([]float32, 4096)
			b.ReportAllocs()
			for b.Loop() {
				r, err := NewResampler(c.from, c.to)
				if err != nil {
					b.Fatal(err)
				}
				for range 60 {
					for rest := in; len(rest) > 0; {
						_, read := r.Process(out, rest)
						rest = rest[read:]
					}
				}
			}
			b.ReportMetric(60*float64(b.N)/b.Elapsed().Seconds(), "x-real-time")
		})
	}
}

// BenchmarkWrite writes ten minutes of stereo at 48 kHz to nowhere.
func BenchmarkWrite(b *testing.B) {
	noise := make([]float32, 2*4800)
	state := uint32(1)
	for i := range noise {
		state = state*1664525 + 1013904223
		noise[i] = float32(int32(state)) / (1 << 32)
	}
	for _, e := range []Encoding{Int16, Int24, Float32} {
		b.Run(e.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				w, err := NewWriter(&nowhere{}, Format{48000, 2, e})
				if err != nil {
					b.Fatal(err)
				}
				for range 6000 {
					if err := w.Write(noise); err != nil {
						b.Fatal(err)
					}
				}
				if err := w.Close(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

type nowhere struct{}

func (nowhere) Write(p []byte) (int, error)        { return len(p), nil }
func (nowhere) Seek(o int64, _ int) (int64, error) { return o, nil }

// BenchmarkRead reads ten minutes of stereo at 48 kHz, mixed to one channel.
func BenchmarkRead(b *testing.B) {
	dir := b.TempDir()
	run(b, dir, "sox", "-n", "-r", "48000", "-c", "2", "-b", "16", "a.wav", "synth", "600", "pinknoise")
	run(b, dir, "flac", "--silent", "a.wav")
	for _, name := range []string{"a.wav", "a.flac"} {
		b.Run(name, func(b *testing.B) {
			buf := make([]float32, 4096)
			for b.Loop() {
				r, err := Open(filepath.Join(dir, name))
				if err != nil {
					b.Fatal(err)
				}
				m := Mono(r)
				for err == nil {
					_, err = m.Read(buf)
				}
				r.Close()
			}
			b.ReportMetric(600*float64(b.N)/b.Elapsed().Seconds(), "x-real-time")
		})
	}
	os.Remove(filepath.Join(dir, "a.wav"))
}
