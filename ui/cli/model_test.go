package cli

import (
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/audio/track"
)

const clarinet = `footing: 1
name: Evening runs
steps:
  - name: Weir Street thirds
    passage: {piece: Weir Street March, bars: 1-1}
    instrument: clarinet in B flat
    notes: A2 c2 e2 a2 |
    unit: 1/8
    tempo: {from: 60, goal: 76, step: 4 bpm}
    chunk: {start: "1:1", beats: 4, landing: false}
    count-in: 2
    breath: 0
    reps: 1
    rule: steady
`

// read is the samples of a WAV file.
func read(t *testing.T, path string) []float32 {
	t.Helper()
	r, err := track.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	out := make([]float32, 2_000_000)
	n := 0
	for {
		k, err := r.Read(out[n:])
		if n += k; err != nil || k == 0 {
			return out[:n]
		}
	}
}

// The notes are in the file: once at the tempo, each on its frame, and at the
// pitch that the instrument sounds, by the measure of aubiopitch.
func TestRenderWithAModel(t *testing.T) {
	path, wav := write(t, clarinet), filepath.Join(t.TempDir(), "out.wav")
	render := func(args ...string) []float32 {
		t.Helper()
		code, _, stderr := run(t, append([]string{"render", path, "-o", wav}, args...)...)
		if code != Done {
			t.Fatalf("render %v: status %d\n%s", args, code, stderr)
		}
		return read(t, wav)
	}
	if again := render("--model-level", "1"); !slices.Equal(again, render()) {
		t.Error("without --model the level of the model changes the file")
	}
	for _, tt := range []struct {
		args []string
		hz   string // of the first note, to three digits
	}{
		// A4 as read is G4 on this clarinet: 391.995 Hz by MIDI's table for an A of 440.
		{[]string{"--model", "once"}, "392"},
		{[]string{"--model", "once", "--written", "--wind", "flute"}, "440"},
		{[]string{"--model", "once", "--written", "--a", "415"}, "415"},
	} {
		x := render(append(tt.args, "--volume", "0", "--model-level", "1")...)
		if len(x) != 6*48_000 {
			t.Errorf("%v: %d frames, want a count-in of two beats and four more at 60", tt.args, len(x))
		}
		for beat := 2; beat < 6; beat++ {
			if at := 48_000 * beat; x[at] == 0 || slices.ContainsFunc(x[at-1000:at], func(s float32) bool { return s != 0 }) {
				t.Errorf("%v: no tone begins at beat %d", tt.args, beat)
			}
		}
		out, err := exec.CommandContext(t.Context(), "aubiopitch", "-p", "yin", "-B", "4096", "-r", "48000", "-i", wav).Output()
		if err != nil {
			t.Fatalf("aubiopitch is needed as an independent judge (apt-get install aubio-tools): %v", err)
		}
		heard := 0
		for line := range strings.Lines(string(out)) {
			if f := strings.Fields(line); f[0] > "2.3" && f[0] < "2.8" && len(f) == 2 {
				if heard++; !strings.HasPrefix(f[1], tt.hz+".") && !strings.HasPrefix(f[1], prior(tt.hz)+".9") {
					t.Errorf("%v: %s Hz is heard at %s s, want %s", tt.args, f[1], f[0], tt.hz)
				}
			}
		}
		if heard < 10 {
			t.Errorf("%v: %d pitches", tt.args, heard)
		}
	}
	for _, tt := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"--model", "thrice"}, FaultUsage, `--model "thrice" is not known; write once, all or fades`},
		{[]string{"--wind", "kazoo"}, FaultUsage, `wind "kazoo" is not known; the winds are plain, flute`},
		{[]string{"--a", "500"}, FaultUsage, "415 to 466 Hz"},
		{[]string{"--model-level", "2"}, FaultUsage, "--model-level 2 is out of range"},
	} {
		code, _, stderr := run(t, append([]string{"render", path, "-o", wav}, tt.args...)...)
		if code != tt.code || !strings.Contains(stderr, tt.want) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%v: status %d, %q; want %d, %q", tt.args, code, stderr, tt.code, tt.want)
		}
	}
	code, _, stderr := run(t, "render", write(t, strings.NewReplacer("    notes: A2 c2 e2 a2 |\n    unit: 1/8\n", "").Replace(clarinet)), "-o", wav, "--model", "all")
	if code != FaultInput || !strings.Contains(stderr, `there are no notes for a model to sound; write score:, notes: or pattern: in the step "Weir Street thirds"`) {
		t.Errorf("without notes: status %d, %q", code, stderr)
	}
	code, _, stderr = run(t, "render", write(t, strings.Replace(clarinet, "a2 |", "a2 a2 |", 1)), "-o", wav, "--model", "all")
	if code != FaultInput || !strings.Contains(stderr, ".yaml:7:") {
		t.Errorf("with notes at fault: status %d, %q", code, stderr)
	}
}

// prior is the whole number below, in words of as many digits.
func prior(n string) string { return n[:len(n)-1] + string(n[len(n)-1]-1) }
