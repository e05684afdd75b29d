package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The end of a file's name says what is written: the same routine, of the same length,
// in all of them.
func TestRenderWritesWhatTheNameSays(t *testing.T) {
	path, dir := write(t, runs), t.TempDir()
	for _, name := range []string{"a.wav", "a.flac", "a.mid"} {
		file := filepath.Join(dir, name)
		if code, out, err := run(t, "render", path, "-o", file); code != Done || err != "" || out != file+": 0:47, 5 rungs, 11 reps\n" {
			t.Errorf("%s: status %d, %q, %q", name, code, out, err)
		}
	}
	out, err := exec.CommandContext(t.Context(), "flac", "-t", filepath.Join(dir, "a.flac")).CombinedOutput()
	if err != nil {
		t.Errorf("flac: %v\n%s", err, out)
	}
	out, err = exec.CommandContext(t.Context(), "midicsv", filepath.Join(dir, "a.mid")).Output()
	if err != nil || strings.Count(string(out), "Marker_t") != 16 {
		t.Errorf("midicsv: %v\n%s", err, out)
	}
}

// What a step says of its sounds is rendered: sides in two channels, and a drone tuned by
// --a where the step does not say itself; what sox finds.
func TestRenderSounds(t *testing.T) {
	dir := t.TempDir()
	sox := func(args ...string) string {
		out, err := exec.CommandContext(t.Context(), "sox", args...).CombinedOutput()
		if err != nil {
			t.Fatalf("sox %q: %v\n%s", args, err, out)
		}
		return strings.TrimSpace(string(out))
	}
	for i, tt := range []struct {
		keys, a  string
		channels string
		hz       float64
	}{
		{"drone: {note: A3, level: 12 dB}\n    levels: {f: -40, mf: -40, p: -40}", "440", "1", 220},
		{"drone: {note: A3, level: 12 dB}\n    stereo: beats right\n    levels: {f: -40, mf: -40, p: -40}", "452", "2", 226},
		{"drone: {note: A3, a: 415, level: 12 dB}\n    stereo: beats left\n    levels: {f: -40, mf: -40, p: -40}", "452", "2", 207.5},
	} {
		path, file := write(t, strings.Replace(runs, "dynamics: f p p p", tt.keys, 1)), filepath.Join(dir, fmt.Sprint(i)+".wav")
		if code, _, err := run(t, "render", path, "--step", "Weir Street run", "--rung", "60", "--a", tt.a, "-o", file); code != Done {
			t.Fatalf("status %d, %q", code, err)
		}
		if got := sox("--i", "-c", file); got != tt.channels {
			t.Errorf("%s: %s channels, want %s", tt.keys, got, tt.channels)
		}
		// Its first partial is the strongest, which is what sox estimates, roughly.
		rough := sox(file, "-n", "remix", "1", "sinc", "-n", "8191", "190-245", "stat")
		_, after, _ := strings.Cut(rough, "Rough   frequency:")
		hz, err := strconv.Atoi(strings.TrimSpace(strings.SplitN(after, "\n", 2)[0]))
		if err != nil || math.Abs(float64(hz)-tt.hz) > 2.5 {
			t.Errorf("%s: sox finds %d Hz, want %v (%v)", tt.keys, hz, tt.hz, err)
		}
	}
}

func TestRenderOneRung(t *testing.T) {
	path, file := write(t, runs), filepath.Join(t.TempDir(), "a.mid")
	code, out, err := run(t, "render", path, "--rung", "63", "-o", file, "--json")
	// 2 + 2·5 beats at 63.
	var made rendered
	if e := json.Unmarshal([]byte(out), &made); e != nil || code != Done || err != "" || strings.Contains(out, "frames") ||
		made.File != file || made.Rungs != 1 || made.Reps != 2 || math.Abs(made.Length-12*60/63.0) > 1e-4 {
		t.Errorf("status %d, %q, %q", code, out, err)
	}
	for _, tt := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"--rung", "62"}, FaultInput, `no step has a rung of 62 bpm; the rungs are "Weir Street run": 60, 63, 66, 69; "Trio": 208`},
		{[]string{"--rung", "fast"}, FaultUsage, `--rung: "fast" is not a tempo`},
		{[]string{"--as", "flac"}, FaultUsage, "--as is for the files that --each writes"},
		{[]string{"--each", "bar"}, FaultUsage, `--each "bar" is not known; write step or rung`},
		{[]string{"--each", "rung", "--as", "mp3"}, FaultUsage, `"mp3" is no kind of file; write wav, flac or mid`},
		{[]string{"--bits", "24", "--a", "442"}, FaultUsage, "leave out --bits, --a"},
		{[]string{"-o", "x.flac", "--bits", "32"}, FaultUsage, "--bits 32 is not written to FLAC; write 16 or 24"},
	} {
		code, out, err := run(t, append([]string{"render", path, "-o", file}, tt.args...)...)
		if code != tt.code || !strings.Contains(err, tt.want) || out != "" || strings.Count(err, "\n") != 1 {
			t.Errorf("%v: status %d, %q, %q; want %q", tt.args, code, out, err, tt.want)
		}
	}
}

