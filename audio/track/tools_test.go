package track

import (
	"fmt"
	"io"
	"log"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The tests of this file have sox and flac as judges, which know nothing of us.

// smallFLAC is a FLAC file of some hundred bytes.
func smallFLAC(t rapid.TB) []byte {
	t.Helper()
	dir, err := os.MkdirTemp("", "track")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	samples := make([]float32, 2*300)
	for i := range samples {
		samples[i] = float32(math.Round(1000*math.Sin(float64(i)/9))) / 32768
	}
	writeFile(t, filepath.Join(dir, "a.wav"), write(t, Format{48000, 2, Int16}, samples, 60))
	run(t, dir, "flac", "--silent", "--blocksize=64", "--no-padding", "--no-seektable", "a.wav")
	b, err := os.ReadFile(filepath.Join(dir, "a.flac"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func writeFile(t rapid.TB, path string, b []byte) {
	t.Helper()
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
}

func readFile(t testing.TB, path string) (Reader, []float32) {
	t.Helper()
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r, readAll(t, r, 1000)
}

// TestSoxReadsOurs has sox say what it sees in our files, and turn them into raw
// 64-bit floats.
func TestSoxReadsOurs(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		format Format
		sample string // as `sox --i -e` and `-b` have it
		bits   string
	}{
		{Format{48000, 1, Int16}, "Signed Integer PCM", "16"},
		{Format{44100, 2, Int24}, "Signed Integer PCM", "24"},
		{Format{96000, 2, Float32}, "Floating Point PCM", "32"},
		{Format{8000, 6, Int16}, "Signed Integer PCM", "16"},
		{Format{22050, 3, Float32}, "Floating Point PCM", "32"},
	} {
		samples := make([]float32, 777*c.format.Channels)
		for i := range samples {
			samples[i] = float32(math.Round(32000*math.Sin(float64(i)))) / 32768
		}
		path := filepath.Join(dir, "ours.wav")
		writeFile(t, path, write(t, c.format, samples, 600, Mark{3, "rung 64"}))
		for flag, want := range map[string]string{
			"-r": fmt.Sprint(c.format.Rate), "-c": fmt.Sprint(c.format.Channels), "-s": "777", "-e": c.sample, "-b": c.bits,
		} {
			if got := strings.TrimSpace(run(t, dir, "sox", "--i", flag, path)); got != want {
				t.Errorf("%+v: sox --i %s says %q, want %q", c.format, flag, got, want)
			}
		}
		run(t, dir, "sox", path, "-e", "floating-point", "-b", "64", "theirs.wav")
		if _, got := readFile(t, filepath.Join(dir, "theirs.wav")); !slices.Equal(got, samples) {
			t.Errorf("%+v: sox reads other samples", c.format)
		}
	}
}

// TestWeReadSox reads each encoding that sox writes, and holds it against sox's
// own decoding to 64-bit floats.
func TestWeReadSox(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		name string
		args []string
		want Encoding
	}{
		{"8-bit", []string{"-b", "8", "-e", "unsigned-integer"}, Int8},
		{"16-bit", []string{"-b", "16", "-c", "2"}, Int16},
		{"24-bit extensible", []string{"-b", "24", "-c", "2"}, Int24},
		{"32-bit", []string{"-b", "32", "-e", "signed-integer", "-c", "3"}, Int32},
		{"float", []string{"-b", "32", "-e", "floating-point", "-c", "6", "-r", "96000"}, Float32},
		{"double", []string{"-b", "64", "-e", "floating-point"}, Float64},
		{"plain 24-bit", []string{"-t", "wavpcm", "-b", "24"}, Int24},
	} {
		args := slices.Concat([]string{"-R", "-D", "-n"}, c.args, []string{"a.wav", "synth", "0.05", "sine", "440", "vol", "0.7"})
		run(t, dir, "sox", args...)
		run(t, dir, "sox", "-D", "a.wav", "-e", "floating-point", "-b", "64", "b.wav")
		r, got := readFile(t, filepath.Join(dir, "a.wav"))
		_, want := readFile(t, filepath.Join(dir, "b.wav"))
		if r.Info().Encoding != c.want || len(got) == 0 || !slices.Equal(got, want) || len(r.Notes()) > 0 {
			t.Errorf("%s: %+v, %d samples, notes %v: not what sox reads", c.name, r.Info(), len(got), r.Notes())
		}
	}
}

// TestWeReadStreamed reads what sox writes into a pipe.
func TestWeReadStreamed(t *testing.T) {
	dir := t.TempDir()
	run(t, dir, "sh", "-c", "sox -n -b 16 -r 48000 -t wav - synth 1000s sine 440 2>/dev/null | cat > a.wav")
	r, got := readFile(t, filepath.Join(dir, "a.wav"))
	if len(got) != 1000 || r.Info().Frames != 1000 || len(r.Notes()) > 0 {
		t.Errorf("%d samples, %+v, %v", len(got), r.Info(), r.Notes())
	}
}

// TestSoxRefused names codecs and containers that sox can make.
func TestSoxRefused(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-e", "ima-adpcm"}, "compressed with IMA ADPCM"},
		{[]string{"-e", "ms-adpcm"}, "compressed with Microsoft ADPCM"},
		{[]string{"-e", "u-law"}, "compressed with µ-law"},
		{[]string{"-e", "a-law"}, "compressed with A-law"},
		{[]string{"-B"}, "big-endian WAV file"},
		{[]string{"-t", "aiff"}, "is an AIFF file"},
		{[]string{"-t", "au"}, "is an AU file"},
		{[]string{"-t", "ogg"}, "is an Ogg file"},
		{[]string{"-t", "w64"}, "is a Wave64 file"},
	} {
		run(t, dir, "sox", slices.Concat([]string{"-n", "-r", "8000"}, c.args, []string{"a.wav", "synth", "0.1", "sine", "440"})...)
		if _, err := Open(filepath.Join(dir, "a.wav")); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.args, err, c.want)
		}
	}
}

