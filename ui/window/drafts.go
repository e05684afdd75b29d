package window

import (
	"encoding/json"

	"footing/ladder"
	"footing/ladder/routine"
	"footing/ui/window/document"
	"footing/ui/window/draw"
	"footing/ui/window/routines"
)

// keyTyped is followed by the routine's path.
const keyTyped = "typed in "

// draft is what was typed in a routine's fields and could not be read when the
// program was ended; it is given back once.
func (s settings) draft(path string) (out routines.Draft) {
	text := s.p.String(keyTyped + path)
	if text == "" {
		return routines.Draft{}
	}
	s.p.SetString(keyTyped+path, "")
	if err := json.Unmarshal([]byte(text), &out); err != nil {
		return routines.Draft{}
	}
	return out
}

// setDraft keeps what is left in the fields.
func (s settings) setDraft(path string, left routines.Draft) {
	if data, err := json.Marshal(left); err == nil {
		s.p.SetString(keyTyped+path, string(data))
	}
}

// keepDraft keeps what no file can hold for the next start. The player may also
// have said to leave without it.
func (w *Window) keepDraft() {
	if w.routines == nil || w.warned {
		return
	}
	if path, left := w.routines.Draft(); path != "" {
		w.set.setDraft(path, left)
	}
}

// keyUnsaved is followed by the routine's path.
const keyUnsaved = "not saved of "

// unsaved is a routine that could not be saved when the program was ended, and what
// its file held, both as the texts of files.
type unsaved struct{ Held, Mine string }

// setUnsaved keeps a routine that could not be saved.
func (s settings) setUnsaved(path string, held, mine ladder.Routine) {
	var texts [2]string
	for i, r := range []ladder.Routine{held, mine} {
		f, err := routine.New(r)
		if err != nil {
			return // no version of a document is at fault
		}
		texts[i] = string(f.Bytes())
	}
	if data, err := json.Marshal(unsaved{texts[0], texts[1]}); err == nil {
		s.p.SetString(keyUnsaved+path, string(data))
	}
}

// unsaved gives back once what could not be saved of a routine, brought together
// with what its file holds now.
func (s settings) unsaved(path string, now ladder.Routine) (ladder.Routine, bool) {
	text := s.p.String(keyUnsaved + path)
	var u unsaved
	if text == "" || json.Unmarshal([]byte(text), &u) != nil {
		return now, false
	}
	held, err := routine.Parse(path, []byte(u.Held))
	if err != nil {
		return now, false
	}
	mine, err := routine.Parse(path, []byte(u.Mine))
	if err != nil {
		return now, false
	}
	both := document.Merge(held.Routine(), mine.Routine(), now)
	if len(both.Check()) > 0 {
		return now, false // it waits for a file that it goes with
	}
	s.p.SetString(keyUnsaved+path, "")
	return both, true
}

// keepUnsaved keeps the documents that could not be saved for the next start. It
// runs where the disk is waited for.
func (w *Window) keepUnsaved() {
	for _, d := range w.keep.all() {
		if path := d.Path(); path != "" && d.Unsaved() {
			w.set.setUnsaved(path, d.Held(), d.Routine())
		}
	}
}

// revive gives a document that was just opened what could not be saved of it when
// the program was ended; it reports whether there was something.
func (w *Window) revive(d *document.Document) bool {
	if d.Path() == "" {
		return false
	}
	r, ok := w.set.unsaved(d.Path(), d.Routine())
	if ok {
		d.Change(r, w.clock())
	}
	return ok && d.Unsaved()
}

func (w *Window) sayRevived() {
	w.notify(noticeUnsaved, draw.NoticeModel{Text: "The last edits could not be saved when the program was ended; here they are again"})
}
