package conduct

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

// bench is a session on a renderer whose sound is heard some frames late, as
// on a real device.
type bench struct {
	t        testing.TB
	renderer *click.Renderer
	c        *Session
	recorded []ladder.Played
	clicks   []int64
	buf      []float32
	end      func() // ends the session and takes its records; once
}

func newBench(t testing.TB, latency int64, change func(*ladder.Step)) *bench {
	s := march.Step(nil)
	s.Slots, s.Chunk.At = click.EvenSlots(1), click.Beats{}
	s.Tempo.From, s.Tempo.Goal = click.BPM(120), click.BPM(132)
	s.Rule = ladder.Rule{Kind: ladder.Earned, Clean: 1, Rough: 1}
	if change != nil {
		change(&s)
	}
	b := &bench{t: t, renderer: click.NewRenderer(48_000, &click.Kit{Accent: []float32{1}, Beat: []float32{0.5}, Slot: []float32{0.2}}), buf: make([]float32, 2*480)}
	b.c = New(ladder.New(ladder.Routine{Name: "Runs", Steps: []ladder.Step{s}}, false), b.renderer,
		func() int64 { return b.renderer.Frames() - latency })
	ctx, cancel := context.WithCancel(context.Background())
	go b.c.Run(ctx, nil)
	b.end = sync.OnceFunc(func() {
		cancel()
		for rep := range b.c.Records() {
			b.recorded = append(b.recorded, rep)
		}
	})
	return b
}

// run renders block after block until the condition holds.
func (b *bench) run(until func(View) bool) View {
	b.t.Helper()
	for range 10_000 {
		at := b.renderer.Frames()
		b.renderer.Render(b.buf)
		for i := range len(b.buf) / 2 {
			if b.buf[2*i] != 0 {
				b.clicks = append(b.clicks, at+int64(i))
			}
		}
		b.c.Tick()
		if v := b.c.View(); until(v) {
			return v
		}
	}
	b.t.Fatal("100 s went by and it did not come to pass")
	return View{}
}

func hears(kind click.Kind, beat int) func(View) bool {
	return func(v View) bool {
		return v.Now.Phrase != nil && v.Now.Phrase.Kind == kind && v.Now.Stroke >= 0 && v.Now.Heard().Beat == beat
	}
}

// A whole practice: count-in, a clean rep, up, a rough one, down; every click
// lies on its sample, with the rung changed where the verdicts say.
func TestVerdictsMoveTheRungAtTheNextCountIn(t *testing.T) {
	const latency = 4800
	b := newBench(t, latency, nil)
	b.c.Start()
	b.run(hears(click.Breath, 0))
	b.c.Judge(ladder.Clean)
	b.run(hears(click.CountIn, 0))
	b.run(hears(click.Breath, 1))
	b.c.Judge(ladder.Rough)
	b.run(hears(click.CountIn, 1))
	b.run(hears(click.Rep, 2))
	b.c.Stop()
	end := b.renderer.Frames()
	b.run(func(View) bool { return b.renderer.Frames() > end+48_000 })

	// 2 + 3 + 2 beats at 120, the same at 124, and 2 + 3 at 120.
	var want []int64
	line := click.NewTimeline(0, click.BPM(120), 48_000)
	for _, part := range []struct{ bpm, beats int }{{120, 7}, {124, 7}, {120, 5}} {
		line.Change(click.Beats{}, click.BPM(part.bpm))
		for range part.beats {
			want = append(want, line.At(click.Beats{}).Round())
			line.Advance(click.Whole(1))
		}
	}
	if fmt.Sprint(b.clicks) != fmt.Sprint(want) {
		t.Errorf("clicks at\n  %v\nwant\n  %v", b.clicks, want)
	}
	b.end()
	var got []string
	for _, r := range b.recorded {
		got = append(got, fmt.Sprint(r.Number, " ", r.Tempo, " ", r.Verdict))
	}
	if want := "1 120 clean, 2 124 rough"; strings.Join(got, ", ") != want {
		t.Errorf("recorded %s, want %s", strings.Join(got, ", "), want)
	}
}

