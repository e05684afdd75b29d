package track

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A FLAC file decodes, by a program that knows nothing of us, to the very samples of
// the WAV file.
func TestFLACDecodesToTheSameSamples(t *testing.T) {
	dir := t.TempDir()
	r := rand.New(rand.NewPCG(5, 1))
	for i, frames := range []int{1, 15, 16, 17, 4095, 4096, 4097, 4111, 4112, 4113, 9000} {
		f := Format{Rate: 48_000, Channels: 1 + i%3, Encoding: []Encoding{Int16, Int24}[i/2%2]}
		samples := make([]float32, frames*f.Channels)
		for k := range samples {
			switch {
			case i%4 == 0:
				samples[k] = float32(r.Float64()*2.2 - 1.1) // clipped here and there
			case k%3000 < 400:
				samples[k] = float32(math.Sin(float64(k)/7) * math.Exp(-float64(k%3000)/60)) // clicks in silence
			}
		}
		wav := write(t, f, samples, 60)
		var file memFile
		w, err := NewFLACWriter(&file, f, Tag{"TITLE", "Weir Street run"})
		if err != nil {
			t.Fatal(err)
		}
		for rest := samples; len(rest) > 0; {
			n := min(len(rest), (1+r.IntN(5000))*f.Channels)
			if err := w.Write(rest[:n]); err != nil {
				t.Fatal(err)
			}
			rest = rest[n:]
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		writeFile(t, filepath.Join(dir, "a.flac"), file.b)
		run(t, dir, "flac", "--silent", "--force", "--warnings-as-errors", "--decode", "--force-raw-format", "--endian=little", "--sign=signed", "a.flac")
		raw, err := os.ReadFile(filepath.Join(dir, "a.raw"))
		if err != nil {
			t.Fatal(err)
		}
		if size := len(samples) * f.Encoding.bytes(); len(raw) != size || !bytes.Contains(wav, raw) {
			t.Errorf("%d frames of %d channels, %s: %d bytes are not those of the WAV file", frames, f.Channels, f.Encoding, len(raw))
		}
	}
}

func TestFLACIsSmallAndTagged(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.flac")
	samples := make([]float32, 48_000)
	for i := range samples {
		samples[i] = float32(0.5 * math.Sin(float64(i)/20) * math.Exp(-float64(i%12_000)/900))
	}
	err := CreateFLAC(context.Background(), path, Format{48_000, 1, Int16}, []Tag{{"TITLE", "Weir Street run"}}, func(w *FLACWriter) error {
		return w.Write(samples)
	})
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > 48_000 || !strings.Contains(string(data[:200]), "TITLE=Weir Street run") {
		t.Errorf("%d bytes of 96 000, beginning %q", len(data), data[:100])
	}
}

func TestWhatFLACCannotHold(t *testing.T) {
	for _, f := range []Format{{48_000, 1, Float32}, {48_000, 0, Int16}, {48_000, 9, Int16}, {0, 1, Int16}, {700_000, 1, Int16}} {
		if _, err := NewFLACWriter(&memFile{}, f); err == nil {
			t.Errorf("%+v is written", f)
		}
	}
	w, err := NewFLACWriter(&memFile{}, Format{48_000, 2, Int16})
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Write(make([]float32, 3)); err == nil {
		t.Error("half a frame is written")
	}
	if err := w.Write([]float32{0, float32(math.NaN())}); err == nil || !strings.Contains(err.Error(), "frame 0, channel 2") {
		t.Errorf("what is no number: %v", err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := w.Write(make([]float32, 2)); err == nil {
		t.Error("a closed file is written to")
	}
}
