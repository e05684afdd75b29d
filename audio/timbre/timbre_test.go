package timbre

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"

	"footing/audio/click"
)

const rate = 48_000

func mustMake(t testing.TB, name string, rate int) click.Kit {
	t.Helper()
	k, err := Make(name, rate)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func voices(k click.Kit) map[string][]float32 {
	return map[string][]float32{"accent": k.Accent, "beat": k.Beat, "slot": k.Slot}
}

// spectrum is the power in bins of hz each.
func spectrum(x []float32, rate int) (power []float64, hz float64) {
	const n = 1 << 14
	padded := make([]float64, n)
	for i, v := range x {
		padded[i] = float64(v)
	}
	for _, c := range fourier.NewFFT(n).Coefficients(nil, padded) {
		power = append(power, real(c)*real(c)+imag(c)*imag(c))
	}
	return power, float64(rate) / n
}

func centroid(x []float32, rate int) float64 {
	power, hz := spectrum(x, rate)
	sum, moment := 0.0, 0.0
	for i, p := range power {
		sum += p
		moment += p * float64(i) * hz
	}
	return moment / sum
}

// share is the part of the energy between two frequencies.
func share(x []float32, rate int, low, high float64) float64 {
	power, hz := spectrum(x, rate)
	sum, in := 0.0, 0.0
	for i, p := range power {
		sum += p
		if f := float64(i) * hz; f >= low && f < high {
			in += p
		}
	}
	return in / sum
}

func pitch(x []float32, rate int) float64 {
	power, hz := spectrum(x, rate)
	best := 0
	for i, p := range power {
		if p > power[best] {
			best = i
		}
	}
	return float64(best) * hz
}

func peak(x []float32) (p float64) {
	for _, v := range x {
		p = max(p, math.Abs(float64(v)))
	}
	return p
}

// decay is the time in seconds by which 99 % of the energy has sounded.
func decay(x []float32, rate int) float64 {
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	part := 0.0
	for i, v := range x {
		if part += float64(v) * float64(v); part > 0.99*sum {
			return float64(i) / float64(rate)
		}
	}
	return float64(len(x)) / float64(rate)
}

// Each timbre has its place in brightness and length, and any two are at least a factor of 1.3 apart in brightness (a
// third of an octave and more) or 1.5 in length.
func TestSpectra(t *testing.T) {
	tests := []struct {
		name, reason string
		bright       [2]float64 // spectral centroid of the beat, Hz
		long         [2]float64 // 99 % of its energy, ms
	}{
		{"wood", "dry: over before a sixteenth at 208 is half through (36 ms)", [2]float64{900, 1900}, [2]float64{8, 30}},
		{"metal", "bright, and rings as long as a strike may", [2]float64{3800, 8000}, [2]float64{40, 80}},
		{"flint", "between 2 and 6 kHz, and shorter than any", [2]float64{2700, 4000}, [2]float64{4, 14}},
		{"felt", "nothing sharp in a headphone", [2]float64{380, 600}, [2]float64{30, 70}},
		{"skin", "below the range of a flute", [2]float64{150, 380}, [2]float64{20, 60}},
		{"brass", "a pitch that stands out, and rings", [2]float64{1300, 2200}, [2]float64{40, 80}},
		{"bone", "between wood and flint, and short", [2]float64{1400, 2300}, [2]float64{4, 16}},
		{"cork", "low, and shorter than felt and skin by far", [2]float64{450, 800}, [2]float64{8, 25}},
	}
	type place struct{ bright, long float64 }
	places := map[string]place{}
	for _, tt := range tests {
		x := mustMake(t, tt.name, rate).Beat
		p := place{centroid(x, rate), 1000 * decay(x, rate)}
		t.Logf("%s: centroid %.0f Hz, 99 %% of the energy within %.1f ms, pitch %.0f Hz, above 2 kHz %.1f %%",
			tt.name, p.bright, p.long, pitch(x, rate), 100*share(x, rate, 2000, rate))
		if p.bright < tt.bright[0] || p.bright > tt.bright[1] {
			t.Errorf("%s: centroid is %.0f Hz, want %v (%s)", tt.name, p.bright, tt.bright, tt.reason)
		}
		if p.long < tt.long[0] || p.long > tt.long[1] {
			t.Errorf("%s: lasts %.1f ms, want %v (%s)", tt.name, p.long, tt.long, tt.reason)
		}
		for other, q := range places {
			if ratio(p.bright, q.bright) < 1.3 && ratio(p.long, q.long) < 1.5 {
				t.Errorf("%s and %s are too alike: brightness %.2f, length %.2f apart", tt.name, other, ratio(p.bright, q.bright), ratio(p.long, q.long))
			}
		}
		places[tt.name] = p
	}
	if len(places) != len(Names()) {
		t.Errorf("%d timbres measured, there are %d", len(places), len(Names()))
	}
}

func ratio(a, b float64) float64 { return max(a/b, b/a) }

// What carries over a low instrument has its energy where that has little; what is soft has none there.
func TestEnergyAbove2kHz(t *testing.T) {
	for name, want := range map[string][2]float64{"flint": {0.95, 1}, "metal": {0.7, 1}, "felt": {0, 0.001}, "skin": {0, 0.02}} {
		if got := share(mustMake(t, name, rate).Beat, rate, 2000, rate); got < want[0] || got > want[1] {
			t.Errorf("%s: %.4f of the energy is above 2 kHz, want %v", name, got, want)
		}
	}
}

func TestAccentDiffersInPitchAndLevel(t *testing.T) {
	for _, name := range Names() {
		k := mustMake(t, name, rate)
		for _, tt := range []struct {
			what         string
			x, y         []float32
			pitch, level float64
		}{
			{"accent over beat", k.Accent, k.Beat, 3.0 / 2, 1 / 0.7},
			{"beat over slot", k.Beat, k.Slot, 4.0 / 3, 0.7 / 0.5},
		} {
			// The centroid moves with the pitch, also where no single mode stands out.
			if got := centroid(tt.x, rate) / centroid(tt.y, rate); got < tt.pitch*0.9 || got > tt.pitch*1.1 {
				t.Errorf("%s: %s: brightness ratio is %.3f, want about %.3f", name, tt.what, got, tt.pitch)
			}
			if got := pitch(tt.x, rate) / pitch(tt.y, rate); got < tt.pitch*0.97 || got > tt.pitch*1.03 {
				t.Errorf("%s: %s: pitch ratio is %.3f, want %.3f", name, tt.what, got, tt.pitch)
			}
			if got := peak(tt.x) / peak(tt.y); math.Abs(got-tt.level) > 0.001 {
				t.Errorf("%s: %s: level ratio is %.3f, want %.3f", name, tt.what, got, tt.level)
			}
		}
	}
}

// The contract of click.Kit, at every rate a device or a file may have.
func TestKitContract(t *testing.T) {
	// The softest that is ever played: pp (0.2) at a quarter of the volume.
	const softest = 0.2 * 0.25
	for _, rate := range []int{22_050, 44_100, 48_000, 88_200, 96_000, 192_000} {
		for _, name := range Names() {
			for voice, x := range voices(mustMake(t, name, rate)) {
				where := fmt.Sprintf("%s %s at %d", name, voice, rate)
				if len(x) == 0 || len(x) > rate*80/1000 {
					t.Errorf("%s: %d samples, want 1 to %d (80 ms)", where, len(x), rate*80/1000)
				}
				if p := peak(x); p > 1 || p < 0.25 {
					t.Errorf("%s: peak %.3f, want 0.25 to 1", where, p)
				}
				if first := math.Round(float64(x[0]) * softest * 32767); math.Abs(first) < 4 {
					t.Errorf("%s: first sample %v is %v in 16 bits at the softest, want at least 4", where, x[0], first)
				}
				if last := x[len(x)-1]; math.Abs(float64(last)) > 0.002 {
					t.Errorf("%s: last sample is %v, a step of more than 0.002 to the silence", where, last)
				}
				if slices.ContainsFunc(x, func(v float32) bool { return v != v || math.IsInf(float64(v), 0) }) {
					t.Errorf("%s: not a number in it", where)
				}
			}
		}
	}
}

// A timbre is the same sound at any rate.
func TestSameSoundAtAnyRate(t *testing.T) {
	for _, name := range Names() {
		at48, at192 := mustMake(t, name, 48_000).Beat, mustMake(t, name, 192_000).Beat
		if a, b := centroid(at48, 48_000), centroid(at192, 192_000); ratio(a, b) > 1.02 {
			t.Errorf("%s: centroid %.0f Hz at 48 kHz, %.0f Hz at 192 kHz", name, a, b)
		}
	}
}

// The samples, rounded to 16 bits so that a last bit of a float on another processor does not matter.
func TestGolden(t *testing.T) {
	golden := map[string]string{
		"wood":  "6ea714bc2c9596ae",
		"metal": "532552bf7178709a",
		"flint": "27af9357e6d46ab0",
		"felt":  "95b9c15767c4f48a",
		"skin":  "b054d2b3eac4b274",
		"brass": "91e81c160b304e60",
		"bone":  "00235ffcffa34f5d",
		"cork":  "6a6699da6cee1a2e",
	}
	for _, name := range Names() {
		k := mustMake(t, name, rate)
		h := sha256.New()
		for _, x := range [][]float32{k.Accent, k.Beat, k.Slot} {
			for _, v := range x {
				h.Write(binary.LittleEndian.AppendUint16(nil, uint16(int16(math.Round(float64(v)*32767)))))
			}
		}
		if got := fmt.Sprintf("%x", h.Sum(nil)[:8]); got != golden[name] {
			t.Errorf("%s: samples hash to %q, want %q: put it in only if the sound was meant to change", name, got, golden[name])
		}
		again := mustMake(t, name, rate)
		if !slices.Equal(k.Accent, again.Accent) || !slices.Equal(k.Beat, again.Beat) || !slices.Equal(k.Slot, again.Slot) {
			t.Errorf("%s: made twice, it differs", name)
		}
	}
}

func TestNames(t *testing.T) {
	for _, name := range Names() {
		if d := Describe(name); d == "" || len(d) > 75 || strings.Contains(d, "\n") {
			t.Errorf("%s: %q is not one short line", name, d)
		}
	}
	if d := Describe("glass"); d != "" {
		t.Errorf("an unknown timbre is described: %q", d)
	}
	_, err := Make("glass", rate)
	if err == nil || !strings.Contains(err.Error(), `"glass" is not known; the timbres are wood, metal, flint, felt, skin`) {
		t.Errorf("error for an unknown timbre: %v", err)
	}
	for _, r := range []int{-1, 0, 8_000, 400_000} {
		if _, err := Make("wood", r); err == nil || !strings.Contains(err.Error(), "22050 to 384000") {
			t.Errorf("error for rate %d: %v", r, err)
		}
	}
	names := Names()
	names[0] = "changed"
	if Names()[0] != "wood" {
		t.Error("a caller can change the names")
	}
}

func BenchmarkMake(b *testing.B) {
	for b.Loop() {
		if _, err := Make("metal", rate); err != nil {
			b.Fatal(err)
		}
	}
}
