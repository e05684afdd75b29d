package conduct

import (
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
	p := &click.Phrase{Seq: 3, Strokes: []click.Stroke{{}, {At: click.Frac(1, 2)}, {At: click.Whole(1)}, {At: click.Frac(5, 2)}}}
	for stroke, want := range map[int]int{-1: 0, 0: 0, 1: 0, 2: 1, 3: 2, 4: 0} {
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
	b.c.Leave()
	select {
	case p := <-b.c.Records():
		if p.Verdict != ladder.Clean {
			t.Errorf("recorded %v", p.Verdict)
		}
	default:
		t.Error("the rep is not there yet")
	}
}
