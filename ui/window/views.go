package window

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"footing/assets"
	"footing/ladder"
	"footing/ladder/fingers"
	"footing/ui/window/document"
	"footing/ui/window/keys"
	"footing/ui/window/output"
	"footing/ui/window/passage"
	"footing/ui/window/routines"
	"footing/ui/window/stand"
)

// view is what lies under the header. All of it belongs to the main goroutine.
// Besides its package a new view needs one line, in [Window.listed].
type view interface {
	// Object is what is shown.
	Object() fyne.CanvasObject
	// Title is what the header says while the view is shown.
	Title() (name, sub, count string)
	// Key acts on a key that neither a widget nor the window has taken. Where it
	// reports false the Stand is given the key.
	Key(key string, repeat bool) bool
	// Enter is called when the view is about to be shown.
	Enter()
	// Refresh shows the session, and what is open, as they are now.
	Refresh()
	// Leave takes over whatever is typed and not taken over yet; the error is
	// about what cannot be, and stays where it is typed. Leave touches no widget:
	// it is called when another view comes, and at the end, when there is no
	// window any more.
	Leave() error
	// Recolour follows the palette.
	Recolour()
}

// tab is how a view is reached: its name in the header, its key, and how it is
// made.
type tab struct {
	id   viewID
	name string
	key  keys.Info
	make func() view
	view view // nil until it is first wanted
	// hidden is a tab that the header shows only while its view is shown.
	hidden bool
}

// viewID is a view's name in the code, and its action among the keys.
type viewID string

const (
	viewStand    viewID = "stand"
	viewRoutines viewID = "routines"
	viewPassage  viewID = "passage"
	viewSound    viewID = "sound device"
	viewHelp            = viewID(keys.Help)
	viewJournal  viewID = "journal"
)

// listed is every view of the window, in the order of the tabs.
func (w *Window) listed() []*tab {
	return []*tab{
		newTab("Stand", "the Stand", "F2", func() view { return w.stand }),
		newTab("Passage", "the Passage", "F5", w.makePassage),
		newTab("Journal", "the Journal", "F9", w.makeJournal),
		newTab("Routines", "the Routines", "F3", w.makeRoutines),
		w.soundTab(),
		newTab("Help", "", "", func() view { return w.help }), // its key is in the map of keys, which is what it shows
	}
}

// newTab is a view with its tab, what its key does, and the key it has at
// first.
func newTab(name, does, key string, make func() view) *tab {
	p := &tab{id: viewID(strings.ToLower(name)), name: name, make: make}
	p.key = keys.Info{Action: keys.Action(p.id), Group: keys.Window, Does: does, Keys: []string{key}}
	return p
}

// tabKeys are the keys that lead to the views.
func tabKeys(tabs []*tab) (out []keys.Info) {
	for _, p := range tabs {
		if p.key.Does != "" {
			out = append(out, p.key)
		}
	}
	return out
}

// tab is that of a view; nil for what is none.
func (w *Window) tab(id viewID) *tab {
	if i := slices.IndexFunc(w.tabs, func(p *tab) bool { return p.id == id }); i >= 0 {
		return w.tabs[i]
	}
	return nil
}

// at is the view, made now if it never was wanted before.
func (w *Window) at(id viewID) view {
	p := w.tab(id)
	if p.view == nil {
		p.view = p.make()
	}
	return p.view
}

// made are the views that there are so far.
func (w *Window) made() (out []view) {
	for _, p := range w.tabs {
		if p.view != nil {
			out = append(out, p.view)
		}
	}
	return out
}

// show brings a view up. The key of the help leads back as well.
func (w *Window) show(id viewID) {
	if id == w.root.view && id == viewHelp {
		id = viewStand
	}
	if id != w.root.view {
		_ = w.take() // what cannot be taken stays, and is said there
		w.keep.flush()
		w.stay()
	}
	w.stir()
	w.win.Canvas().Unfocus()
	v := w.at(id)
	w.root.view = id
	v.Enter()
	w.root.assemble()
}

// take has what is typed in any view taken over, into the documents. It touches
// no widget.
func (w *Window) take() (fault error) {
	for _, v := range w.made() {
		if err := v.Leave(); err != nil && fault == nil {
			fault = err
		}
	}
	w.collect()
	return fault
}

