package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/big"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/audio/speaker"
	"footing/audio/track"
)

// run runs the command line and returns the status and what was written.
func run(t *testing.T, args ...string) (code int, out, err string) {
	t.Helper()
	var o, e bytes.Buffer
	w := World{Out: &o, Err: &e,
		Window: func(_ context.Context, file string) error {
			_, err := io.WriteString(&o, "window on ["+file+"]\n")
			return err
		},
		Device: func(io.Reader, speaker.Format) (speaker.Device, error) { return nil, errors.New("no such device") },
	}
	code = Run(context.Background(), w, args)
	return code, o.String(), e.String()
}

// write makes a routine file and returns its path.
func write(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "runs.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

const runs = `footing: 1
name: Morning runs
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 17-20}
    tempo: {from: 60, goal: 69, step: marks}
    slots: 4
    dynamics: f p p p
    chunk: {start: "18:2", beats: 2, landing: true}
    count-in: 2
    breath: 2
    reps: 2
    rule: steady
  - name: Trio
    passage: {piece: Weir Street March, bars: 41-44}
    meter: 6/8
    tempo: {from: 208, goal: 208, step: 4 bpm}
    chunk: {start: "41:1", beats: 2, landing: false}
    count-in: 1
    breath: 1
    reps: 3
    rule: steady
`

func TestTheWindowIsTheDefault(t *testing.T) {
	for _, tt := range []struct {
		args []string
		want string
	}{{nil, "window on []\n"}, {[]string{"runs.yaml"}, "window on [runs.yaml]\n"}} {
		if code, out, err := run(t, tt.args...); code != Done || out != tt.want || err != "" {
			t.Errorf("footing %v: status %d, %q, %q", tt.args, code, out, err)
		}
	}
}

func TestExitStatuses(t *testing.T) {
	good := write(t, runs)
	bad := write(t, strings.Replace(runs, "step: 4 bpm", "step: 4 bmp", 1))
	for _, tt := range []struct {
		name string
		args []string
		code int
		err  string // part of what is said
	}{
		{"an unknown option", []string{"render", good, "--fast"}, FaultUsage, "unknown flag --fast"},
		{"no output", []string{"render", good}, FaultUsage, "--output"},
		{"another format", []string{"render", good, "-o", "x.mp3"}, FaultUsage, "write a name that ends in .wav, .flac or .mid"},
		{"bits", []string{"render", good, "-o", "x.wav", "--bits", "12"}, FaultUsage, "write 16, 24 or 32"},
		{"rate", []string{"render", good, "-o", "x.wav", "--rate", "10"}, FaultUsage, "write 22050 to 192000"},
		{"bits that are no number", []string{"render", good, "-o", "x.wav", "--bits", "many"}, FaultUsage, `--bits: "many" is no whole number`},
		{"too large a number", []string{"hear", good, "--slots", "99999999999999999999"}, FaultUsage, "--slots: "},
		{"a volume that is no number", []string{"render", good, "-o", "x.wav", "--volume", "loud"}, FaultUsage, `--volume: "loud" is no number`},
		{"a value left out", []string{"render", good, "-o"}, FaultUsage, "--output: a value is missing"},
		{"a value like an option", []string{"hear", good, "--from", "-1"}, FaultUsage, `--from: "-1" looks like another option; write --from=-1`},
		{"a volume", []string{"render", good, "-o", filepath.Join(t.TempDir(), "none", "x.wav"), "--volume", ".25", "--rate=44100"}, FaultMachine, "there is no folder"},
		{"volume", []string{"render", good, "-o", "x.wav", "--volume", "1.5"}, FaultUsage, "write 0 to 1"},
		{"sound", []string{"render", good, "-o", "x.wav", "--sound", "tin"}, FaultUsage, "wood"},
		{"no such file", []string{"check", "nowhere.yaml"}, FaultInput, "nowhere.yaml"},
		{"a faulty file", []string{"check", bad}, FaultInput, "runs.yaml:17:"},
		{"a faulty file to render", []string{"render", bad, "-o", filepath.Join(t.TempDir(), "x.wav")}, FaultInput, "runs.yaml:17:"},
		{"no such step", []string{"render", good, "--step", "Trip", "-o", "x.wav"}, FaultInput, `"Weir Street run", "Trio"`},
		{"no such folder", []string{"render", good, "-o", filepath.Join(t.TempDir(), "none", "x.wav")}, FaultMachine, "there is no folder"},
		{"a folder that takes no files", []string{"render", good, "-o", "/proc/x.wav"}, FaultMachine, "/proc"},
		{"nothing to check", []string{"check"}, FaultUsage, "footing: <file> ... is missing; see footing check -h\n"},
		{"nothing to hear", []string{"hear"}, FaultUsage, "footing: <take> is missing; see footing hear -h\n"},
		{"nowhere to write", []string{"render", good}, FaultUsage, "see footing render -h\n"},
		{"an option of no command", []string{"--loud"}, FaultUsage, "see footing -h\n"},
		{"no device", []string{"play", good}, FaultMachine, "playing"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, err := run(t, tt.args...)
			if code != tt.code || !strings.Contains(err, tt.err) || out != "" {
				t.Errorf("footing %q: status %d, out %q, err %q; want %d and %q", tt.args, code, out, err, tt.code, tt.err)
			}
			if n := strings.Count(err, "\n"); n != 1 {
				t.Errorf("%d lines are said: %q", n, err)
			}
		})
	}
}

