package window

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"sync/atomic"

	"footing/assets"
	"footing/audio/click"
	"footing/audio/spoken"
	"footing/ladder"
	"footing/ladder/aloud"
	"footing/ladder/conduct"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ui/window/finder"
	"footing/ui/window/routines"
)

// counter is what counts aloud. Only phrase is for another goroutine than the main
// one.
type counter struct {
	voice  atomic.Pointer[spoken.Voice] // used by phrase alone
	found  atomic.Pointer[modelled]
	folder string // of the voice that was read last, or is read
	finder finder.Finder
}

// phrase is a phrase of the step as it is counted: not spoken while there is no voice
// yet, and by its slots while its notes are not known. It runs on the session's
// goroutine.
func (c *counter) phrase(step ladder.Step, p click.Phrase) click.Phrase {
	var n *notes.Notes
	if f := c.found.Load(); f != nil && notes.Alike(f.step, step) {
		n = f.notes
	}
	return aloud.Phrase(step, p, n, c.voice.Load())
}

// voiceFolder is the folder beside a routine in which a player's own words lie.
const voiceFolder = "voice"

// followCount reads the voice when a step is to be spoken, and finds the notes of one
// that is struck or counted by them. It costs little while nothing changes.
func (w *Window) followCount() {
	state := w.session.View().State
	step := state.Routine.On(state.Step())
	if aloud.ByNotes(step) {
		w.count.finder.Find(step, func(n *notes.Notes, _ error) {
			w.count.found.Store(&modelled{step, n}) // what is wrong with notes is said elsewhere
		})
	}
	folder := filepath.Join(filepath.Dir(w.doc.Load().Path()), voiceFolder)
	if !aloud.Wanted(step) || w.count.folder == folder {
		return
	}
	w.count.folder = folder
	w.work(func() {
		voice, err := readVoice(folder, w.renderer.Rate())
		w.do(func() {
			if err != nil {
				w.stand.Say(capital(err.Error()), true)
			}
			if voice != nil {
				w.count.voice.Store(voice)
			}
		})
	})
}

// readVoice reads the program's words and, before them, those of a folder, if it is
// there. Where that cannot be read the error says so, and the words are the program's.
func readVoice(folder string, rate int) (*spoken.Voice, error) {
	own := []fs.FS{}
	if at, err := os.Stat(folder); err == nil && at.IsDir() {
		own = append(own, os.DirFS(folder))
	}
	voice, failed := spoken.Load(context.Background(), rate, append(own, assets.Voice())...)
	if failed != nil {
		voice, _ = spoken.Load(context.Background(), rate, assets.Voice())
	}
	return voice, failed
}

// countAloud has the steps of what is written counted as they say.
func countAloud(ctx context.Context, t *conduct.Rendition, e routines.Export) error {
	var voice *spoken.Voice
	found := map[string]*notes.Notes{}
	for _, s := range e.Routine.Steps {
		if aloud.Wanted(s) && voice == nil {
			var err error
			if voice, err = readVoice(filepath.Join(filepath.Dir(e.Source), voiceFolder), rate); err != nil {
				return err
			}
		}
		if aloud.ByNotes(s) {
			n, err := notesfile.At(e.Source).Notes(ctx, e.Routine.On(s))
			if err != nil {
				return err
			}
			found[s.Name] = n.Notes
		}
	}
	t.Aloud = func(step ladder.Step, p click.Phrase) click.Phrase {
		return aloud.Phrase(step, p, found[step.Name], voice)
	}
	return nil
}
