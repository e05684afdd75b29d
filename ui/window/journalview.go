package window

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"time"

	"footing/files"
	"footing/ladder"
	past "footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/notes"
	"footing/ladder/routine"
	"footing/ui/lesson"
	"footing/ui/window/document"
	"footing/ui/window/draw"
	"footing/ui/window/journal"
	"footing/ui/window/stand"
)

// makeJournal makes the Journal view.
func (w *Window) makeJournal() view {
	return journal.New(journal.Options{
		Clock: w.clock, Rule: w.set.start, All: w.diary.all,
		AtStand: func() past.Place {
			return past.Place{Routine: w.doc.Load().Path(), Step: w.session.View().State.Step().Name}
		},
		Step: w.stepAt,
		Open: w.openJournal,
		Read: func(read, show func()) {
			w.work(func() {
				read()
				w.do(show)
			})
		},
		Practise: w.practiseAt,
		Page:     w.lessonPage,
	})
}

// openJournal opens the journal to be read. It may run on any goroutine.
func (w *Window) openJournal(ctx context.Context) (*journalfile.Reader, error) {
	r, err := w.journal.Read(ctx)
	if errors.Is(err, fs.ErrNotExist) {
		err = errors.New("there is no journal yet")
	}
	return r, err
}

// beatsOf is how far each beat of a step of the routine that is practised has come;
// nothing where the journal cannot say. It may run on any goroutine.
func (w *Window) beatsOf(step ladder.Step) draw.SharesModel {
	ctx := context.Background()
	r, err := w.openJournal(ctx)
	if err != nil {
		return draw.SharesModel{} // the Journal view says why
	}
	defer r.Close()
	id, ok, err := r.Step(ctx, past.Place{Routine: w.doc.Load().Path(), Step: step.Name})
	if err != nil || !ok {
		return draw.SharesModel{}
	}
	chunks, err := r.Chunks(ctx, id)
	if err != nil {
		return draw.SharesModel{}
	}
	return journal.Shares(step, chunks)
}

// lessonPage writes the page of the last seven days into the player's documents, in
// the place of one of the same day.
func (w *Window) lessonPage(said func(text string, warm bool)) {
	now := w.clock()
	name := "Lesson page " + now.Format(time.DateOnly) + ".pdf"
	w.work(func() {
		err := w.writePage(context.Background(), filepath.Join(w.pages, name), now)
		w.do(func() {
			if err != nil {
				said(capital(err.Error()), true)
				return
			}
			said(fmt.Sprintf("“%s” is in %s", name, files.Name(w.pages)), false)
		})
	})
}

func (w *Window) writePage(ctx context.Context, path string, now time.Time) error {
	r, err := w.journal.Read(ctx)
	if err != nil {
		return err
	}
	defer r.Close()
	today := past.DayOf(now)
	page, err := lesson.Gather(ctx, lesson.Source{
		Reader: r, Step: w.stepAt, Words: stand.ChunkWords,
		Notes: func(p past.Place, s ladder.Step) *notes.Notes { return lesson.NotesIn(ctx, p.Routine, s) },
	}, today-6, today, now.Location())
	if err != nil {
		return err
	}
	return lesson.Save(ctx, path, page, now)
}

// stepAt is a step as it is now, at the Stand or in its file. It may wait for the
// disk.
func (w *Window) stepAt(p past.Place) (ladder.Step, bool) {
	if p.Routine != w.doc.Load().Path() {
		return lesson.StepIn(context.Background(), p)
	}
	r := w.session.View().State.Routine
	if i := named(r, p.Step); i >= 0 {
		return r.On(r.Steps[i]), true
	}
	return ladder.Step{}, false
}

func named(r ladder.Routine, step string) int {
	return slices.IndexFunc(r.Steps, func(s ladder.Step) bool { return s.Name == step })
}

// practiseAt goes on at the Stand with a step of the journal.
func (w *Window) practiseAt(p past.Place) {
	if i := named(w.session.View().State.Routine, p.Step); i >= 0 && p.Routine == w.doc.Load().Path() {
		w.session.GoTo(i)
		w.show(viewStand)
		return
	}
	w.work(func() {
		f, err := routine.Load(p.Routine)
		w.do(func() {
			switch {
			case err != nil:
				w.notify(noticeSettings, draw.NoticeModel{Text: capital(err.Error()), Warm: true})
			case named(f.Routine(), p.Step) < 0:
				w.notify(noticeSettings, draw.NoticeModel{Text: "“" + p.Step + "” is not in its routine any more", Warm: true})
			default:
				w.practise(document.Open(f), named(f.Routine(), p.Step))
			}
		})
	})
}
