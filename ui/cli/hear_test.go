package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"footing/audio/track"
)

// tone is a note of a made-up reed: seconds, a key, how long.
type tone struct {
	at, length float64
	midi       int
}

// sing renders notes with a tongued attack.
func sing(rate int, length float64, notes []tone) []float32 {
	out := make([]float32, int(length*float64(rate)))
	for _, n := range notes {
		hz := 440 * math.Pow(2, float64(n.midi-69)/12)
		for i := range int(n.length * float64(rate)) {
			j := int(n.at*float64(rate)) + i
			if j < 0 || j >= len(out) {
				break
			}
			t := float64(i) / float64(rate)
			level := min(1, t/0.008) * min(1, (n.length-t)/0.02)
			v := 0.0
			for k := 1; k <= 6; k++ {
				v += math.Sin(2*math.Pi*hz*float64(k)*t) / float64(k)
			}
			out[j] += float32(0.25 * level * v)
		}
	}
	return out
}

var keys = []int{50, 52, 54, 55, 57, 59, 61, 62, 64}

// group is beats of four sixteenths at 72 bpm from 1.25 s on; the third comes
// late by so many milliseconds.
func group(beats int, late float64) []tone {
	rng := rand.New(rand.NewPCG(5, 6))
	step := 60.0 / 72 / 4
	var notes []tone
	for i := range beats * 4 {
		at := 1.25 + float64(i)*step + rng.NormFloat64()*0.002
		if i%4 == 2 {
			at += late / 1000
		}
		notes = append(notes, tone{at, 0.8 * step, keys[i%9]})
	}
	return notes
}

// reps is what the first step of the test routine asks for at 60 bpm: nine
// sixteenths every five seconds. The note on the slot comes late.
func reps(n, slot int, late float64) []tone {
	rng := rand.New(rand.NewPCG(7, 8))
	var notes []tone
	for rep := range n {
		for i := range 9 {
			at := 2.1 + 5*float64(rep) + 0.25*float64(i) + rng.NormFloat64()*0.002
			if i+1 == slot {
				at += late / 1000
			}
			notes = append(notes, tone{at, 0.2, keys[i]})
		}
	}
	return notes
}

