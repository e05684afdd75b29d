package conduct

import (
	"context"
	"testing"

	"footing/audio/click"
	"footing/ladder"
)

// A rendition goes on past its last phrase for as long as a click rings, over as
// many blocks as that takes, and not a frame longer.
func TestARenditionEndsWithItsLastSound(t *testing.T) {
	const rate = 8_000
	sound := make([]float32, rate*80/1000)
	for i := range sound {
		sound[i] = 0.5
	}
	// The last of twelve slots comes 100 frames before the end of a beat at 400 bpm.
	r := steady(func(s *ladder.Step) {
		s.Tempo.From, s.Tempo.Goal = click.BPM(400), click.BPM(400)
		s.Slots, s.Reps, s.CountIn, s.Breath = click.EvenSlots(12), 1, 0, 0
		s.Chunk = click.Chunk{Bar: 18, Length: click.Whole(1)}
	})
	var out []float32
	frames, err := Rendition{
		Routine: r, Rate: rate, Volume: 0.5, Kit: &click.Kit{Accent: sound, Beat: sound, Slot: sound},
		Sink: func(mono []float32) error { out = append(out, mono...); return nil },
	}.Render(t.Context())
	want := int64(1200 - 100 + len(sound))
	if err != nil || frames != want || int64(len(out)) != want || out[want-1] == 0 {
		t.Errorf("%d frames, %d samples, %v; want %d, the last of them sounding", frames, len(out), err, want)
	}
}

func TestRing(t *testing.T) {
	for _, tt := range []struct {
		mono []float32
		end  int
		want int
	}{
		{[]float32{0, 0, 0}, -2, 0},
		{[]float32{1, 0, 0}, -2, 1},
		{[]float32{1, 0, 0}, 2, 2},
		{[]float32{1, 0, 1}, 1, 3},
		{[]float32{0, 0, 0}, 0, 0},
	} {
		if got := ring(tt.mono, tt.end); got != tt.want {
			t.Errorf("of %v that end at %d, %d are kept, want %d", tt.mono, tt.end, got, tt.want)
		}
	}
}

// A vamp is the end of the phrase before it: a verdict in it is for that.
func TestAVampIsTheEndOfWhatCameBefore(t *testing.T) {
	n := Now{Phrase: &click.Phrase{}, before: 5}
	if got, want := n.Heard(), (ladder.Heard{Seq: 5, Beat: 1}); got != want {
		t.Errorf("heard is %+v, want %+v", got, want)
	}
}

// Before the first stroke of a phrase its first beat is heard; later that of the
// latest stroke.
func TestTheBeatThatIsHeard(t *testing.T) {
	p := &click.Phrase{Seq: 3, Strokes: []click.Stroke{{}, {At: click.Whole(1)}, {At: click.Frac(3, 2)}, {At: click.Frac(5, 2)}}}
	for stroke, want := range map[int]int{-1: 0, 0: 0, 1: 1, 2: 1, 3: 2} {
		if got := (Now{Phrase: p, Stroke: stroke}).Heard(); got != (ladder.Heard{Seq: 3, Beat: want}) {
			t.Errorf("at stroke %d beat %d is heard, want %d", stroke, got.Beat, want)
		}
	}
}

// A rep that is recorded can be taken when the call that recorded it returns.
func TestARecordIsThereAtOnce(t *testing.T) {
	b := newBench(t, 0, nil)
	b.c.Start()
	b.run(hears(click.Breath, 0))
	b.c.Judge(ladder.Clean)
	there := 0
	b.c.ask(func(o *owner) {
		o.do(ladder.Leave{At: o.view.Now.Heard()})
		b.c.publish(o)
		there = len(b.c.Records())
	})
	if there != 1 {
		t.Fatalf("%d records are there, want 1", there)
	}
	if p := <-b.c.Records(); p.Verdict != ladder.Clean {
		t.Errorf("recorded %v", p.Verdict)
	}
}

// One record more than the channel holds comes out without anything else to
// happen, and comes once.
func TestTheLastRecordWaitsForNothing(t *testing.T) {
	b := newBench(t, 0, nil)
	b.c.ask(func(o *owner) {
		for i := range recordsHeld + 1 {
			o.record(ladder.Played{Number: i})
		}
	})
	for i := range recordsHeld + 1 {
		if p := <-b.c.Records(); p.Number != i {
			t.Fatalf("record %d is %d", i, p.Number)
		}
	}
	if b.end(); len(b.recorded) > 0 {
		t.Errorf("then comes %+v", b.recorded)
	}
}

// A session with nobody at it plays its phrases to the end on a renderer, each
// known to the session when it begins, and runs out by itself.
func TestASessionRunsOut(t *testing.T) {
	r := steady(func(s *ladder.Step) { s.Reps = 2 })
	renderer := click.NewRenderer(8_000, &click.Kit{})
	s := New(ladder.New(r, true), renderer, renderer.Frames)
	ctx, end := context.WithCancel(t.Context())
	defer end()
	go s.Run(ctx, nil)
	s.Start()
	buf := make([]float32, 2*400)
	reps := 0
	for seq := uint64(0); s.View().State.Running; {
		renderer.Render(buf)
		s.Tick()
		v := s.View()
		if v.Now.Phrase != nil && v.Now.Phrase.Seq != seq {
			seq = v.Now.Phrase.Seq
			if v.Now.Phrase.Kind == click.Rep {
				reps++
			}
			if v.State.Sounding.Seq != seq {
				t.Fatalf("phrase %d is heard, and the session takes %d for what sounds", seq, v.State.Sounding.Seq)
			}
		}
	}
	if reps != 2 || s.View().Now.Phrase != nil {
		t.Errorf("%d reps were heard, then %+v", reps, s.View().Now.Phrase)
	}
}
