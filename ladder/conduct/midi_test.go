package conduct

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
)

func midi(t rapid.TB, r Rendition) []byte {
	t.Helper()
	f, err := r.MIDI(context.Background(), WoodBlocks, 70)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// listed is what midicsv, which knows nothing of us, reads in a file: notes with the
// seconds at which its own tempos put them, and markers.
type listed struct {
	notes   []note
	markers []string
	meters  []string
	tempos  int
}

type note struct {
	seconds, until     float64
	channel, key, velo int
}

func list(t rapid.TB, data []byte) listed {
	t.Helper()
	cmd := exec.Command("midicsv", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("midicsv: %v", err)
	}
	r := csv.NewReader(bytes.NewReader(out))
	r.FieldsPerRecord, r.TrimLeadingSpace, r.LazyQuotes = -1, true, true
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	num := func(s string) int { n, _ := strconv.Atoi(s); return n }
	division := float64(num(rows[0][5]))
	type tempo struct {
		tick    int
		seconds float64
		micros  float64
	}
	tempos := []tempo{{0, 0, 500_000}}
	at := func(tick int) float64 {
		last := tempos[0]
		for _, t := range tempos {
			if t.tick <= tick {
				last = t
			}
		}
		return last.seconds + float64(tick-last.tick)*last.micros/1e6/division
	}
	var got listed
	for _, row := range rows { // the first track has the tempos
		switch tick := num(row[1]); row[2] {
		case "Tempo":
			tempos = append(tempos, tempo{tick, at(tick), float64(num(row[3]))})
			got.tempos++
		case "Marker_t":
			got.markers = append(got.markers, row[3])
		case "Time_signature":
			got.meters = append(got.meters, strings.Join(row[3:], " "))
		case "Note_on_c":
			got.notes = append(got.notes, note{at(tick), 0, num(row[3]), num(row[4]), num(row[5])})
		case "Note_off_c":
			for i := len(got.notes) - 1; i >= 0; i-- {
				if n := &got.notes[i]; n.channel == num(row[3]) && n.key == num(row[4]) {
					n.until = at(tick)
					break
				}
			}
		}
	}
	return got
}

// Every click that is rendered is in the MIDI file, in its place to a fifth of a
// millisecond; midicsv reads the file, and finds the marks of the rendering.
func TestMIDIHasWhatIsRendered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := steady(func(s *ladder.Step) {
			s.Slots = click.EvenSlots(rapid.IntRange(1, 12).Draw(t, "slots"))
			if rapid.IntRange(0, 3).Draw(t, "swung") == 0 {
				s.Slots = click.Swing(2, 1)
			}
			meter := rapid.SampledFrom([]string{"4/4", "6/8", "3+2/8", "2/2", "9/16"}).Draw(t, "meter")
			s.Meter, _ = click.ParseMeter(meter)
			s.Unit = s.Meter.Unit()
			s.Chunk = ladder.Chunk{Bar: s.Passage.From, Length: click.Whole(1), Landing: true}
			s.Tempo = ladder.Range{From: click.Tempo(rapid.IntRange(30_000, 200_000).Draw(t, "from")), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 3333}}
			s.Tempo.Goal = s.Tempo.From + click.Tempo(rapid.IntRange(0, 20_000).Draw(t, "climb"))
			s.Reps = rapid.IntRange(1, 3).Draw(t, "reps")
			s.CountIn, s.Breath = rapid.IntRange(0, 2).Draw(t, "count-in"), rapid.IntRange(0, 2).Draw(t, "breath")
		})
		clicks, places, _ := play(t, r, 48_000)
		got := list(t, midi(t, Rendition{Routine: r}))
		if len(got.notes) != len(clicks) {
			t.Fatalf("%d notes of %d clicks", len(got.notes), len(clicks))
		}
		for i, n := range got.notes {
			if off := n.seconds - float64(clicks[i])/48_000; math.Abs(off) > 0.0002+0.5/48_000 {
				t.Fatalf("note %d lies %.6f s off", i, off)
			}
		}
		var marks []string
		for _, p := range places {
			marks = append(marks, p.Label())
		}
		if strings.Join(got.markers, ";") != strings.Join(marks, ";") {
			t.Fatalf("marks %q, want %q", got.markers, marks)
		}
	})
}