// record writes samples to a file and returns its path.
func record(t *testing.T, name string, rate, channels int, encoding track.Encoding, samples []float32) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	err := track.Create(context.Background(), path, track.Format{Rate: rate, Channels: channels, Encoding: encoding}, func(w *track.Writer) error {
		for len(samples) > 0 {
			n := min(len(samples), 1<<14)
			block := make([]float32, 0, n*channels)
			for _, v := range samples[:n] {
				for range channels {
					block = append(block, v)
				}
			}
			if err := w.Write(block); err != nil {
				return err
			}
			samples = samples[n:]
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return path
}

func plainTake(t *testing.T, notes []tone) string {
	t.Helper()
	end := notes[len(notes)-1].at + 1
	return record(t, "take.wav", 44_100, 1, track.Int16, sing(44_100, end, notes))
}

// heardJSON is the part of the object that is promised.
type heardJSON struct {
	Remarks []string `json:"remarks"`
	Source  *string  `json:"grid_source"`
	Onsets  []struct {
		Seconds, Certainty float64
		Midi               *int
		Slot, Rep          int
		Deviation          *float64 `json:"deviation_ms"`
	} `json:"onsets"`
	Slots []struct {
		Slot int
		Mean float64 `json:"mean_ms"`
	} `json:"slots"`
	Changes []struct {
		From int `json:"from_slot"`
		To   int `json:"to_slot"`
	} `json:"changes"`
	Weak *struct {
		From int     `json:"from_slot"`
		To   int     `json:"to_slot"`
		Late float64 `json:"late_ms"`
	} `json:"weak_change"`
	Chunk      *chunkJSON `json:"chunk"`
	Sentence   string     `json:"sentence"`
	Ambiguous  bool       `json:"grid_ambiguous"`
	Candidates []gridJSON `json:"grid_candidates"`
}

type chunkJSON struct {
	Start, Beats string
	Landing      bool
}

type gridJSON struct {
	BPM   float64 `json:"bpm"`
	Slots int     `json:"slots_per_beat"`
}

// placed checks that nearly every note was heard, each at its time and pitch, on
// the slot and the rep that lie there. (How well notes are heard is for the ears'
// own tests; here it is what is said of them.)
func (h heardJSON) placed(t *testing.T, notes []tone, slots int) {
	t.Helper()
	found := 0
	for _, o := range h.Onsets {
		i := slices.IndexFunc(notes, func(n tone) bool { return math.Abs(n.at-o.Seconds) < 0.02 })
		if i < 0 {
			continue
		}
		found++
		if o.Midi == nil || *o.Midi != notes[i].midi || o.Slot != i%slots+1 || o.Rep != i/slots+1 || o.Deviation == nil {
			t.Errorf("at %.3f s: %+v, want key %d on slot %d of rep %d", o.Seconds, o, notes[i].midi, i%slots+1, i/slots+1)
		}
	}
	if found < len(notes)*9/10 {
		t.Errorf("%d of %d notes were heard", found, len(notes))
	}
}

func hearJSON(t *testing.T, args ...string) heardJSON {
	t.Helper()
	code, out, err := run(t, append([]string{"hear", "--json"}, args...)...)
	if code != Done {
		t.Fatalf("footing hear %q: status %d, %s", args, code, err)
	}
	if strings.Count(out, "\n") != 1 {
		t.Fatalf("not one object on one line: %.300q", out)
	}
	for _, list := range []string{"remarks", "onsets", "slots", "changes", "missed", "grid_candidates"} {
		if !strings.Contains(out, `"`+list+`":[`) {
			t.Errorf("%s is no list in %.300s", list, out)
		}
	}
	var h heardJSON
	if err := json.Unmarshal([]byte(out), &h); err != nil {
		t.Fatalf("%v in %.300s", err, out)
	}
	return h
}

func TestHearNamesTheWeakChange(t *testing.T) {
	take := plainTake(t, group(8, 25))
	h := hearJSON(t, take, "--tempo", "72", "--slots", "4", "--from", "1.25")
	if h.Weak == nil || h.Weak.From != 2 || h.Weak.To != 3 || math.Abs(h.Weak.Late-25) > 5 {
		t.Fatalf("weak change %+v, want 2 to 3 late by 25 ms: %s", h.Weak, h.Sentence)
	}
	if len(h.Slots) != 4 || len(h.Changes) != 4 || h.Source == nil || *h.Source != "given" {
		t.Errorf("%d slots, %d changes, grid %v", len(h.Slots), len(h.Changes), h.Source)
	}
	h.placed(t, group(8, 25), 4)
	code, out, err := run(t, "hear", take, "--tempo", "72", "--slots", "4")
	for _, want := range []string{" notes, 72 bpm, 4 slots a beat, 8 beats\n", "2 to 3", "<- the weak change", "second change in each beat comes late", "Cut out"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not said:\n%s", want, out)
		}
	}
	if code != Done || err != "" {
		t.Errorf("status %d, %q", code, err)
	}
}

// Where the player says the beat is, it is: a slot later, the late note is the
// second of its beat, and the first note the last of the beat before.
func TestHearFrom(t *testing.T) {
	h := hearJSON(t, plainTake(t, group(8, 25)), "--tempo", "72", "--slots", "4", "--from", fmt.Sprint(1.25+60.0/72/4))
	if h.Weak == nil || h.Weak.From != 1 || h.Weak.To != 2 || h.Onsets[0].Slot != 4 {
		t.Errorf("weak change %+v, the first note on slot %d: %s", h.Weak, h.Onsets[0].Slot, h.Sentence)
	}
}

func TestHearAnEvenTakeNamesNone(t *testing.T) {
	h := hearJSON(t, plainTake(t, group(8, 0)), "--tempo", "72", "--slots", "4")
	if h.Weak != nil || !strings.HasPrefix(h.Sentence, "Even") {
		t.Errorf("%+v: %s", h.Weak, h.Sentence)
	}
}

func TestHearFindsTheTempo(t *testing.T) {
	take := plainTake(t, group(8, 0))
	h := hearJSON(t, take)
	if !slices.ContainsFunc(h.Candidates, func(c gridJSON) bool { return math.Abs(c.BPM-72) < 0.5 && c.Slots == 4 }) {
		t.Errorf("72 bpm with 4 slots is not among %+v", h.Candidates)
	}
	if _, out, _ := run(t, "hear", take); h.Ambiguous && !strings.Contains(out, "--slots 4\n") {
		t.Errorf("the candidates are not told:\n%s", out)
	}
}

func TestHearAgainstAStep(t *testing.T) {
	file := write(t, runs)
	// The step asks for two reps; the player went on.
	take := plainTake(t, reps(6, 6, 30))
	h := hearJSON(t, take, "--routine", file, "--step", "Weir Street run")
	if h.Weak == nil || h.Weak.From != 5 || h.Weak.To != 6 {
		t.Fatalf("weak change %+v, want 5 to 6: %s", h.Weak, h.Sentence)
	}
	if want := (chunkJSON{"18:3", "1", true}); h.Chunk == nil || *h.Chunk != want {
		t.Errorf("the chunk is %+v, want %+v", h.Chunk, want)
	}
	h.placed(t, reps(6, 6, 30), 9)
	_, out, _ := run(t, "hear", take, "--routine", file, "--step", "Weir Street run", "--from", "2.1")
	for _, want := range []string{"Weir Street run, 60 bpm, 4 slots a beat, 6 reps", "landing", `chunk: {start: "18:3", beats: 1, landing: true}`} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not said:\n%s", want, out)
		}
	}
	// Told another rung, it is heard at the one that was played.
	h = hearJSON(t, take, "--routine", file, "--step", "Weir Street run", "--tempo", "69")
	if h.Weak == nil || h.Weak.To != 6 || !slices.Contains(h.Remarks, "It was played at about 60 bpm, not at 69, and is heard at that.") {
		t.Errorf("told another tempo: %s %q", h.Sentence, h.Remarks)
	}
	// What was played before and after is left out, and said.
	notes := append([]tone{{0.1, 0.2, 70}, {0.45, 0.2, 72}}, reps(6, 6, 30)...)
	h = hearJSON(t, plainTake(t, notes), "--routine", file, "--step", "Weir Street run")
	if len(h.Onsets) < 50 || h.Onsets[0].Slot != 0 || h.Onsets[1].Slot != 0 || h.Onsets[2].Slot != 1 || !slices.Contains(h.Remarks, "2 notes were before or after the reps, and left out.") {
		t.Errorf("%d onsets, %+v, %q", len(h.Onsets), h.Onsets[:3], h.Remarks)
	}
}

