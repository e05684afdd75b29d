package window

import (
	"context"
	"errors"
	"fmt"
	"time"
	"unicode"
	"unicode/utf8"

	"footing/ui/window/draw"
)

// leave ends the session and closes the window, once all that is typed and edited
// is saved. What cannot be saved keeps the window open once, with the reason; so
// does a disk that does not answer. A second try closes it.
func (w *Window) leave() {
	if w.leaving || w.warned {
		w.lastly()
		return
	}
	w.session.Leave()
	fault := w.take()
	if fault != nil {
		w.show(viewRoutines)
	}
	w.leaving = true
	w.closingSays("Saving …")
	w.keep.last(func(err error) {
		err = errors.Join(err, w.journal.Flush(context.Background()))
		w.do(func() {
			w.leaving = false
			if err == nil && fault == nil {
				w.lastly()
				return
			}
			w.warned = true
			if fault == nil {
				w.show(viewStand)
				fault = fmt.Errorf("not saved: %s", short(err))
			}
			w.closingSays(capital(fault.Error()))
		})
	})
}

// closingSays says why the window is still open. What a second try does is never
// cut off.
func (w *Window) closingSays(text string) {
	w.notify(noticeClosing, draw.NoticeModel{Text: text, Warm: true, Choices: []draw.Choice{
		{ID: chooseLeave, Label: "close once more to leave without it"},
	}})
}

// stay forgets that the player wanted to close the window, unless it is closing.
func (w *Window) stay() {
	if !w.leaving {
		w.warned = false
		w.notify(noticeClosing, draw.NoticeModel{})
	}
}

// lastly remembers what the next start goes on with, and shuts the window.
func (w *Window) lastly() {
	w.remember()
	w.shut()
}

// shut closes the window. From here on nothing is shown: once its loop has ended,
// Fyne runs what is meant for the main goroutine on whichever one asks.
func (w *Window) shut() {
	w.gone.Store(true)
	w.quit()
}

// close runs after the window has gone, however that came about: what was typed
// is still in the widgets, and what was edited in the documents. It waits for the
// disk until late, and tells what could not be saved.
func (w *Window) close(late <-chan time.Time) error {
	w.gone.Store(true)
	w.exports.stop()
	w.gate.Lock() // waits for what is being shown on another goroutine
	defer w.gate.Unlock()
	w.session.Leave()
	fault := w.take()
	w.endSession()
	w.keepDraft()
	w.rememberPlace()
	ctx, end := context.WithCancel(context.Background())
	defer end()
	done, knows := make(chan error, 1), w.warned
	w.keep.last(func(err error) {
		if err != nil && !knows {
			w.keepUnsaved()
		}
		done <- errors.Join(err, w.set.flush(ctx), w.journal.Flush(ctx), w.journal.Close())
	})
	select {
	case err := <-done:
		if err = errors.Join(err, fault); err != nil && !w.warned {
			return fmt.Errorf("leave the window: %w", err)
		}
		return nil
	case <-late:
		if w.leaving || w.warned {
			return nil // the player knows
		}
		return errors.New("leave the window: the disk does not answer; the last edits may be lost")
	}
}

// capital writes a sentence's first letter large.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// endSession ends the session's goroutine, which hands over its last reps.
func (w *Window) endSession() {
	w.collect()
	w.docs.Lock()
	defer w.docs.Unlock()
	w.end()
	for p := range w.session.Records() {
		w.recorded(p)
	}
}
