package conduct

import (
	"bufio"
	"fmt"
	"math"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/audio/track"
	"footing/ladder"
)

// broken is a rising broken chord, a note to a beat of the rep, the first two
// slurred: the tones of anything at all.
func broken(_ ladder.Step, rep click.Phrase) []click.Tone {
	var out []click.Tone
	for i := range rep.Length.Floor() {
		out = append(out, click.Tone{At: click.Whole(i), Length: click.Whole(1), Pitch: click.Key(46 + []int{0, 7, 12, 16, 19}[i%5]), Slurred: i == 1, Level: 1})
	}
	return out
}

func bassoon(t testing.TB, a float64) *click.Wind {
	t.Helper()
	w, err := timbre.MakeWind("bassoon", a, 48_000)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// begun is where a sound begins after at least 10 ms of silence, and its peak in
// the 200 ms from there.
type begun struct {
	frame int64
	peak  float32
}

func onsets(x []float32) (out []begun) {
	quiet := 1000
	for i, s := range x {
		if s != 0 && quiet >= 480 {
			peak := float32(0)
			for _, v := range x[i:min(len(x), i+9600)] {
				peak = max(peak, v, -v)
			}
			out = append(out, begun{int64(i), peak})
		}
		if quiet++; s != 0 {
			quiet = 0
		}
	}
	return out
}

// At a session's keys: silent by default, once after a press, in every rep after
// another, with every onset on its frame.
func TestTheModelSoundsWhereTheSessionSays(t *testing.T) {
	b := newBench(t, 4800, nil) // 2 + 3 + 2 beats at 120, 24 000 frames each
	b.end()
	b.renderer.SetKit(&click.Kit{})
	b.renderer.SetWind(bassoon(t, 440))
	b.renderer.SetModelLevel(1)
	b.c = New(ladder.New(ladder.Routine{Name: "Runs", Steps: []ladder.Step{b.c.View().State.Step()}}, false), b.renderer,
		func() int64 { return b.renderer.Frames() - 4800 }).WithTones(broken)
	go b.c.Run(t.Context(), nil)
	var heard []float32
	play := func(beats int64) {
		end := b.renderer.Frames() + 24_000*beats
		for b.renderer.Frames() < end {
			b.renderer.Render(b.buf)
			for i := range len(b.buf) / 2 {
				heard = append(heard, b.buf[2*i])
			}
			b.c.Tick()
		}
	}
	b.c.Start()
	play(6) // into the breath
	b.c.Do(ladder.Model{Mode: ladder.ModelOnce})
	play(5) // the rep from beat 7 to 10, and into the breath
	play(4) // a rep without
	b.c.Do(ladder.Model{Mode: ladder.ModelEveryRep})
	play(8) // from beat 17 to 20, and from 22 on
	b.c.Stop()
	play(1)
	var at []int64
	for _, o := range onsets(heard) {
		if at = append(at, o.frame); o.peak < 0.05 {
			t.Errorf("the tone at %d peaks at %v", o.frame, o.peak)
		}
	}
	// In each rep the slurred pair, and the third note.
	var want []int64
	for _, beat := range []int64{7, 9, 17, 19, 22} {
		want = append(want, 24_000*beat)
	}
	if !slices.Equal(at, want) {
		t.Errorf("tones begin at %v, want %v", at, want)
	}
}

// A file has the same: the model fades from rung to rung, and its level leaves the
// click's alone.
func TestTheModelInAFile(t *testing.T) {
	r := steady(func(s *ladder.Step) {
		s.Tempo.From, s.Tempo.Goal, s.Tempo.By.Amount = click.BPM(100), click.BPM(120), 10_000
		s.Reps, s.Breath, s.Chunk.Landing, s.Chunk.Length = 1, 0, false, click.Whole(1)
	})
	render := func(mode ladder.ModelMode, tones Tones, kit *click.Kit) (out []float32) {
		n, err := Rendition{
			Routine: r, Rate: 48_000, Kit: kit, Volume: 0.5,
			Model: mode, Tones: tones, Wind: bassoon(t, 440), ModelLevel: 1,
			Sink: func(mono []float32) error { out = append(out, mono...); return nil },
		}.Render(t.Context())
		length, _ := Rendition{Routine: r, Rate: 48_000, Model: mode}.Length(t.Context())
		if err != nil || n != int64(len(out)) || n != length {
			t.Fatal(n, len(out), length, err)
		}
		return out
	}
	silent, clicks := &click.Kit{}, &click.Kit{Accent: []float32{1}, Beat: []float32{0.5}, Slot: []float32{0.2}}
	// A count-in of two beats and a rep of one on each rung: at 100 and at 110; at
	// 120 the player stands alone.
	full := onsets(render(ladder.ModelEveryRep, broken, silent))
	fading := onsets(render(ladder.ModelFades, broken, silent))
	if len(full) != 3 || len(fading) != 2 {
		t.Fatalf("it begins at %v, fading at %v", full, fading)
	}
	line := click.NewTimeline(0, click.BPM(100), 48_000)
	for i, bpm := range []int{100, 110, 120} {
		line.Change(click.Beats{}, click.BPM(bpm))
		if at := line.At(click.Whole(2)).Round(); full[i].frame != at || full[i].peak < 0.05 {
			t.Errorf("on rung %d the model begins at %+v, want %d", i, full[i], at)
		}
		if i < 2 {
			if want := full[i].peak * (1 - float32(i)/2); fading[i].frame != full[i].frame || math.Abs(float64(fading[i].peak-want)) > 1e-4 {
				t.Errorf("on rung %d the model fades at %+v, want a peak of %v", i, fading[i], want)
			}
		}
		line.Advance(click.Whole(3))
	}
	// Click and model are the sum of both, and no model is no model.
	both, alone, model := render(ladder.ModelEveryRep, broken, clicks), render(ladder.NoModel, broken, clicks), render(ladder.ModelEveryRep, broken, silent)
	for i := range both {
		if d := both[i] - alone[i] - model[i]; d > 1e-6 || d < -1e-6 {
			t.Fatalf("sample %d is %v, of %v and %v", i, both[i], alone[i], model[i])
		}
	}
	if !slices.Equal(alone, render(ladder.ModelEveryRep, nil, clicks)) {
		t.Error("without tones the file is not that without a model")
	}
	// Once is a count-in and one pass.
	if once := render(ladder.ModelOnce, broken, silent); len(once) != 3*28_800 || len(onsets(once)) != 1 {
		t.Errorf("once lasts %d frames and begins at %v", len(once), onsets(once))
	}
}

// Tones are made for the reps in which the model sounds, and for nothing else.
func TestTonesAreMadeWhereTheModelSounds(t *testing.T) {
	made := 0
	tones := func(s ladder.Step, rep click.Phrase) []click.Tone { made++; return broken(s, rep) }
	r := steady(func(s *ladder.Step) { s.Tempo.Goal, s.Reps = click.BPM(64), 2 })
	with := 0
	for part, phrase := range modelled(r, ladder.ModelFades, tones) {
		if part.Model > 0 {
			with++
		}
		if (len(phrase.Tones) > 0) != (part.Model > 0) {
			t.Errorf("a %v with the model at %v has %d tones", phrase.Kind, part.Model, len(phrase.Tones))
		}
	}
	if made != with || with != 2 {
		t.Errorf("tones were made %d times for %d reps with a model, want 2", made, with)
	}
}

// What a file holds of the model is heard by a judge that knows nothing of us:
// aubiopitch finds each note's pitch, aubioonset each tongued onset.
func TestAubioHearsTheModel(t *testing.T) {
	path := filepath.Join(t.TempDir(), "model.wav")
	r := steady(func(s *ladder.Step) { s.Chunk.Length, s.Chunk.Landing, s.CountIn = click.Whole(4), true, 1 })
	err := track.Create(t.Context(), path, track.Format{Rate: 48_000, Channels: 1, Encoding: track.Int16}, func(w *track.Writer) error {
		_, err := Rendition{
			Routine: r, Rate: 48_000, Kit: &click.Kit{}, Model: ladder.ModelOnce, Tones: broken, Wind: bassoon(t, 442), ModelLevel: 1,
			Sink: w.Write,
		}.Render(t.Context())
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	program := func(name string, args ...string) (lines [][2]float64) {
		out, err := exec.CommandContext(t.Context(), name, append(args, "-i", path)...).Output()
		if err != nil {
			t.Fatalf("%s is needed as an independent judge (apt-get install aubio-tools): %v", name, err)
		}
		for s := bufio.NewScanner(strings.NewReader(string(out))); s.Scan(); {
			var line [2]float64
			fmt.Sscan(s.Text(), &line[0], &line[1])
			lines = append(lines, line)
		}
		return lines
	}
	pitches := program("aubiopitch", "-p", "yin", "-B", "4096", "-r", "48000")
	for i, tone := range broken(ladder.Step{}, click.Phrase{Length: click.Whole(5)}) {
		var cents []float64
		for _, p := range pitches {
			if p[0] > float64(1+i)+0.2 && p[0] < float64(1+i)+0.7 {
				cents = append(cents, 1200*math.Log2(p[1]/tone.Pitch.Hz(442)))
			}
		}
		if len(cents) < 20 {
			t.Fatalf("note %d: %d pitches", i, len(cents))
		}
		slices.Sort(cents)
		if middle := cents[len(cents)/2]; math.Abs(middle) > 3 {
			t.Errorf("note %d is heard %.2f cents off", i, middle)
		}
	}
	var late []float64
	for _, o := range program("aubioonset", "-O", "specflux", "-M", "0.1", "-r", "48000") {
		if tongued := math.Round(o[0]); tongued != 2 && math.Abs(o[0]-tongued) < 0.01 {
			late = append(late, o[0]-tongued)
		}
	}
	if len(late) != 4 {
		t.Errorf("of the four tongued onsets %v are heard", late)
	}
}