func TestHearFaults(t *testing.T) {
	good := plainTake(t, group(3, 0))
	file := write(t, runs)
	dir := t.TempDir()
	text, empty := filepath.Join(dir, "text.wav"), filepath.Join(dir, "empty.wav")
	if err := os.WriteFile(text, []byte("dear diary\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 1))
	noise := make([]float32, 4*44_100)
	for i := range noise {
		noise[i] = float32(rng.NormFloat64() * 0.1)
	}
	silence := record(t, "silence.wav", 44_100, 1, track.Int16, make([]float32, 88_200))
	none := record(t, "none.wav", 44_100, 1, track.Int16, nil)
	hiss := record(t, "noise.wav", 44_100, 1, track.Int16, noise)
	sine := record(t, "sine.wav", 44_100, 1, track.Int16, sing(44_100, 4, []tone{{0.5, 3, 57}}))
	for _, tt := range []struct {
		name string
		args []string
		code int
		err  string
	}{
		{"nothing", nil, FaultUsage, "<take> is missing"},
		{"missing", []string{filepath.Join(dir, "nowhere.wav")}, FaultInput, "nowhere.wav"},
		{"a folder", []string{dir}, FaultInput, "folder"},
		{"a text", []string{text}, FaultInput, "text"},
		{"an empty file", []string{empty}, FaultInput, "empty"},
		{"no samples", []string{none}, FaultInput, "none.wav"},
		{"silence", []string{silence}, FaultInput, "silent"},
		{"noise", []string{hiss, "--tempo", "72", "--slots", "4"}, FaultInput, "No note was heard"},
		{"one held note", []string{sine, "--tempo", "72", "--slots", "4"}, FaultInput, "one held note"},
		{"a tempo in words", []string{good, "--tempo", "fast"}, FaultUsage, "10 to 400"},
		{"too slow", []string{good, "--tempo", "9", "--slots", "4"}, FaultUsage, "10 to 400"},
		{"no slots", []string{good, "--tempo", "72", "--slots", "0"}, FaultUsage, "write 1 to 12"},
		{"beats without slots", []string{good, "--tempo", "72", "--beats", "2"}, FaultUsage, "write --tempo and --slots as well"},
		{"too many beats", []string{good, "--tempo", "72", "--slots", "4", "--beats", "17"}, FaultUsage, "write 1 to 16"},
		{"beats of a routine", []string{good, "--routine", file, "--beats", "2"}, FaultUsage, "stands in the routine's chunk already"},
		{"too many slots", []string{good, "--tempo", "72", "--slots", "13"}, FaultUsage, "write 1 to 12"},
		{"before the start", []string{good, "--from=-1"}, FaultUsage, "--from"},
		{"no number", []string{good, "--from=NaN"}, FaultUsage, "--from"},
		{"after the end", []string{good, "--tempo", "72", "--slots", "4", "--from", "60"}, FaultInput, "after the end"},
		{"slots with a routine", []string{good, "--routine", file, "--step", "Trio", "--slots", "4"}, FaultUsage, "leave it out"},
		{"a step of nothing", []string{good, "--step", "Trio"}, FaultUsage, "--routine"},
		{"which step", []string{good, "--routine", file}, FaultUsage, `"Weir Street run", "Trio"`},
		{"no such step", []string{good, "--routine", file, "--step", "Trip"}, FaultInput, `"Weir Street run", "Trio"`},
		{"no such routine", []string{good, "--routine", filepath.Join(dir, "none.yaml"), "--step", "x"}, FaultInput, "none.yaml"},
		{"no picture", []string{good, "--night"}, FaultUsage, "--picture"},
		{"another format", []string{good, "--picture", "x.jpg"}, FaultUsage, "ends in .png"},
		{"a size in words", []string{good, "--picture", "x.png", "--size", "large"}, FaultUsage, "1600x1000"},
		{"a size with a tail", []string{good, "--picture", "x.png", "--size", "800x600x3"}, FaultUsage, "1600x1000"},
		{"too large", []string{good, "--picture", "x.png", "--size", "60000x1000"}, FaultUsage, "6000x4000"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, err := run(t, append([]string{"hear"}, tt.args...)...)
			if code != tt.code || !strings.Contains(err, tt.err) || out != "" || strings.Count(err, "\n") != 1 {
				t.Errorf("footing hear %q: status %d, out %q, err %q; want %d and one line with %q", tt.args, code, out, err, tt.code, tt.err)
			}
		})
	}
}

// What can be got over is said beside the result.
func TestHearGetsOverFlaws(t *testing.T) {
	notes := group(8, 25)
	loud := sing(44_100, 9, notes)
	for i, v := range loud {
		loud[i] = max(-1, min(1, 40*v))
	}
	soft := sing(44_100, 9, notes)
	half := filepath.Join(t.TempDir(), "half.wav")
	err := track.Create(context.Background(), half, track.Format{Rate: 44_100, Channels: 2}, func(w *track.Writer) error {
		both := make([]float32, 0, 2*len(loud))
		for i := range loud {
			both = append(both, soft[i], loud[i])
		}
		return w.Write(both)
	})
	if err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(plainTake(t, notes))
	if err != nil {
		t.Fatal(err)
	}
	cut := filepath.Join(t.TempDir(), "cut.wav")
	if err := os.WriteFile(cut, whole[:len(whole)*3/4], 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ name, path, note string }{
		{"cut short", cut, "ends early"},
		{"96 kHz, six channels", record(t, "six.wav", 96_000, 6, track.Int24, sing(96_000, 9, notes)), ""},
		{"4 kHz", record(t, "low.wav", 4_000, 1, track.Int16, sing(4_000, 9, notes)), ""},
		{"one channel of two overloaded", half, "overloaded"},
		{"overloaded", record(t, "loud.wav", 44_100, 1, track.Int16, loud), "overloaded"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, said := run(t, "hear", tt.path, "--tempo", "72", "--slots", "4")
			if code != Done || !strings.Contains(out, "slot") || !strings.Contains(said, tt.note) || tt.note == "" && said != "" {
				t.Errorf("status %d, err %q, out:\n%s", code, said, out)
			}
			h := hearJSON(t, tt.path, "--tempo", "72", "--slots", "4")
			if found := strings.Contains(strings.Join(h.Remarks, " "), tt.note); !found || (tt.note == "") != (len(h.Remarks) == 0) {
				t.Errorf("notes %q, want %q", h.Remarks, tt.note)
			}
		})
	}
}