// TestFLAC has flac encode what we wrote, and reads it back sample for sample.
func TestFLAC(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		format Format
		args   []string
	}{
		{Format{44100, 1, Int16}, nil},
		{Format{48000, 2, Int16}, []string{"--best"}},
		{Format{96000, 2, Int24}, []string{"--fast"}},
		{Format{48000, 6, Int24}, []string{"--channel-map=none"}},
		{Format{8000, 2, Int16}, []string{"--blocksize=16"}},
		{Format{37800, 2, Int16}, []string{"--lax", "--blocksize=60000"}},
		{Format{44100, 2, Int16}, []string{"--padding=100000"}},
		{Format{44100, 2, Int16}, []string{"--no-mid-side", "--no-padding"}},
	} {
		step := float64(int(1) << (8*c.format.Encoding.bytes() - 1))
		samples := make([]float32, 9001*c.format.Channels)
		for i := range samples {
			v := 0.5*math.Sin(float64(i)/20) + 0.1*math.Sin(float64(i*i))
			samples[i] = float32(math.Round(v*step) / step)
		}
		writeFile(t, filepath.Join(dir, "a.wav"), write(t, c.format, samples, 6000))
		run(t, dir, "flac", slices.Concat([]string{"--silent", "--force"}, c.args, []string{"a.wav"})...)
		r, got := readFile(t, filepath.Join(dir, "a.flac"))
		want := Info{"FLAC", c.format.Rate, c.format.Channels, 9001, c.format.Encoding, 8 * c.format.Encoding.bytes()}
		if r.Info() != want || !slices.Equal(got, samples) || len(r.Notes()) > 0 || r.Marks() != nil {
			t.Errorf("%+v %v: %+v, %d samples, notes %v", c.format, c.args, r.Info(), len(got), r.Notes())
		}
	}

	// From 8-bit, of a length that the encoder doesn't know, and within tags.
	run(t, dir, "sh", "-c", "sox -D -R -n -b 8 -r 48000 -t raw -e signed-integer - synth 5000s sine 300 | "+
		"flac --silent --force --force-raw-format --endian=little --sign=signed --channels=1 --bps=8 --sample-rate=48000 -o b.flac - && "+
		"cat b.flac > c.flac")
	r, got := readFile(t, filepath.Join(dir, "b.flac"))
	if r.Info().Encoding != Int8 || len(got) != 5000 {
		t.Errorf("8-bit: %+v, %d samples", r.Info(), len(got))
	}
	b, err := os.ReadFile(filepath.Join(dir, "a.flac"))
	if err != nil {
		t.Fatal(err)
	}
	tagged := open(t, slices.Concat([]byte("ID3\x04\x00\x00\x00\x00\x05\x01"), make([]byte, 5<<7+1), b, make([]byte, 128)))
	if got := readAll(t, tagged, 1000); len(got) != 2*9001 || len(tagged.Notes()) > 0 {
		t.Errorf("with a tag before and one behind: %d samples, %v", len(got), tagged.Notes())
	}

	// Broken in the middle: what is before comes, then one clear error, which stays.
	broken := slices.Clone(b)
	for i := len(b) / 2; i < len(b)/2+40; i++ {
		broken[i] ^= 0x55
	}
	some, err := drain(t, open(t, broken), 500)
	if len(some) == 0 || err == nil || !strings.Contains(err.Error(), "take.wav: the FLAC sound is broken after ") {
		t.Errorf("broken: %d samples, then %v", len(some), err)
	}

	// Cut off, it ends with a note.
	cut := open(t, b[:len(b)*2/3])
	if got := readAll(t, cut, 500); len(got) == 0 || len(got) >= 2*9001 || len(cut.Notes()) != 1 || !strings.Contains(cut.Notes()[0], "ends early") {
		t.Errorf("cut: %d samples, notes %v", len(got), cut.Notes())
	}
}

// TestQuietLog reads a file at which the FLAC library pleads for test files, with
// the plea heard and kept off.
func TestQuietLog(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "a.wav"), write(t, Format{24000, 1, Int16}, make([]float32, 10000), 1000))
	run(t, dir, "flac", "--silent", "a.wav")
	defer log.SetOutput(log.Writer())
	var loud, quiet strings.Builder
	for _, w := range []io.Writer{&loud, QuietLog(&quiet)} {
		log.SetOutput(w)
		if _, got := readFile(t, filepath.Join(dir, "a.flac")); len(got) != 10000 {
			t.Errorf("%d samples", len(got))
		}
		log.Print("something else")
	}
	if !strings.Contains(loud.String(), "flac library") {
		t.Error("the library pleads no more; QuietLog has no use")
	}
	if strings.Contains(quiet.String(), "flac library") || !strings.Contains(quiet.String(), "something else") {
		t.Errorf("logged: %s", quiet.String())
	}
}
