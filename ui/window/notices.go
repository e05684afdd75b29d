package window

import (
	"errors"
	"fmt"
	"log"
	"path/filepath"
	"reflect"
	"strings"
	"time"

	"footing/ladder/routine"
	"footing/ui/window/document"
	"footing/ui/window/draw"
)

// noticeKind is what a notice is about; the first kinds go before the later.
type noticeKind int

const (
	noticeClosing noticeKind = iota
	noticeSave
	noticeRest
	noticeDevice
	noticeJournal
	noticeUnsaved
	noticeSettings
	noticeGaps
	noticeKinds
)

// notices holds one notice of each kind and shows the most urgent.
type notices struct{ of [noticeKinds]draw.NoticeModel }

// put sets the notice of the kind and reports whether it is another.
func (n *notices) put(k noticeKind, m draw.NoticeModel) bool {
	if reflect.DeepEqual(n.of[k], m) {
		return false
	}
	n.of[k] = m
	return true
}

// top is the notice to show.
func (n *notices) top() draw.NoticeModel {
	for _, m := range n.of {
		if m.Text != "" {
			return m
		}
	}
	return draw.NoticeModel{}
}

// notify sets the notice of the kind and shows the most urgent, in whatever view.
func (w *Window) notify(k noticeKind, m draw.NoticeModel) {
	if w.notices.put(k, m) {
		w.stand.Notify(w.notices.top())
		w.root.notify(w.notices.top())
	}
}

const (
	chooseBoth   = "both"
	chooseTheirs = "theirs"
	chooseLeave  = "leave"
)

// chosen is what the player does about a notice; "" waves it away.
func (w *Window) chosen(id string) {
	d := w.keep.troubled()
	switch {
	case id == chooseBoth && d != nil:
		w.keep.both(d)
	case id == chooseTheirs && d != nil:
		w.takeTheirs(d)
	case id == chooseLeave:
		w.leave()
	case id == "":
		w.wave()
	}
}

// wave takes the notice away that is shown, where nothing needs to be done about
// it.
func (w *Window) wave() {
	switch {
	case w.notices.of[noticeClosing].Text != "":
		w.stay()
	case w.notices.of[noticeSave].Text != "":
	case w.notices.of[noticeRest].Text != "":
		w.rest.Put()
		w.notify(noticeRest, draw.NoticeModel{})
	case w.notices.of[noticeDevice].Text != "":
	case w.notices.of[noticeUnsaved].Text != "":
		w.notify(noticeUnsaved, draw.NoticeModel{})
	case w.notices.of[noticeJournal].Text != "":
	case w.notices.of[noticeGaps].Text != "":
		w.notify(noticeGaps, draw.NoticeModel{})
	default:
		w.notify(noticeSettings, draw.NoticeModel{})
	}
}

// saved shows how the saves went. It may run on any goroutine.
func (w *Window) saved() {
	w.do(func() {
		m := draw.NoticeModel{}
		if d := w.keep.troubled(); d != nil {
			m = w.troubled(d)
		} else if w.notices.of[noticeSave].Text != "" {
			w.stay()
		}
		w.notify(noticeSave, m)
		w.at(w.root.view).Refresh()
		w.root.titles()
	})
}

// troubled is the notice on a document whose last save failed.
func (w *Window) troubled(d *document.Document) draw.NoticeModel {
	err := d.Trouble()
	if !errors.Is(err, routine.ErrChanged) {
		return draw.NoticeModel{Text: "Not saved: " + short(err), Warm: true}
	}
	name := "This routine"
	if d != w.doc.Load() {
		name = "“" + elided(d.Routine().Name) + "”"
	}
	return draw.NoticeModel{Text: name + " was changed elsewhere", Warm: true, Choices: []draw.Choice{
		{ID: chooseBoth, Label: "keep both", Key: "F6"}, {ID: chooseTheirs, Label: "take theirs", Key: "F7"},
	}}
}

// short is a failed save with the file's name in place of its path, to stand behind
// “not saved”: the line has no room for folders.
func short(err error) string {
	var failed *routine.SaveError
	if errors.As(err, &failed) {
		text := (&routine.SaveError{Path: elided(filepath.Base(failed.Path)), Err: failed.Err}).Error()
		return strings.TrimPrefix(text, "cannot save ")
	}
	return err.Error()
}

// elided is a name without its middle where it is long, so that what is said of it
// has room.
func elided(name string) string {
	const most, end = 36, 12
	if all := []rune(name); len(all) > most {
		return string(all[:most-end-1]) + "…" + string(all[len(all)-end:])
	}
	return name
}

// takeTheirs goes on with a document as it is on the disk now.
func (w *Window) takeTheirs(d *document.Document) {
	w.work(func() {
		f, err := routine.Load(d.Path())
		w.do(func() {
			if err != nil {
				w.notify(noticeSave, draw.NoticeModel{Text: err.Error(), Warm: true})
				return
			}
			d.Drop()
			theirs := document.Open(f)
			if d == w.doc.Load() {
				w.openAtStand(theirs, w.session.View().State.StepAt)
			}
			if w.routines != nil {
				w.routines.Reopen(d, theirs)
			}
			w.hold()
			w.saved()
		})
	})
}

// gapsShown is how long it is said that the sound had a gap.
const gapsShown = 20 * time.Second

// growsWithin is how long after a gap more is held at the latest.
const growsWithin = 3 * time.Second

// gaps says that the sound had gaps, for a while after the last one. dry is how
// often the device has run dry; while the click does not run nobody hears that.
func (w *Window) gaps(dry uint64, running bool, now time.Time) {
	since := dry - w.dryBefore
	w.dryBefore = dry
	if since > 0 && running {
		w.heardGaps, w.gapAt = w.heardGaps+since, now
		times := "once"
		if w.heardGaps > 1 {
			times = fmt.Sprintf("%d times", w.heardGaps)
		}
		log.Printf("the device ran dry, %s so far", times) // as the commands say it, for who reads along
		w.notify(noticeGaps, draw.NoticeModel{Text: "The sound has broken off for a moment, " + times + " so far: this computer is busy. More is held ready now"})
		return
	}
	if now.Sub(w.gapAt) < growsWithin {
		w.output.Grew()
	}
	if now.Sub(w.gapAt) >= gapsShown {
		w.notify(noticeGaps, draw.NoticeModel{})
	}
}
