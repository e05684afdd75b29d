package window

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ui/window/keys"
)

// model is the notes that a step's reps sound. Only tones and a are for another
// goroutine than the main one, and made for that of the jobs.
type model struct {
	a       atomic.Int64 // that drones are tuned to as well
	found   atomic.Pointer[modelled]
	written atomic.Bool // they sound as they are written
	sought  ladder.Step // for which notes were looked for last
	made    wound
}

// wound is the wind that was made last, and for what.
type wound struct {
	name string
	a    int
	wind *click.Wind
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
	return f.notes.Tones(step, rep, m.written.Load())
}

// playModel is the key of the model: the notes sound once, then in every rep, then
// no more.
func (w *Window) playModel() {
	if w.root.unseen() {
		return // the cautions come before the first sound
	}
	mode := w.session.View().State.Model.Press(w.set.modelFades())
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
			ladder.ModelFades:    "The notes sound softer from rung to rung, and not at the goal; again to end that",
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
			wind, err = w.model.wind(timbre.WindOf(step.Notes.Instrument.Name), w.set.modelA(), w.renderer.Rate())
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
	w.findModel(func(error) { w.refresh() })
}

// wind is the sound of an instrument at an A, made anew only where the last is
// another. It runs on the goroutine of the jobs.
func (m *model) wind(name string, a, rate int) (*click.Wind, error) {
	if m.made.wind != nil && m.made.name == name && m.made.a == a {
		return m.made.wind, nil
	}
	wind, err := timbre.MakeWind(name, float64(a), rate)
	if err == nil {
		m.made = wound{name, a, wind}
	}
	return wind, err
}

// modelStep is how far a press of the key turns the model's level, in percent.
const modelStep = 10

// setModel turns a setting of the model on, or back; false for another action.
// What it is now is said at the Stand and in the help.
func (w *Window) setModel(action keys.Action, back bool) bool {
	by := 1
	if back {
		by = -1
	}
	switch action {
	case keys.ModelFades:
		fades := !w.set.modelFades()
		w.set.setModelFades(fades)
		now := w.session.View().State.Model
		switch {
		case fades && now == ladder.ModelEveryRep:
			w.session.Do(ladder.Model{Mode: ladder.ModelFades})
		case !fades && now == ladder.ModelFades:
			w.session.Do(ladder.Model{Mode: ladder.ModelEveryRep})
		}
	case keys.ModelLevel:
		w.setModelLevel(w.set.modelLevel()/modelStep*modelStep + by*modelStep)
	case keys.ModelA:
		w.set.setModelA(min(max(w.set.modelA()+by, timbre.LowestA), timbre.HighestA))
		w.model.a.Store(int64(w.set.modelA()))
		w.tuneModel()
	case keys.ModelPitch:
		w.set.setModelWritten(!w.set.modelWritten())
		w.model.written.Store(w.set.modelWritten())
	default:
		return false
	}
	w.stand.Say(w.modelSays(action), false)
	if w.root.view == viewHelp {
		w.help.refresh()
	}
	return true
}

// modelSays is how a setting of the model stands, as a sentence.
func (w *Window) modelSays(action keys.Action) string {
	switch action {
	case keys.ModelFades:
		if w.set.modelFades() {
			return "The notes fade from rung to rung, and are silent at the goal"
		}
		return "The notes sound alike on every rung"
	case keys.ModelLevel:
		return "The notes' level is " + w.modelStands(action)
	case keys.ModelA:
		return "The notes' A is " + w.modelStands(action)
	}
	return "The notes sound " + w.modelStands(action)
}

// modelStands is how a setting of the model stands, in a few words; empty for
// another action.
func (w *Window) modelStands(action keys.Action) string {
	switch action {
	case keys.ModelFades:
		if w.set.modelFades() {
			return "yes"
		}
		return "no"
	case keys.ModelLevel:
		return fmt.Sprintf("%d %%", w.set.modelLevel())
	case keys.ModelA:
		return fmt.Sprintf("%d Hz", w.set.modelA())
	case keys.ModelPitch:
		if w.set.modelWritten() {
			return "as written"
		}
		return "at concert pitch"
	}
	return ""
}

// recallModel brings the model to where its settings stand.
func (w *Window) recallModel() {
	w.setModelLevel(w.set.modelLevel())
	w.model.written.Store(w.set.modelWritten())
	w.model.a.Store(int64(w.set.modelA()))
}

// setModelLevel sets the model's level in percent; its loudness follows the square,
// as the click's does.
func (w *Window) setModelLevel(percent int) {
	percent = min(max(percent, 0), 100)
	share := float32(percent) / 100
	w.renderer.SetModelLevel(share * share)
	if percent != w.set.modelLevel() {
		w.set.setModelLevel(percent)
	}
}

// tuneModel has what sounds sound at another A.
func (w *Window) tuneModel() {
	if w.session.View().State.Model != ladder.NoModel {
		w.findModel(func(error) {})
	}
}
