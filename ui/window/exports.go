package window

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/conduct/export"
	"footing/ladder/notes/notesfile"
	"footing/ui/window/routines"
)

// exports is what is being written into files, each on a goroutine of its own, since it
// may take minutes.
type exports struct {
	ctx     context.Context
	end     context.CancelFunc
	running sync.WaitGroup
}

func newExports() *exports {
	e := &exports{}
	e.ctx, e.end = context.WithCancel(context.Background())
	return e
}

// stop ends all, and waits a little for unfinished files to be taken away.
func (e *exports) stop() {
	e.end()
	over := make(chan struct{})
	go func() {
		e.running.Wait()
		close(over)
	}()
	select {
	case <-over:
	case <-time.After(time.Second):
	}
}

// shownEvery is how often it is shown how far a file has come.
const shownEvery = 100 * time.Millisecond

// export writes files with the sound of the window, until ctx ends or the window does.
func (w *Window) export(ctx context.Context, e routines.Export, progress func(export.Progress), done func([]export.Made, error)) {
	share := float32(w.sound.Level()) / 100
	m := export.Maker{
		Kind: e.Kind, Encoding: e.Encoding, Percussion: export.PercussionOf(w.sound.Name()),
		Rendition: conduct.Rendition{Routine: e.Routine, Rate: rate, Volume: share * share},
	}
	level := float32(w.set.modelLevel()) / 100
	notes := modelSound{level: level * level, a: w.set.modelA(), written: w.set.modelWritten(), fades: w.set.modelFades()}
	var shown time.Time
	m.Progress = func(p export.Progress) {
		if now := w.clock(); now.Sub(shown) >= shownEvery {
			shown = now
			w.do(func() { progress(p) })
		}
	}
	sound := w.sound.Name()
	ctx, cancel := context.WithCancel(ctx)
	context.AfterFunc(w.exports.ctx, cancel)
	w.exports.running.Add(1)
	w.aside(func() {
		defer w.exports.running.Done()
		defer cancel()
		made, err := writeFiles(ctx, m, e, sound, w.music, notes)
		w.do(func() { done(made, err) })
	})
}

// modelSound is how the notes sound in files.
type modelSound struct {
	level          float32
	a              int
	written, fades bool
}

// writeFiles makes the sounds, finds the notes and writes. The folder out is made where
// something is written into it.
func writeFiles(ctx context.Context, m export.Maker, e routines.Export, sound, out string, n modelSound) ([]export.Made, error) {
	kit, err := timbre.Make(sound, rate)
	if err != nil {
		return nil, err
	}
	m.Rendition.Kit = &kit
	if m.Rendition.Begins, err = notesfile.At(e.Source).Begins(ctx, e.Routine); err != nil {
		return nil, err
	}
	m.Rendition.Sounds = conduct.NewSounds(rate, func() float64 { return float64(n.a) })
	if err := countAloud(ctx, &m.Rendition, e); err != nil {
		return nil, err
	}
	first := e.Routine.On(e.Pieces[0].Routine.Steps[0]).Notes.Instrument.Name
	m.Program = export.ProgramOf(first)
	if e.Notes {
		if err := n.join(ctx, &m.Rendition, e, timbre.WindOf(first)); err != nil {
			return nil, err
		}
	}
	if !e.Folder && !e.Replace {
		if _, err := os.Lstat(e.Path); !errors.Is(err, fs.ErrNotExist) {
			return nil, routines.ErrThere
		}
	}
	if in := filepath.Dir(filepath.Clean(e.Path)); in == out {
		_ = os.MkdirAll(out, 0o777) // where that fails, writing says so
	}
	if e.Folder {
		return m.WriteAll(ctx, e.Path, e.Pieces, e.Routine.Name)
	}
	made, err := m.Write(ctx, e.Path, e.Pieces[0])
	if err != nil {
		return nil, err
	}
	return []export.Made{made}, nil
}

// join has the notes of all steps of the pieces sound, of which one at least has some.
func (n modelSound) join(ctx context.Context, t *conduct.Rendition, e routines.Export, wind string) error {
	shelf, seen := notesfile.At(e.Source), map[string]bool{}
	var all []export.Notated
	for _, p := range e.Pieces {
		for _, s := range p.Routine.Steps {
			if seen[s.Name] {
				continue
			}
			seen[s.Name] = true
			found, err := shelf.Notes(ctx, e.Routine.On(s))
			if err != nil {
				return err
			}
			if found.Notes != nil {
				all = append(all, export.Notated{Step: s, Notes: found.Notes})
			}
		}
	}
	if len(all) == 0 {
		return errors.New("there are no notes to be heard in what is written; the Passage view says how to write them")
	}
	made, err := timbre.MakeWind(wind, float64(n.a), rate)
	if err != nil {
		return err
	}
	t.Model, t.Tones, t.Wind, t.ModelLevel = ladder.ModelEveryRep, export.Sounding(all, n.written), made, n.level
	if n.fades {
		t.Model = ladder.ModelFades
	}
	return nil
}