// A take is never held in memory: all that is allocated while listening is a
// small part of what its samples would need.
func TestHearWithinBoundedMemory(t *testing.T) {
	const rate, channels, seconds = 96_000, 6, 20
	notes := group(16, 25)
	path := record(t, "long.wav", rate, channels, track.Int16, sing(rate, seconds, notes))
	allocated := func(args ...string) uint64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		code, _, err := run(t, args...)
		runtime.ReadMemStats(&after)
		if code != Done {
			t.Fatalf("status %d, %s", code, err)
		}
		return after.TotalAlloc - before.TotalAlloc
	}
	reading := allocated("hear", "-h") // the command line alone
	held := uint64(rate * channels * seconds * 4)
	if used := allocated("hear", path, "--tempo", "72", "--slots", "4"); used > reading+held/4 {
		t.Errorf("%d bytes were allocated for a take of %d, and %d to read the command", used-reading, held, reading)
	}
}

func TestHearDraws(t *testing.T) {
	take := plainTake(t, group(8, 25))
	path := filepath.Join(t.TempDir(), "take.png")
	for _, tt := range []struct {
		args []string
		size image.Point
		dark bool
	}{
		{nil, image.Pt(1600, 1000), false},
		{[]string{"--night", "--size", "800x500"}, image.Pt(800, 500), true},
	} {
		args := append([]string{"hear", take, "--tempo", "72", "--slots", "4", "--picture", path}, tt.args...)
		if code, _, err := run(t, args...); code != Done || err != "" {
			t.Fatalf("status %d, %s", code, err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		r, _, _, _ := img.At(2, 2).RGBA()
		if img.Bounds().Size() != tt.size || (r < 0x8000) != tt.dark {
			t.Errorf("%v, ground %x; want %v, dark %v", img.Bounds().Size(), r, tt.size, tt.dark)
		}
	}
	// The take is not drawn over.
	fake := filepath.Join(t.TempDir(), "take.png")
	data, err := os.ReadFile(take)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(fake, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, _ := run(t, "hear", fake, "--picture", fake); code != FaultUsage {
		t.Errorf("status %d for drawing over the take", code)
	}
	if kept, err := os.ReadFile(fake); err != nil || !bytes.Equal(kept, data) {
		t.Error("the take is no longer what it was")
	}
}

// Nor is it where the picture's name is a link to it, to the routine, or to a
// link.
func TestHearDrawsOverNothingThroughALink(t *testing.T) {
	take, file, dir := plainTake(t, group(3, 0)), write(t, runs), t.TempDir()
	for name, target := range map[string]string{"take.png": take, "routine.png": file, "again.png": filepath.Join(dir, "take.png")} {
		if err := os.Symlink(target, filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Link(take, filepath.Join(dir, "hard.png")); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"take.png", "routine.png", "again.png", "hard.png"} {
		code, _, err := run(t, "hear", take, "--routine", file, "--step", "Weir Street run", "--picture", filepath.Join(dir, name))
		if code != FaultUsage || !strings.Contains(err, "would be written over the") {
			t.Errorf("%s: status %d, %q", name, code, err)
		}
	}
	for path, head := range map[string]string{take: "RIFF", file: "footing"} {
		if kept, err := os.ReadFile(path); err != nil || !bytes.HasPrefix(bytes.TrimSpace(kept), []byte(head)) {
			t.Errorf("%s is no longer what it was: %v, %.20q", path, err, kept)
		}
	}
}

// A step whose chunk holds no slot of the click is heard without a grid.
func TestHearAStepWithoutANote(t *testing.T) {
	file := write(t, `footing: 1
name: Between
steps:
  - name: Between
    passage: {piece: Weir Street March, bars: 1-4}
    tempo: {from: 60, goal: 80, step: 4 bpm}
    slots: 1
    chunk: {start: "1:1+1/2", beats: 1/4, landing: false}
`)
	code, out, err := run(t, "hear", plainTake(t, group(3, 0)), "--routine", file)
	if code != Done || !strings.Contains(out, "holds no slot of the click") {
		t.Errorf("status %d, %q, %q", code, out, err)
	}
}

func TestHearShowsHowFarItIsAndStops(t *testing.T) {
	take := plainTake(t, group(8, 0))
	var out, err bytes.Buffer
	w := World{Out: &out, Err: &err, Live: true}
	if code := Run(context.Background(), w, []string{"hear", take}); code != Done || !strings.Contains(err.String(), "\rtake.wav: 0:00 of 0:08") {
		t.Errorf("status %d, shown %q", code, err.String())
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	out.Reset()
	err.Reset()
	if code := Run(ctx, w, []string{"hear", take}); code == Done || out.Len() > 0 || !strings.Contains(err.String(), "stopped") {
		t.Errorf("status %d, %q, %q", code, out.String(), err.String())
	}
}

func BenchmarkHear(b *testing.B) {
	samples := sing(44_100, 30, reps(5, 6, 25))
	path := filepath.Join(b.TempDir(), "take.wav")
	err := track.Create(context.Background(), path, track.Format{Rate: 44_100, Channels: 1}, func(w *track.Writer) error { return w.Write(samples) })
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		var out bytes.Buffer
		if code := Run(context.Background(), World{Out: &out, Err: &out}, []string{"hear", path, "--tempo", "60", "--slots", "4"}); code != Done {
			b.Fatal(out.String())
		}
	}
	b.ReportMetric(30*float64(b.N)/b.Elapsed().Seconds(), "times_real_time")
}

// A picture that cannot be written takes nothing with it.
func TestHearTellsBeforeItDraws(t *testing.T) {
	take := plainTake(t, group(8, 25))
	code, out, err := run(t, "hear", take, "--tempo", "72", "--slots", "4", "--picture", filepath.Join(t.TempDir(), "none", "x.png"))
	if code != FaultMachine || !strings.Contains(err, "there is no folder") || !strings.Contains(out, "change") {
		t.Errorf("status %d, err %q, out %q", code, err, out)
	}
}