// That a file is not there every command tells in the same words.
func TestNoSuchFile(t *testing.T) {
	for _, args := range [][]string{
		{"check", "none"}, {"render", "none", "-o", filepath.Join(t.TempDir(), "x.wav")}, {"play", "none"},
		{"hear", "none"}, {"hear", "take.wav", "--routine", "none"}, {"notes", "none"}, {"notes", "none.yaml"}, {"notes", "none.mxl"},
	} {
		code, _, err := run(t, args...)
		name := "none"
		if strings.HasPrefix(args[1], name) {
			name = args[1]
		}
		if err = strings.TrimPrefix(err, "footing: "); code != FaultInput || err != name+": there is no such file\n" {
			t.Errorf("footing %q: status %d, %q", args, code, err)
		}
	}
}

func TestEveryCommandHasHelpWithAnExample(t *testing.T) {
	for _, command := range []string{"check", "play", "render", "hear"} {
		code, out, err := run(t, command, "-h")
		if code != Done || err != "" || !strings.Contains(out, "footing "+command+" ") || !strings.Contains(out, "Example:") {
			t.Errorf("footing %s -h: status %d, %q\n%s", command, code, err, out)
		}
	}
	if code, out, _ := run(t, "-h"); code != Done || !strings.Contains(out, "Exit status") {
		t.Errorf("footing -h: status %d\n%s", code, out)
	}
}

func TestCheckSaysWhatItFound(t *testing.T) {
	path := write(t, runs)
	code, out, _ := run(t, "check", path)
	// 4 rungs of 2 + 2·5 beats at 60, 63, 66, 69 and 1 + 3·3 at 208.
	if want := path + ": \"Morning runs\", 2 steps, 0:47 hands free\n"; code != Done || out != want {
		t.Errorf("status %d, %q, want %q", code, out, want)
	}
	code, out, _ = run(t, "check", "--json", path, "nowhere.yaml")
	var got []checked
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != FaultInput || len(got) != 2 || !got[0].OK || got[1].OK || got[0].Steps != 2 {
		t.Errorf("status %d, %v: %s", code, err, out)
	}
}

// What a step's rule does not use is told, and keeps nobody from practising.
func TestCheckTellsWhatTheRuleDoesNotUse(t *testing.T) {
	path := write(t, strings.Replace(runs, "rule: steady\n", "rule: {name: steady, clean: 3, rough: 2}\n", 1))
	code, out, err := run(t, "check", path)
	at := 1 + strings.Count(runs[:strings.Index(runs, "rule: steady\n")], "\n")
	want := fmt.Sprintf("%[1]s:%[2]d:26: the rule steady does not use clean; leave the key out\n%[1]s:%[2]d:36: the rule steady does not use rough; leave the key out\n", path, at)
	if code != FaultInput || out != "" || err != want {
		t.Errorf("status %d, %q, %q, want %q", code, out, err, want)
	}
	if code, _, err := run(t, "render", path, "-o", filepath.Join(t.TempDir(), "x.wav")); code != Done {
		t.Errorf("to render: status %d, %q", code, err)
	}
}

// In a rendered file the first non-zero sample of each click is its exact
// place, judged by math/big: the count-ins, reps, landings and breaths of four
// rungs by the traditional marks and of a step in 6/8 follow one another with
// their fractions carried on.
func TestARenderedFileHasEveryClickOnItsSample(t *testing.T) {
	path, wav := write(t, runs), filepath.Join(t.TempDir(), "runs.wav")
	code, out, stderr := run(t, "render", path, "-o", wav, "--json")
	if code != Done {
		t.Fatalf("status %d: %s", code, stderr)
	}
	want, marks, end := expected()
	got, read := clicksOf(t, wav)
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("click %d of %d (want %d) is at %v, want %v", i, len(got), len(want), got[min(i, len(got)-1)], want[min(i, len(want)-1)])
		}
	}
	if len(read) != len(marks) {
		t.Fatalf("%d marks, want %d", len(read), len(marks))
	}
	for i, m := range read {
		if m != marks[i] {
			t.Errorf("mark %d is %+v, want %+v", i, m, marks[i])
		}
	}
	var made rendered
	if err := json.Unmarshal([]byte(out), &made); err != nil || made.Frames != end || made.Rungs != 5 || made.Reps != 11 {
		t.Errorf("made %+v (%v), want %d frames, 5 rungs, 11 reps", made, err, end)
	}
}