func TestWhatIsHeardLagsBehindWhatIsRendered(t *testing.T) {
	b := newBench(t, 12_000, nil)
	b.c.Start()
	v := b.run(hears(click.CountIn, 0))
	// Blocks of 480 frames end on it.
	if lag := b.renderer.Frames() - v.Now.Frame; lag != 12_000 {
		t.Errorf("the first click is shown %d frames after it was rendered, want 12000", lag)
	}
	if v.Now.Part.Kind != click.CountIn || v.Now.Tempo != click.BPM(120) {
		t.Errorf("shown as %+v", v.Now.Part)
	}
}

func TestStopIsSeenAtOnceAndLeavesNoEcho(t *testing.T) {
	b := newBench(t, 24_000, nil)
	b.c.Start()
	b.run(hears(click.Rep, 0))
	b.c.Stop()
	if v := b.c.View(); v.Now.Phrase != nil || v.State.Running {
		t.Errorf("after a stop shows %+v", v.Now)
	}
	b.c.Start()
	v := b.run(func(v View) bool { return v.Now.Phrase != nil })
	if v.Now.Phrase.Kind != click.CountIn || v.Now.Stroke > 0 {
		t.Errorf("a new start shows a %v at stroke %d first", v.Now.Phrase.Kind, v.Now.Stroke)
	}
}

// What was rendered before a stop, whether its marks were taken or not, is not
// shown after it, nor after the next start.
func TestMarksOfAStoppedClickAreNotShown(t *testing.T) {
	for _, tt := range []struct {
		heard func(View) bool
		taken bool
	}{{hears(click.Rep, 1), true}, {hears(click.Rep, 1), false}, {hears(click.CountIn, 0), true}, {hears(click.CountIn, 0), false}} {
		b := newBench(t, 40_000, nil)
		b.c.Start()
		b.run(tt.heard)
		// What comes two beats later is rendered, and not audible yet.
		for range 40_000 / 480 {
			b.renderer.Render(b.buf)
			if tt.taken {
				b.c.Tick()
			}
		}
		b.c.ask(func(o *owner) { o.do(ladder.Stop{At: o.view.Now.Heard()}) })
		end := b.renderer.Frames() + 80_000
		if v := b.run(func(View) bool { return b.renderer.Frames() > end }); v.Now != (Now{}) {
			t.Errorf("marks taken %v: after the stop shows %+v", tt.taken, v.Now)
		}
		b.c.Start()
		v := b.run(func(v View) bool { return v.Now.Phrase != nil })
		if v.Now.Phrase.Kind != click.CountIn {
			t.Errorf("marks taken %v: a new start shows a %v first", tt.taken, v.Now.Phrase.Kind)
		}
		if v.State.Sounding.Kind != click.CountIn {
			t.Errorf("marks taken %v: the session takes a %v for what sounds", tt.taken, v.State.Sounding.Kind)
		}
	}
}

// Beats that the renderer plays by itself, since the session did not come in time,
// are shown as such, also when there was another click before.
func TestAVampIsShown(t *testing.T) {
	b := newBench(t, 40_000, nil)
	b.c.Start()
	b.run(hears(click.Rep, 1))
	b.c.Stop()
	b.c.Start()
	for range 100_000 / 480 { // of which the count-in takes 48 000
		b.renderer.Render(b.buf)
	}
	b.run(func(v View) bool { return v.Now.Phrase != nil && v.Now.Phrase.Kind == click.Vamp })
}

// A ring that is full of plans which were given up takes the last of them as soon
// as there is room, and not a beat is vamped.
func TestTheLastOfManyPlansIsHeard(t *testing.T) {
	b := newBench(t, 0, nil)
	b.c.Start()
	b.run(hears(click.CountIn, 0))
	for i := range 101 {
		b.c.Do(ladder.MoveRung{By: 1 - i%2*2})
	}
	b.c.Tick() // there is no room yet
	v := b.run(func(v View) bool { return v.Now.Phrase.Kind != click.CountIn || v.Now.Tempo != click.BPM(120) })
	if v.Now.Phrase.Kind != click.CountIn || v.Now.Tempo != click.BPM(124) {
		t.Errorf("a %v at %v is heard, want a count-in at 124", v.Now.Phrase.Kind, v.Now.Tempo)
	}
}