// One is not many: a file, a rung, a rep.
func TestRenderCounts(t *testing.T) {
	path, file := write(t, strings.Replace(runs, "reps: 3", "reps: 1", 1)), filepath.Join(t.TempDir(), "a.mid")
	for args, want := range map[string]string{
		"--rung 63 -o " + file:                             file + ": 0:11, 1 rung, 2 reps\n",
		"--rung 208 -o " + file:                            file + ": 0:01, 1 rung, 1 rep\n",
		"--rung 208 --each rung --as mid -o " + file + "s": file + "s: 1 file, 0:01, 1 rung, 1 rep\n",
	} {
		if code, out, err := run(t, append([]string{"render", path}, strings.Fields(args)...)...); code != Done || err != "" || out != want {
			t.Errorf("%s: status %d, %q, %q; want %q", args, code, out, err, want)
		}
	}
}

// A folder for a phone has a file for each rung; one that is slow beyond what MIDI
// can say is the input's fault.
func TestRenderAFolder(t *testing.T) {
	path, dir := write(t, clarinet), filepath.Join(t.TempDir(), "phone")
	code, out, err := run(t, "render", path, "--each", "rung", "--model", "all", "-o", dir, "--json")
	var made renderedAll
	if e := json.Unmarshal([]byte(out), &made); e != nil || code != Done || err != "" || made.Folder != dir || len(made.Files) != 5 || made.Files[4].Frames == 0 || made.Files[4].Reps != 1 {
		t.Errorf("status %d, %q, %q", code, out, err)
	}
	for _, f := range made.Files {
		if _, err := os.Stat(f.File); err != nil {
			t.Error(err)
		}
	}
	if code, out, err := run(t, "render", path, "--each", "step", "--as", "mid", "-o", dir); code != Done || err != "" || out != dir+": 1 file, 0:26, 5 rungs, 5 reps\n" {
		t.Errorf("status %d, %q, %q", code, out, err)
	}
	slow := write(t, strings.NewReplacer("{from: 60, goal: 76, step: 4 bpm}", "{from: 10, goal: 10}", "    unit: 1/8\n", "    meter: 16/16\n    unit: 1/8\n", `{start: "1:1", beats: 4,`, `{start: "1:1", beats: 4,`).Replace(clarinet))
	if code, _, err := run(t, "render", slow, "-o", filepath.Join(t.TempDir(), "a.mid")); code != FaultInput || !strings.Contains(err, "this cannot be written to MIDI: a quarter note lasts longer than 16.7 seconds") {
		t.Errorf("slow: status %d, %q", code, err)
	}
}

// In MIDI the model plays the instrument of the step, or of the wind that is asked for.
func TestRenderAModelToMIDI(t *testing.T) {
	path, file := write(t, clarinet), filepath.Join(t.TempDir(), "a.mid")
	for want, args := range map[string][]string{"Program_c, 0, 71": nil, "Program_c, 0, 70": {"--wind", "bassoon"}} {
		if code, _, err := run(t, append([]string{"render", path, "-o", file, "--model", "once"}, args...)...); code != Done {
			t.Fatalf("status %d, %s", code, err)
		}
		out, err := exec.CommandContext(t.Context(), "midicsv", file).Output()
		// A4 as read is G4 on this clarinet, key 67.
		if err != nil || !strings.Contains(string(out), want) || !strings.Contains(string(out), "Note_on_c, 0, 67,") {
			t.Errorf("%v: %v\n%s", args, err, out)
		}
	}
}