// Dynamics and voices are keys of General MIDI level 1 and their velocities; 6/8 is
// written 06 03 24 08 and 4/4 04 02 18 08, as the specification has them.
func TestMIDIInWords(t *testing.T) {
	r := steady(func(s *ladder.Step) { s.Slots = click.EvenSlots(4); s.Reps = 1 })
	two := r.Steps[0]
	two.Name = "six eight"
	two.Meter, _ = click.ParseMeter("6/8")
	two.Unit = two.Meter.Unit()
	two.Slots = click.EvenSlots(3)
	two.Chunk = ladder.Chunk{Bar: two.Passage.From, Length: click.Whole(2), Landing: true}
	r.Steps = append(r.Steps, two)
	got := list(t, midi(t, Rendition{Routine: r}))
	var words []string
	for _, n := range got.notes[8:16] {
		words = append(words, fmt.Sprintf("%d:%d:%d", n.channel, n.key, n.velo))
	}
	if want := "9:76:112 9:77:64 9:77:64 9:77:64 9:76:88 9:77:64 9:77:64 9:77:64"; strings.Join(words, " ") != want {
		t.Errorf("the chunk is %s, want %s", strings.Join(words, " "), want)
	}
	if want := "4 2 24 8;6 3 36 8"; strings.Join(got.meters, ";") != want {
		t.Errorf("time signatures %s, want %s", strings.Join(got.meters, ";"), want)
	}
}

// The model's notes are on a track of their own, on another channel.
func TestMIDIHasTheModel(t *testing.T) {
	r := steady(func(s *ladder.Step) { s.Reps = 2 })
	tones := func(ladder.Step, click.Phrase) []click.Tone {
		return []click.Tone{
			{Length: click.Whole(1), Pitch: click.Key(60), Level: 1},
			{At: click.Whole(1), Length: click.Frac(1, 2), Pitch: click.Key(62), Level: 0.5, Slurred: true},
			{At: click.Whole(1), Length: click.Frac(1, 2), Pitch: click.Key(200), Level: 1},
			{At: click.Whole(1), Length: click.Frac(1, 2), Pitch: click.Key(-2), Level: 1},
			{At: click.Whole(1), Length: click.Frac(1, 2), Pitch: click.Key(64)},
		}
	}
	got := list(t, midi(t, Rendition{Routine: r, Model: ladder.ModelEveryRep, Tones: tones}))
	var words []string
	for _, n := range got.notes {
		if n.channel == 0 {
			words = append(words, fmt.Sprintf("%.3f-%.3f:%d:%d", n.seconds, n.until, n.key, n.velo))
		}
	}
	if want := "2.000-3.000:60:80 3.000-3.450:62:40 7.000-8.000:60:80 8.000-8.450:62:40"; strings.Join(words, " ") != want {
		t.Errorf("the model plays %s, want %s", strings.Join(words, " "), want)
	}
	if plain := list(t, midi(t, Rendition{Routine: r})); len(plain.notes) != len(got.notes)-4 {
		t.Errorf("%d notes without a model, %d with one", len(plain.notes), len(got.notes))
	}
}