// Tick says whether there is anything new to show.
func TestTickTellsOfChanges(t *testing.T) {
	b := newBench(t, 0, nil)
	b.c.Start()
	for _, want := range []bool{false, true, false} {
		if got := b.c.Tick(); got != want {
			t.Errorf("changed: %v, want %v", got, want)
		}
		if !want {
			b.renderer.Render(b.buf) // the first click, and then none
		}
	}
}

func TestATempoByHandIsHeardAndShown(t *testing.T) {
	b := newBench(t, 0, nil)
	b.c.Start()
	b.run(hears(click.Rep, 0))
	b.clicks = nil
	b.c.Do(ladder.SetTempo{Tempo: click.BPM(240)})
	b.run(hears(click.Breath, 1))
	// The rep began at 48 000; its second beat keeps its place, the rest is at 240.
	if got, want := fmt.Sprint(b.clicks), "[72000 84000 96000 108000]"; got != want {
		t.Errorf("clicks at %s, want %s", got, want)
	}
	if v := b.c.View(); v.Now.Tempo != click.BPM(240) {
		t.Errorf("shows %v", v.Now.Tempo)
	}
}

func TestChangeTellsWhatIsWrong(t *testing.T) {
	b := newBench(t, 0, nil)
	faults := b.c.Change(func(s ladder.Step) ladder.Step { s.Reps = 0; return s })
	if len(faults) != 1 || faults[0].Key != "reps" {
		t.Errorf("faults %v", faults)
	}
	if v := b.c.View(); v.Edits != 0 || v.State.Step().Reps != 5 {
		t.Error("a faulty change was taken")
	}
	if faults := b.c.Change(ladder.Step.Narrower); faults != nil || b.c.View().Edits != 1 {
		t.Errorf("a good change: %v, %d edits", faults, b.c.View().Edits)
	}
}

// Whatever keys are pressed at whatever moment, with any latency, the click
// never falls silent for longer than its own beats, and each rep is recorded
// once.
func TestTheClickNeverStops(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t, rapid.Int64Range(0, 20_000).Draw(rt, "latency"), func(s *ladder.Step) {
			s.Breath = rapid.IntRange(0, 2).Draw(rt, "breath")
			s.CountIn = rapid.IntRange(0, 2).Draw(rt, "count-in")
			s.Chunk.Length = click.Whole(rapid.IntRange(1, 2).Draw(rt, "chunk"))
			s.Chunk.Landing = rapid.Bool().Draw(rt, "landing")
			s.Tempo.From, s.Tempo.Goal = click.BPM(180), click.BPM(400)
			s.Rule.Kind = rapid.SampledFrom([]ladder.RuleKind{ladder.Earned, ladder.Settle, ladder.TwoUpOneDown}).Draw(rt, "rule")
		})
		b.c.Start()
		for range rapid.IntRange(5, 40).Draw(rt, "keys") {
			wait := rapid.Int64Range(0, 40_000).Draw(rt, "wait")
			from := b.renderer.Frames()
			b.run(func(View) bool { return b.renderer.Frames() >= from+wait })
			switch rapid.IntRange(0, 5).Draw(rt, "key") {
			case 0:
				b.c.Judge(ladder.Clean)
			case 1:
				b.c.Judge(ladder.Rough)
			case 2:
				b.c.Do(ladder.MoveRung{By: rapid.IntRange(-2, 2).Draw(rt, "by")})
			case 3:
				b.c.Change(ladder.Step.Wider)
			case 4:
				b.c.Change(ladder.Step.Narrower)
			}
		}
		for i := 1; i < len(b.clicks); i++ {
			// The slowest rung that can be reached is a good deal above 60 bpm.
			if gap := b.clicks[i] - b.clicks[i-1]; gap > 48_000 {
				rt.Fatalf("silence for %d frames after %d", gap, b.clicks[i-1])
			}
		}
		b.end()
		last := 0
		for _, r := range b.recorded {
			if r.Number <= last {
				rt.Fatalf("rep %d is recorded after %d", r.Number, last)
			}
			last = r.Number
		}
	})
}
