package picture

import (
	"flag"
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/takes"
	"footing/ladder/hearing"
	"footing/ui/palette"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// played is a made-up take: reps of a chunk of slots at a tempo, scattered by a
// few milliseconds, one slot late.
type played struct {
	reps, slots, beat int
	bpm               float64
	late              map[int]float64
	scatter           float64
	landing           bool
	breath            int // beats
	seed              uint64
	mute              bool // no waveform
}

func (p played) model() Model {
	rng := rand.New(rand.NewPCG(p.seed, 1))
	step := 60 / p.bpm / float64(p.beat)
	r := judge.Report{
		HasGrid: true, Reps: p.reps, JNDMs: math.Max(6, step*25), OffsetMs: 31,
		Grid: judge.Grid{BPM: p.bpm, SlotsPerBeat: p.beat, Landing: p.landing},
	}
	rate := 8000
	if p.reps > 100 {
		rate = 500
	}
	w := NewWave(rate)
	beats := (p.slots + p.beat - 1) / p.beat
	period := float64((beats+p.breath)*p.beat) * step
	values := make([][]float64, p.slots)
	var onsets []float64
	for rep := range p.reps {
		for slot := range p.slots {
			grid := 1 + float64(rep)*period + float64(slot)*step
			dev := rng.NormFloat64()*p.scatter + p.late[slot+1]
			if slot+1 == 2 && rep == 4 {
				r.Missed = append(r.Missed, judge.Missed{Slot: 2, Rep: 5, Seconds: grid})
				continue
			}
			at := grid + dev/1000
			onsets = append(onsets, at)
			midi := 50 + []int{0, 2, 4, 5, 7, 9, 11, 12}[slot%8]
			r.Notes = append(r.Notes, judge.Note{Onset: hear.Onset{Seconds: at, Midi: midi, Certainty: 0.9}, Kind: judge.Played, Slot: slot + 1, Rep: rep + 1, GridSeconds: grid, DeviationMs: dev})
			values[slot] = append(values[slot], dev)
			if p.breath > 0 {
				r.Grid.Places = append(r.Grid.Places, judge.Place{Seconds: grid, Slot: slot + 1, Rep: rep + 1})
			}
		}
	}
	for slot, v := range values {
		mean, spread := 0.0, 0.0
		for _, x := range v {
			mean += x / float64(len(v))
		}
		for _, x := range v {
			spread += (x - mean) * (x - mean) / float64(max(1, len(v)-1))
		}
		r.Slots = append(r.Slots, judge.SlotStat{Slot: slot + 1, Notes: len(v), MeanMs: mean, SpreadMs: math.Sqrt(spread)})
		r.Changes = append(r.Changes, judge.ChangeStat{FromSlot: slot + 1, ToSlot: slot + 2, Count: len(v)})
	}
	for slot := range p.late {
		r.Weak = &judge.WeakChange{FromSlot: slot - 1, ToSlot: slot, LateMs: r.Slots[slot-1].MeanMs, CatchesUp: true}
	}
	sentence := "Every change is even to the ear; nothing stands out."
	if r.Weak != nil {
		sentence = fmt.Sprintf("The change from slot %d to slot %d comes %s in nearly every rep, and the note after it makes good for it.", r.Weak.FromSlot, r.Weak.ToSlot, lateWords(r.Weak.LateMs))
	}
	if p.mute {
		return Model{Report: r, Sentence: sentence}
	}
	fill(w, rate, onsets, 1+float64(p.reps)*period, rng)
	m := Model{
		Title: "weir-street-run.wav", Subtitle: fmt.Sprintf("%.0f bpm · %d slots a beat · %d reps", p.bpm, p.beat, p.reps), Report: r, Sentence: sentence, Wave: w,
		SmallPrint: "The whole take lies 31 ms late on the grid; that was taken out first.",
	}
	for i := range p.slots {
		m.Labels = append(m.Labels, [][]string{{"1"}, {"1", "&"}, {"1", "la", "li"}, {"1", "e", "&", "a"}}[min(p.beat, 4)-1][i%min(p.beat, 4)])
	}
	return m
}

// fill makes a sound of decaying notes.
func fill(w *Wave, rate int, onsets []float64, length float64, rng *rand.Rand) {
	samples := make([]float32, int(length*float64(rate)))
	for i := range samples {
		samples[i] = float32(rng.NormFloat64() * 0.004)
	}
	for k, at := range onsets {
		level := 0.5 + 0.3*rng.Float64()
		for i := range rate / 5 {
			j := int(at*float64(rate)) + i
			if j >= len(samples) || k+1 < len(onsets) && float64(j) > onsets[k+1]*float64(rate) {
				break
			}
			t := float64(i) / float64(rate)
			samples[j] += float32(level * math.Min(1, t/0.012) * math.Exp(-t*4) * math.Sin(2*math.Pi*220*t))
		}
	}
	w.Add(samples)
}

// What a report says stands where the picture has room for it.
func TestModelOfAReport(t *testing.T) {
	onsets := takes.Performance{BPM: 72, Slots: 4, Reps: 8, Scatter: 2, Late: map[int]float64{3: 25}}.Onsets()
	recording := hearing.Recording{Onsets: onsets, Clipped: true}
	r := hearing.Compare(recording, hearing.Question{Hint: judge.Hint{BPM: 72, SlotsPerBeat: 4}})
	m := Of("take.wav", r, nil)
	if m.Title != "take.wav" || m.Subtitle != "72 bpm · 4 slots a beat · 8 beats" || m.Sentence != r.Sentence || m.Report.Weak != r.Weak {
		t.Errorf("%q, %q, %q", m.Title, m.Subtitle, m.Sentence)
	}
	if !slices.Equal(m.Labels, []string{"1", "e", "&", "a"}) || !strings.HasPrefix(m.SmallPrint, "Cut out the beat") || !strings.Contains(m.SmallPrint, "overloaded") {
		t.Errorf("%q, %q", m.Labels, m.SmallPrint)
	}
	if m := Of("take.wav", hearing.Compare(recording, hearing.Question{Hint: judge.Hint{BPM: 1}}), nil); m.Subtitle != "" || len(m.Labels) > 0 {
		t.Errorf("without a grid %q, %q", m.Subtitle, m.Labels)
	}
}

func weak() Model {
	return played{reps: 8, slots: 9, beat: 4, bpm: 72, late: map[int]float64{6: 25}, scatter: 5, landing: true, breath: 2, seed: 3}.model()
}

func bare() Model {
	m := weak()
	m.Report = judge.Report{Notes: m.Report.Notes}
	m.Sentence = "72 notes, from D3 to D4. Say the tempo to hear how even they are."
	for i := range m.Report.Notes {
		n := &m.Report.Notes[i]
		n.Slot, n.Rep, n.Kind, n.Slurred = 0, 0, "", i%3 == 1
	}
	m.Labels, m.SmallPrint, m.Subtitle = nil, "", ""
	return m
}

func TestGolden(t *testing.T) {
	size, less := image.Pt(1200, 750), image.Pt(960, 600)
	for _, tt := range []struct {
		name  string
		model Model
		size  image.Point
		p     *palette.Palette
	}{
		{"weak-day", weak(), size, palette.Day()},
		{"weak-night", weak(), size, palette.Night()},
		{"even-day", played{reps: 9, slots: 4, beat: 4, bpm: 72, scatter: 5, seed: 1}.model(), less, palette.Day()},
		{"many-reps-night", played{reps: 60, slots: 8, beat: 4, bpm: 92, late: map[int]float64{4: -18}, scatter: 6, breath: 1, seed: 2}.model(), less, palette.Night()},
		{"long-rep-day", played{reps: 200, slots: 96, beat: 4, bpm: 92, late: map[int]float64{61: 22}, scatter: 6, breath: 1, seed: 2}.model(), less, palette.Day()},
		{"no-grid-day", bare(), less, palette.Day()},
		{"small-day", weak(), image.Pt(640, 400), palette.Day()},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Draw(tt.model, tt.size, tt.p)
			if err != nil {
				t.Fatal(err)
			}
			golden(t, filepath.Join("testdata", tt.name+".png"), got)
		})
	}
}

// golden compares with a tolerance: another machine's arithmetic may round an
// edge differently, but moves no shape.
func golden(t *testing.T, path string, got image.Image) {
	t.Helper()
	if *update {
		write(t, path, got)
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatalf("%v; write it with -update", err)
	}
	defer f.Close()
	want, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if want.Bounds() != got.Bounds() {
		t.Fatalf("the picture is %v, want %v", got.Bounds(), want.Bounds())
	}
	b, off := got.Bounds(), 0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r1, g1, b1, _ := got.At(x, y).RGBA()
			r2, g2, b2, _ := want.At(x, y).RGBA()
			far := func(a, b uint32) bool { return max(a, b)-min(a, b) > 24<<8 }
			if far(r1, r2) || far(g1, g2) || far(b1, b2) {
				off++
			}
		}
	}
	if most := b.Dx() * b.Dy() / 5000; off > most {
		failed := filepath.Join(t.ArtifactDir(), filepath.Base(path))
		write(t, failed, got)
		t.Errorf("%d pixels differ from %s, at most %d may; see %s", off, path, most, failed)
	}
}

func write(t *testing.T, path string, img image.Image) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}