// What the format cannot hold, and a context that is over, end in a sentence.
func TestWhatMIDICannotHold(t *testing.T) {
	slow := steady(func(s *ladder.Step) {
		s.Meter, s.Unit = click.MakeMeter(4, 16), click.Unit{Num: 1, Den: 16}
		s.Tempo.From, s.Tempo.Goal = click.BPM(10), click.BPM(10)
	})
	if _, err := (Rendition{Routine: slow}).MIDI(context.Background(), WoodBlocks, 0); err == nil || !strings.Contains(err.Error(), "16.7 seconds") {
		t.Errorf("a quarter note of 24 s: %v", err)
	}
	r := steady(nil)
	full := midiWriter{routine: r, clicks: maxEvents, line: click.NewTimeline(0, click.MinTempo, 1_000_000)}
	for part, phrase := range HandsFree(r) {
		if err := full.phrase(part, phrase); err == nil || !strings.Contains(err.Error(), "a step or a rung at a time") {
			t.Errorf("two million notes and more: %v", err)
		}
		break
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := (Rendition{Routine: steady(nil)}).MIDI(ctx, WoodBlocks, 0); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}

// Two minutes over 20 changes of tempo, sounded by a synthesiser that knows nothing of
// us (fluidsynth with a font of General MIDI), begin where the rendering's clicks do,
// within a millisecond. Its own clock counts milliseconds and blocks of 64 frames, so
// it runs at a high rate, and both ends of what that leaves are looked at.
func TestASynthesiserAgrees(t *testing.T) {
	const rate = 96_000
	r := steady(func(s *ladder.Step) {
		s.Reps, s.Chunk.Length, s.Breath, s.CountIn = 1, click.Whole(4), 1, 2
		s.Accents = click.Accents{{click.Forte}}
		s.Tempo = ladder.Range{From: click.BPM(63), Goal: click.BPM(126), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 3150}}
	})
	dir := t.TempDir()
	path := filepath.Join(dir, "click.mid")
	if err := os.WriteFile(path, midi(t, Rendition{Routine: r}), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("fluidsynth", "-ni", "-g", "1", "-R", "0", "-C", "0", "-r", strconv.Itoa(rate), "-O", "float", "-T", "raw", "-F", filepath.Join(dir, "click.raw"),
		"/usr/share/sounds/sf2/TimGM6mb.sf2", path).CombinedOutput()
	if err != nil {
		t.Fatalf("fluidsynth: %v\n%s", err, out)
	}
	data, err := os.ReadFile(filepath.Join(dir, "click.raw"))
	if err != nil {
		t.Fatal(err)
	}
	onsets := begin(data, rate)
	clicks, _, _ := play(t, r, 48_000)
	if len(onsets) != len(clicks) {
		t.Fatalf("%d sounds of %d clicks", len(onsets), len(clicks))
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i, at := range onsets {
		off := at - float64(clicks[i])/48_000
		low, high = min(low, off), max(high, off)
	}
	// What is common to all is the sound's own attack.
	if high-low > 0.002 {
		t.Errorf("sounds lie %.2f to %.2f ms behind their clicks, that is over a millisecond off their middle", 1000*low, 1000*high)
	}
	t.Logf("within %.2f ms of their middle", 500*(high-low))
}

// begin is where sounds begin in stereo samples, in seconds: where they rise over a
// hundredth of full scale after a tenth of a second below it.
func begin(data []byte, rate int) []float64 {
	var out []float64
	quiet := rate
	for i := 0; i+8 <= len(data); i += 8 {
		v := math.Abs(float64(math.Float32frombits(uint32(data[i]) | uint32(data[i+1])<<8 | uint32(data[i+2])<<16 | uint32(data[i+3])<<24)))
		switch {
		case v < 0.01:
			quiet++
		case quiet > rate/10:
			out = append(out, float64(i/8)/float64(rate))
			fallthrough
		default:
			quiet = 0
		}
	}
	return out
}

// Writing MIDI costs a small part of rendering: what .ci/bench compares.
func BenchmarkMIDI(b *testing.B) {
	r := steady(func(s *ladder.Step) {
		s.Slots = click.EvenSlots(4)
		s.Tempo.Goal = click.BPM(120)
	})
	for b.Loop() {
		f, err := (Rendition{Routine: r}).MIDI(context.Background(), WoodBlocks, 0)
		if err != nil {
			b.Fatal(err)
		}
		if err := f.Write(discard{}); err != nil {
			b.Fatal(err)
		}
	}
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
