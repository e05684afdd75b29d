package cli

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const aloudRun = `footing: 1
name: Evening runs
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 1-2}
    notes: C3D E2F2 G4 A4 | c8 |
    unit: 1/16
    tempo: {from: 60, goal: 60}
    slots: 4
    dynamics: "- - - -"
    count: takadimi
    speak: true
    say: notes
    chunk: {start: "1:1", beats: 4, landing: false}
    count-in: 1
    breath: 0
    reps: 1
    rule: steady
`

// The count is in the file: a syllable for each note, its vowel within 3 ms of where it
// lies. It begins where the sound first reaches half of its peak in the 50 ms after.
func TestRenderCountsAloud(t *testing.T) {
	path, wav := write(t, aloudRun), filepath.Join(t.TempDir(), "out.wav")
	render := func(args ...string) []float32 {
		t.Helper()
		if code, _, stderr := run(t, append([]string{"render", path, "-o", wav, "--volume", "1"}, args...)...); code != Done {
			t.Fatalf("status %d\n%s", code, stderr)
		}
		return read(t, wav)
	}
	x := render()
	loud := func(from, to float64) float32 {
		part := x[int(from*48_000):int(to*48_000)]
		return max(slices.Max(part), -slices.Min(part))
	}
	// A beat of count-in, then C at 1 s, D a dotted eighth later, and so on.
	for _, at := range []float64{1, 1.75, 2, 2.5, 3, 4} {
		half := loud(at, at+0.050) / 2
		if half < 0.1 || loud(at-0.008, at-0.003) >= half || loud(at, at+0.003) < half {
			t.Errorf("there is no vowel at %.2f s: %v before, %v after, half of the peak is %v", at, loud(at-0.008, at-0.003), loud(at, at+0.003), half)
		}
	}
	for _, at := range []float64{1.5, 2.75, 3.5, 4.5} { // held
		if p := loud(at, at+0.030); p > 0.1 {
			t.Errorf("something is spoken at %.2f s, %v", at, p)
		}
	}

	own := t.TempDir()
	data, err := os.ReadFile(filepath.Join("..", "..", "assets", "voice", "mi.wav"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(own, "ta.wav"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	if slices.Equal(render("--voice", own), x) {
		t.Error("an own word changes nothing")
	}
	if err := os.WriteFile(filepath.Join(own, "ta.wav"), []byte("none"), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, _, stderr := run(t, "render", path, "-o", wav, "--voice", own); code != FaultInput || !strings.Contains(stderr, `--voice `+own+`: read the word "ta" of a voice: `) {
		t.Errorf("a word that cannot be read: status %d\n%s", code, stderr)
	}
	bad := write(t, strings.Replace(aloudRun, "C3D E2F2", "C3D E2F!", 1))
	if code, _, stderr := run(t, "render", bad, "-o", wav); code != FaultInput || !strings.Contains(stderr, ":6:") {
		t.Errorf("notes that cannot be read: status %d\n%s", code, stderr)
	}
}