// read has read done where the disk may be waited for, and then show on the main
// goroutine.
func (w *Window) read(read, show func()) {
	w.work(func() {
		read()
		w.do(show)
	})
}

// makePassage makes the Passage view.
func (w *Window) makePassage() view {
	return passage.New(passage.Options{
		Desk: w.session, Keys: w.keys, Title: w.stand.Title, ChunkWords: stand.ChunkWords,
		Path:    func() string { return w.doc.Load().Path() },
		Read:    w.read,
		Charts:  charts,
		Beats:   w.beatsOf,
		Fingers: w.set.fingers, KeepFingers: w.set.setFingers,
		Practise: func() { w.show(viewStand) },
	})
}

// soundTab is that of the sound device, which is shown while its view is: it is
// wanted once in a while.
func (w *Window) soundTab() *tab {
	t := newTab("Sound", "device, click, drone", "F10", func() view { return w.output })
	t.id, t.key.Action, t.hidden = viewSound, keys.Action(viewSound), true
	return t
}

// makeOutput makes the view of the sound device.
func (w *Window) makeOutput() *output.View {
	return output.New(output.Options{
		Speaker: w.out, Devices: w.devices,
		Read: func(read, show func()) {
			w.work(func() {
				read()
				w.do(show)
			})
		},
		Device: w.set.device, KeepDevice: w.set.setDevice, Recall: w.set.output, Keep: w.set.setOutput,
		Heard: w.session.View, Title: w.stand.Title,
		Change: w.session.Change, Try: w.sound.try, Sound: w.sound.Name, A: w.set.modelA,
	})
}

// makeRoutines makes the Routines view.
func (w *Window) makeRoutines() view {
	w.routines = routines.New(routines.Options{
		Dir: w.dir, Window: w.win,
		AtStand: func() (*document.Document, int) {
			w.collect()
			return w.doc.Load(), w.session.View().State.StepAt
		},
		Change: func(d *document.Document, r ladder.Routine) {
			if d == w.doc.Load() {
				w.session.Do(ladder.Replan{Routine: r})
			}
			d.Change(r, w.clock())
			w.follower.poke()
			w.stir()
		},
		Save: func(d *document.Document, done func(error)) {
			w.keep.save(d, func(err error) { w.do(func() { done(err) }) })
		},
		Open: func(d *document.Document) {
			w.edited = d
			if d != nil && d != w.doc.Load() && w.revive(d) {
				w.sayRevived()
				w.follower.poke()
			}
			w.hold()
		},
		Read: w.read,
		Practise: func(d *document.Document, step int) {
			if d == w.doc.Load() {
				w.session.GoTo(step)
				w.show(viewStand)
				return
			}
			w.practise(d, step)
		},
		Begun: func(d *document.Document) {
			w.openAtStand(d, 0)
			w.show(viewPassage)
		},
		Export: w.export, Out: w.music,
		Key: w.key, Changed: w.root.titles, Draft: w.set.draft, Title: w.stand.Title,
	})
	w.win.Canvas().AddShortcut(routines.SaveShortcut(), func(fyne.Shortcut) { w.routines.Save() })
	return w.routines
}

// give opens files that the player has given to the window: by a drop, or at the
// start.
func (w *Window) give(paths ...string) {
	if len(paths) == 0 {
		return
	}
	if w.root.view != viewRoutines {
		w.show(viewRoutines)
	}
	w.routines.Take(paths...)
	w.root.titles()
}

// dropped opens what was dropped on the window.
func (w *Window) dropped(_ fyne.Position, items []fyne.URI) {
	paths := make([]string, len(items))
	for i, item := range items {
		paths[i] = item.Path()
	}
	w.give(paths...)
}

// ask asks for a file to open.
func (w *Window) ask() {
	if w.root.view != viewRoutines {
		w.show(viewRoutines)
	}
	w.routines.Open()
}

// askExport asks what is to be written into files, of the routine at the Stand or of the
// one that is edited.
func (w *Window) askExport() {
	if w.root.view != viewRoutines {
		w.show(viewRoutines)
	}
	w.routines.Export()
}

// charts reads the fingering charts that are carried.
func charts() (*fingers.Library, error) { return fingers.Load(assets.Fingerings, "fingerings") }
