package window

import (
	"context"
	"errors"
	"sync/atomic"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
)

// concertA is the pitch of the model's A in Hz (ISO 16).
const concertA = 440

// model is the notes that a step's reps sound. Only tones is for another
// goroutine than the main one.
type model struct {
	found  atomic.Pointer[modelled]
	sought ladder.Step // for which notes were looked for last
}

// modelled is the notes of a step.
type modelled struct {
	step  ladder.Step
	notes *notes.Notes
}

// tones is what a rep of the step sounds: nothing while its notes are not known.
// It runs on the session's goroutine.
func (m *model) tones(step ladder.Step, rep click.Phrase) []click.Tone {
	f := m.found.Load()
	if f == nil || !notes.Alike(f.step, step) {
		return nil
	}
	return f.notes.Tones(step, rep, false)
}

// playModel is the key of the model: the notes sound once, then in every rep, then
// no more.
func (w *Window) playModel() {
	if w.root.unseen() {
		return // the cautions come before the first sound
	}
	mode := w.session.View().State.Model.Press(false)
	if mode == ladder.NoModel {
		w.session.Do(ladder.Model{Mode: mode})
		w.stand.Say("The notes are silent again", false)
		return
	}
	w.findModel(func(err error) {
		if err != nil {
			w.stand.Say(capital(err.Error()), true)
			return
		}
		w.session.Do(ladder.Model{Mode: mode})
		w.stand.Say(map[ladder.ModelMode]string{
			ladder.ModelOnce:     "The notes sound once; again for every rep",
			ladder.ModelEveryRep: "The notes sound in every rep; again to end that",
		}[mode], false)
		w.refresh()
	})
}

// findModel finds the notes of the step under way and makes the sound of its
// instrument, off the main goroutine; on is called on it, unless another step is
// under way by then.
func (w *Window) findModel(on func(error)) {
	state := w.session.View().State
	step, path := state.Routine.On(state.Step()), w.doc.Load().Path()
	w.model.sought = step
	w.work(func() {
		found, err := notesfile.At(path).Notes(context.Background(), step)
		var wind *click.Wind
		var faults notes.Faults
		switch {
		case errors.As(err, &faults) && len(faults) > 0:
			err = faults[0]
		case err == nil && found.Notes == nil:
			err = errors.New("this step has no notes to be heard; the Passage view says how to write them")
		case err == nil:
			wind, err = timbre.MakeWind(timbre.WindOf(step.Notes.Instrument.Name), concertA, w.renderer.Rate())
		}
		w.do(func() {
			if !notes.Alike(step, w.session.View().State.Step()) {
				return
			}
			if err == nil {
				w.model.found.Store(&modelled{step, found.Notes})
				w.renderer.SetWind(wind)
			}
			on(err)
		})
	})
}

// followModel finds the notes of another step that has come under way while the
// model sounds.
func (w *Window) followModel() {
	state := w.session.View().State
	if state.Model == ladder.NoModel || notes.Alike(w.model.sought, state.Step()) {
		return
	}
	w.findModel(func(error) {})
}
