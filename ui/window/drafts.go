package window

import (
	"encoding/json"

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
