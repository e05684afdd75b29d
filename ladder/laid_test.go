package ladder

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// However often a rep is planned, at whatever tempo and after whatever edit, it is the
// one that its step makes.
func TestAPlannedRepIsThatOfItsStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := New(Routine{Name: "a", Steps: []Step{DefaultStep()}}, true)
		s.Routine.Steps[0].Name, s.Routine.Steps[0].Passage.To = "b", 4
		s, _ = Reduce(s, Start{})
		for range rapid.IntRange(1, 20).Draw(t, "events") {
			var e Event = Sounding{Seq: s.seq}
			switch rapid.IntRange(0, 4).Draw(t, "event") {
			case 0:
				step := s.Step()
				step.Slots = click.EvenSlots(rapid.IntRange(1, 3).Draw(t, "slots"))
				step.Chunk.Bar = rapid.IntRange(1, 2).Draw(t, "bar")
				e = Revise{step}
			case 1:
				e = SetTempo{click.BPM(rapid.IntRange(60, 62).Draw(t, "tempo"))}
			}
			var effects []Effect
			s, effects = Reduce(s, e)
			for _, effect := range effects {
				play, ok := effect.(Play)
				if !ok || play.Phrase.Kind != click.Rep {
					continue
				}
				part, _ := s.Part(play.Phrase.Seq)
				want := s.Step().Loop().RepPhrase(part.Tempo)
				want.Seq, want.Final = play.Phrase.Seq, play.Phrase.Final
				if !reflect.DeepEqual(play.Phrase, want) {
					t.Fatalf("planned %+v, want %+v", play.Phrase, want)
				}
			}
		}
	})
}

// Reps that are alike share their strokes.
func TestAlikeRepsAreLaidOnce(t *testing.T) {
	loop := DefaultStep().Loop()
	first := State{}.lay(loop, click.BPM(60))
	s := State{laid: first}
	faster := s.lay(loop, click.BPM(61))
	if again := s.lay(loop, click.BPM(60)); again != first || &faster.rep.Strokes[0] != &first.rep.Strokes[0] || faster.rep.Tempo != click.BPM(61) {
		t.Error("the same rep is laid anew")
	}
}