// expected lays out the clicks of the routine above by hand.
func expected() (clicks []int64, marks []track.Mark, end int64) {
	at := new(big.Rat) // frames
	round := func(r *big.Rat) int64 {
		x := new(big.Rat).Add(r, big.NewRat(1, 2))
		return new(big.Int).Div(x.Num(), x.Denom()).Int64()
	}
	beat := func(bpm int64, parts ...int64) { // parts: which of the four slots sound
		length := big.NewRat(48_000*60, bpm)
		for _, p := range parts {
			clicks = append(clicks, round(new(big.Rat).Add(at, new(big.Rat).Mul(length, big.NewRat(p, 4)))))
		}
		at = new(big.Rat).Add(at, length)
	}
	mark := func(label string) { marks = append(marks, track.Mark{Frame: round(at), Label: label}) }
	for _, rung := range []struct {
		bpm  int64
		name string
	}{{60, "60"}, {63, "63"}, {66, "66"}, {69, "69"}} {
		mark("Weir Street run, " + rung.name + " bpm")
		for range 2 {
			beat(rung.bpm, 0, 1, 2, 3)
		}
		for rep := range 2 {
			mark(rung.name + " bpm, rep " + string(rune('1'+rep)))
			beat(rung.bpm, 0, 1, 2, 3)
			beat(rung.bpm, 0, 1, 2, 3)
			beat(rung.bpm, 0) // landing
			beat(rung.bpm, 0) // breath
			beat(rung.bpm, 0)
		}
	}
	mark("Trio, 208 bpm")
	beat(208, 0)
	for rep := range 3 {
		mark("208 bpm, rep " + string(rune('1'+rep)))
		for range 3 {
			beat(208, 0)
		}
	}
	return clicks, marks, round(at)
}

// clicksOf finds where clicks begin in a file: a sample that is not zero after
// at least 40 ms of exact silence, or at the very start.
func clicksOf(t *testing.T, path string) ([]int64, []track.Mark) {
	t.Helper()
	r, err := track.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if info := r.Info(); info.Rate != 48_000 || info.Channels != 1 || info.Encoding != track.Int16 {
		t.Fatalf("the file is %+v", info)
	}
	var clicks []int64
	buf := make([]float32, 4096)
	quiet := int64(48_000)
	for at := int64(0); ; {
		n, err := r.Read(buf)
		if errors.Is(err, io.EOF) {
			return clicks, r.Marks()
		}
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range buf[:n] {
			if s == 0 {
				quiet++
				continue
			}
			if quiet >= 48*40 {
				clicks = append(clicks, at+int64(i))
			}
			quiet = 0
		}
		at += int64(n)
	}
}

// From a pickup over a bar of three, the file has its accents on the bar lines:
// count-in 1 2 3, the pickup's 4, bars of four and of three, the landing after
// the line of the next, and a breath.
func TestARenderedFileHasItsBarLines(t *testing.T) {
	path, wav := write(t, `footing: 1
name: Ragged
steps:
  - name: From the pickup
    passage: {bars: 1-4}
    meters: [{bar: 2, meter: 3/4}, {bar: 3, meter: 4/4}]
    pickup: 1
    tempo: {from: 60, goal: 60}
    chunk: {start: "0:4", beats: 9}
    count-in: 3
    breath: 1
    reps: 1
    rule: steady
`), filepath.Join(t.TempDir(), "ragged.wav")
	if code, _, stderr := run(t, "render", path, "-o", wav); code != Done {
		t.Fatalf("status %d: %s", code, stderr)
	}
	r, err := track.Open(wav)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var samples []float32
	for buf := make([]float32, 4096); ; {
		n, err := r.Read(buf)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		samples = append(samples, buf[:n]...)
	}
	heights := map[float32]string{}
	got := ""
	for second := range slices.Chunk(samples, 48_000) {
		peak := slices.Max(second)
		if _, known := heights[peak]; !known {
			heights[peak] = string(rune('A' + len(heights)))
		}
		got += heights[peak]
	}
	// A is f, B is mf, C the breath's p.
	if want := "ABB" + "B" + "ABBB" + "ABB" + "A" + "B" + "C"; got != want {
		t.Errorf("the beats sound as %s, want %s", got, want)
	}
}

func TestAStoppedRenderLeavesNoFile(t *testing.T) {
	wav := filepath.Join(t.TempDir(), "runs.wav")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, e bytes.Buffer
	code := Run(ctx, World{Out: &out, Err: &e}, []string{"render", write(t, runs), "-o", wav})
	if _, err := os.Stat(wav); code != FaultMachine || !os.IsNotExist(err) || !strings.Contains(e.String(), "stopped") {
		t.Errorf("status %d, %q, file: %v", code, e.String(), err)
	}
}

func TestProgressIsOneLineThatGoesAway(t *testing.T) {
	var e bytes.Buffer
	p := newProgress(World{Err: &e, Live: true})
	p.show("x.wav: 0:01 of 0:47")
	p.show("not so soon")
	p.done()
	if got, want := e.String(), "\rx.wav: 0:01 of 0:47\rx.wav: 0:01 of 0:47\r"+strings.Repeat(" ", 19)+"\r"; got != want {
		t.Errorf("progress writes %q, want %q", got, want)
	}
	e.Reset()
	p = newProgress(World{Err: &e})
	p.show("x.wav")
	p.done()
	if e.Len() != 0 {
		t.Errorf("without a terminal progress writes %q", e.String())
	}
}
