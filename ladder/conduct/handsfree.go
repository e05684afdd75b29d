package conduct

import (
	"context"
	"iter"

	"footing/audio/click"
	"footing/ladder"
)

// HandsFree plays a valid routine to nobody: every rep is taken for clean, and it
// climbs through all its steps to the last goal. Each phrase comes with what it is
// to the session, in the order in which they sound, without a gap; the last, and
// only the last, is Final. A caller that can be cancelled looks at its context
// between phrases. The time and memory that a phrase takes do not grow with the
// phrases before it.
func HandsFree(r ladder.Routine) iter.Seq2[ladder.Part, click.Phrase] {
	return modelled(r, ladder.NoModel, nil)
}

// modelled is HandsFree with a model. One that sounds once is all there is.
func modelled(r ladder.Routine, mode ladder.ModelMode, tones Tones) iter.Seq2[ladder.Part, click.Phrase] {
	return counted(r, mode, tones, nil, nil)
}

// counted is modelled with a count, and as its steps sound.
func counted(r ladder.Routine, mode ladder.ModelMode, tones Tones, aloud Aloud, sounds Sounds) iter.Seq2[ladder.Part, click.Phrase] {
	return func(yield func(ladder.Part, click.Phrase) bool) {
		w := walker{state: ladder.New(r, true), tones: tones, aloud: aloud, sounds: sounds}
		w.also(ladder.Model{Mode: mode})
		for w.also(ladder.Start{}); w.next != nil; {
			phrase := *w.next
			w.do(ladder.Sounding{Seq: phrase.Seq})
			// Heard at once: the reps before it are recorded, and no longer kept.
			w.also(ladder.Audible{At: ladder.Heard{Seq: phrase.Seq}})
			part, _ := w.state.Part(phrase.Seq)
			if !yield(part, phrase) || phrase.Final {
				return
			}
		}
	}
}

// walker is a session whose phrases are only looked at.
type walker struct {
	state  ladder.State
	tones  Tones
	aloud  Aloud
	sounds Sounds
	next   *click.Phrase // the phrase that waits
}

// do takes the session through an event after which the next phrase is known.
func (w *walker) do(e ladder.Event) {
	w.next = nil
	w.also(e)
}

func (w *walker) also(e ladder.Event) {
	var effects []ladder.Effect
	w.state, effects = ladder.Reduce(w.state, e)
	perform(effects, w)
}

// A walker only takes phrases.
func (w *walker) play(p click.Phrase) {
	p = w.sounds.attach(w.aloud.attach(w.tones.attach(p, w.state), w.state), w.state)
	w.next = &p
}
func (w *walker) run()                        {}
func (w *walker) halt(uint64)                 {}
func (w *walker) retempo(click.Tempo, uint64) {}
func (w *walker) record(ladder.Played)        {}
func (w *walker) revise()                     {}

// Length is how many frames the routine lasts hands free, up to the end of its
// last phrase, found without rendering anything. The error is that of ctx.
func Length(ctx context.Context, r ladder.Routine, rate int) (int64, error) {
	return Rendition{Routine: r, Rate: rate}.Length(ctx)
}

// Length is [Length] for what is rendered: with a model that sounds once it is one
// pass through the chunk.
func (t Rendition) Length(ctx context.Context) (int64, error) {
	rate := t.Rate
	line := click.NewTimeline(0, click.MinTempo, rate)
	for _, phrase := range modelled(t.Known(), t.Model, nil) {
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		line.Change(click.Beats{}, phrase.Tempo)
		line.Advance(phrase.Length)
	}
	return line.At(click.Beats{}).Round(), nil
}
