package window

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"fyne.io/fyne/v2"

	"footing/assets"
	"footing/audio/click"
	"footing/audio/speaker"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/passage/scorefile"
	"footing/ladder/routine"
	"footing/ui/window/care"
	"footing/ui/window/document"
	"footing/ui/window/draw"
	"footing/ui/window/finder"
	"footing/ui/window/keys"
	"footing/ui/window/output"
	"footing/ui/window/routines"
	"footing/ui/window/stand"
)

// parts are what a window stands on.
type parts struct {
	renderer *click.Renderer
	audible  func() int64
	out      output.Speaker
	devices  func() []speaker.Name // that can play; it may take a while
	clock    func() time.Time
	record   func(ladder.Played)
	journal  *journalfile.File
	dir      string
	pages    string // the folder for lesson pages
	music    string // the folder in which sound files are written, unless the player says another
	memory   memory
	do       func(func())     // runs a function on the main goroutine; in a Window, only until it is shut
	work     func(func())     // has a job done that may wait for the disk, after those before it; waits for nothing
	aside    func(func())     // has a job done that may take minutes, beside all others; nil for a goroutine of its own
	quit     func()           // ends the loop of the main goroutine
	release  func()           // gives memory that is free back to the system
	ticks    <-chan time.Time // at which the session follows the renderer by itself; may be nil
}

// Window is the open window. But for the follower, the keeper and what is
// collected of the session, all of it belongs to the main goroutine.
type Window struct {
	parts
	app      fyne.App
	win      fyne.Window
	set      settings
	keys     *keys.Map
	sound    *sound
	session  *conduct.Session
	exports  *exports
	end      context.CancelFunc // of the session's goroutine
	keep     *keeper
	diary    *diary
	follower *follower

	docs   sync.Mutex // held while the session goes on with another document, and while it hands over
	doc    atomic.Pointer[document.Document]
	edits  uint64             // of the session, that the document has; docs is held
	taken  int                // reps that the session has handed over; docs is held
	edited *document.Document // in the Routines view; nil while there is none

	root     *root
	tabs     []*tab
	stand    *stand.Stand
	help     *help
	output   *output.View
	routines *routines.View // nil until it is first wanted

	model     model
	count     counter
	rest      care.Rest
	tidy      tidy
	stirred   uint64 // signs of life of the window; those of the session are its version
	notices   notices
	dryBefore uint64 // how often the device had run dry when it was last asked
	heardGaps uint64 // gaps that fell into the click, and have been told
	gapAt     time.Time
	leaving   bool          // the window closes when all is saved
	warned    bool          // the player knows what cannot be saved
	shown     atomic.Uint64 // the version of the session that is on the screen
	gone      atomic.Bool   // the window is shut: there is nothing to show, and soon no main goroutine to show it
	gate      sync.RWMutex  // held for reading by whatever is shown by way of do
}

// open fills the window from the file, without showing it.
func open(a fyne.App, win fyne.Window, p parts, file string) *Window {
	w := &Window{parts: p, app: a, win: win, set: settings{p.memory}}
	w.do = func(f func()) {
		p.do(func() {
			// Only the end of the window asks for the gate, and it never gives it up for long.
			if !w.gone.Load() && w.gate.TryRLock() {
				defer w.gate.RUnlock()
				f()
			}
		})
	}
	if w.aside == nil {
		w.aside = func(job func()) { go job() }
	}
	w.exports = newExports()
	w.tabs = w.listed()
	w.keys = w.set.keys(tabKeys(w.tabs)...)
	w.sound = newSound(p.renderer, w.set)
	w.rest.Every = w.set.rest()
	w.recallModel()
	w.keep = newKeeper(p.work, p.clock, w.saved)
	w.follower = &follower{
		tick: w.tick, running: func() bool { return w.session.View().State.Running },
		second: w.second, do: w.do, show: w.refresh, wake: make(chan struct{}, 1),
		animated: w.animated,
	}

	w.diary = newDiary(p.journal, rand.Int64)
	w.diary.open(time.After(journalPatience), func() {
		w.do(func() {
			if s := w.session.View().State; !s.Running && s.Reps == 0 {
				w.resume()
			}
		})
	})
	score := ""
	if routines.IsScore(file) || scorefile.IsTune(file) {
		file, score = "", file
	}
	doc, trouble := w.first(file)
	again := w.revive(doc)
	w.session = conduct.New(ladder.New(doc.Routine(), false), p.renderer, p.audible).WithTones(w.model.tones).WithAloud(w.count.phrase).
		WithSounds(conduct.NewSounds(p.renderer.Rate(), func() float64 { return float64(w.model.a.Load()) }))
	owning, end := context.WithCancel(context.Background())
	w.end = end
	go w.session.Run(owning, p.ticks)
	w.doc.Store(doc)
	w.hold()
	w.resume()
	w.stand = stand.New(stand.Options{
		Desk: w.session, Sound: w.sound, Keys: w.keys, Clock: p.clock,
		Best:     w.best,
		Path:     func() string { return w.doc.Load().Path() },
		Read:     w.read,
		Charts:   charts,
		Animated: w.animated,
		Model:    w.playModel,
		Changed:  func() { w.root.titles() },
		Chosen:   w.chosen,
	})
	w.count.finder = finder.Finder{Path: func() string { return w.doc.Load().Path() }, Read: w.read}
	w.help = newHelp(w)
	w.output = w.makeOutput()
	w.root = newRoot(w)

	w.win.SetPadded(false)
	w.root.assemble()
	// Fyne lays new content out at its least size first; nobody would see that.
	w.win.SetContent(w.root.box)
	w.root.box.Resize(fyne.Size{})
	w.root.ready = true
	w.win.Resize(w.set.size())
	w.win.SetCloseIntercept(w.leave)
	w.root.listen(w.win.Canvas())
	if !w.set.cautionsSeen() {
		w.root.caution()
	}
	if again {
		w.sayRevived()
	}
	if trouble != nil {
		w.at(viewRoutines)
		w.routines.Trouble(trouble.path, trouble.err)
		w.show(viewRoutines)
	}
	w.goToStep()
	w.win.SetOnDropped(w.dropped)
	w.win.Canvas().AddShortcut(routines.OpenShortcut(), func(fyne.Shortcut) { w.ask() })
	w.win.Canvas().AddShortcut(routines.ExportShortcut(), func(fyne.Shortcut) { w.askExport() })
	if score != "" {
		if abs, err := filepath.Abs(score); err == nil {
			score = abs
		}
		w.give(score)
	}
	return w
}

// animated reports whether the desktop wants animations.
func (w *Window) animated() bool { return w.app.Settings().ShowAnimations() }

// trouble is a file that cannot be opened.
type trouble struct {
	path string
	err  error
}

// first opens the routine to begin with: the one asked for, the last one, the
// starter for newcomers, the first in the folder, or a new one.
func (w *Window) first(file string) (doc *document.Document, bad *trouble) {
	last, _ := w.set.routine()
	for i, path := range []string{file, last, filepath.Join(w.dir, assets.FirstRoutine)} {
		if path == "" {
			continue
		}
		if abs, err := filepath.Abs(path); err == nil {
			path = abs
		}
		f, err := routine.Load(path)
		if err == nil {
			return document.Open(f), bad
		}
		if i == 0 {
			bad = &trouble{path, err}
		}
	}
	if listed, err := routine.List(w.dir); err == nil {
		for _, e := range listed {
			if f, err := routine.Load(e.Path); err == nil {
				return document.Open(f), bad
			}
		}
	}
	f := routines.Fresh()
	return document.Begin(f, filepath.Join(w.dir, document.FileName(f.Routine().Name))), bad
}

// hold has the keeper look after what is open.
func (w *Window) hold() { w.keep.hold(w.doc.Load(), w.edited) }

// collect takes over what the session has to hand over: its edits for the
// document at the Stand, and the reps for the record, in their order. It may run
// on any goroutine, and waits for no disk.
func (w *Window) collect() {
	w.docs.Lock()
	defer w.docs.Unlock()
	v := w.session.View()
	if v.Edits != w.edits {
		w.edits = v.Edits
		w.doc.Load().Change(v.State.Routine, w.clock())
	}
	for {
		select {
		case p, ok := <-w.session.Records():
			if !ok {
				return
			}
			w.recorded(p)
			continue
		default:
		}
		break
	}
	// Only a view that knows of just these records tells which reps are still open.
	if at := v.Now.Heard(); v.State.Reps == w.taken && (!v.State.Running || at.Seq != 0) {
		w.diary.ended(v.State.Ended(at), w.doc.Load().Path(), v.State.Routine, w.clock())
	}
}

// recorded has a rep kept. w.docs is held, so that it is kept under the routine
// it was played in, and in its turn.
func (w *Window) recorded(p ladder.Played) {
	w.taken++
	w.diary.recorded(p, w.doc.Load().Path(), w.session.View().State.Routine, w.clock())
	if w.record != nil {
		w.work(func() { w.record(p) })
	}
}

// resume goes on where the routine's steps go on today.
func (w *Window) resume() {
	r, path, now := w.session.View().State.Routine, w.doc.Load().Path(), w.clock()
	w.diary.meet(path, r, w.set, now)
	w.diary.marks(path, r, true, now)
	w.session.Do(ladder.Resume{Bookmarks: w.diary.bookmarks(path, r, w.set.start(), now)})
}

// best is what was reached on a step the last time it was practised.
func (w *Window) best(step string) stand.Best {
	today := journal.DayOf(w.clock())
	h := w.diary.of(journal.Place{Routine: w.doc.Load().Path(), Step: step})
	var out stand.Best
	for _, d := range h.Days {
		if out.Footing == 0 {
			out.Footing = d.Footing
		}
	}
	if d, ok := h.Before(today); ok {
		out.Tempo, out.When = d.Best, d.Day.Short(today)
	}
	return out
}

// goToStep goes on with the step that was under way when the routine was left.
func (w *Window) goToStep() {
	path, step := w.set.routine()
	if path != "" && path == w.doc.Load().Path() && step > 0 {
		w.session.GoTo(step)
	}
	w.refresh()
}

// practise goes on at the Stand with another document.
func (w *Window) practise(doc *document.Document, step int) {
	_ = w.take() // what cannot be taken stays in the Routines view
	w.keep.flush()
	w.openAtStand(doc, step)
	w.show(viewStand)
}

// openAtStand lays another document on the Stand.
func (w *Window) openAtStand(doc *document.Document, step int) {
	w.session.Leave()
	w.collect()
	w.remember()
	w.docs.Lock()
	w.session.Open(doc.Routine(), step)
	w.doc.Store(doc)
	w.edits = w.session.View().Edits
	w.docs.Unlock()
	w.hold()
	w.resume()
	w.remember()
	w.refresh()
}

// tick follows the session; it runs on the follower's goroutine.
func (w *Window) tick() bool {
	w.session.Tick()
	w.collect()
	w.keep.look()
	return w.session.View().Version != w.shown.Load()
}

// second runs on the follower's goroutine about once a second.
func (w *Window) second() {
	running := w.session.View().State.Running
	device, dry := w.out.State().Line, w.out.Underruns()
	now := w.clock()
	w.do(func() {
		w.rememberPlace()
		w.stand.Second()
		w.followModel()
		w.followCount()
		w.notify(noticeDevice, draw.NoticeModel{Text: device, Warm: true})
		rest := draw.NoticeModel{}
		if w.rest.See(now, running) {
			rest.Text = w.rest.Line()
		}
		w.notify(noticeRest, rest)
		w.gaps(dry, running, now)
		w.journalled()
		if w.root.view == viewSound {
			w.output.Second()
		}
		w.tidyUp(now, running)
	})
}

// refresh shows the session as it is.
func (w *Window) refresh() {
	w.shown.Store(w.session.View().Version)
	w.at(w.root.view).Refresh()
	w.followCount()
	if w.root.runs != w.session.View().State.Running {
		w.root.titles()
	}
}

// remember keeps what the next start goes on with.
func (w *Window) remember() {
	w.rememberPlace()
	if size := w.win.Canvas().Size(); size.Width >= stand.Least.Width && !w.win.FullScreen() {
		w.set.setSize(size)
	}
}

// rememberPlace keeps where the player stands: the routine, the step and the
// rung. It costs little while nothing changes.
func (w *Window) rememberPlace() {
	path := w.doc.Load().Path()
	if path == "" {
		return
	}
	s := w.session.View().State
	if last, step := w.set.routine(); last != path || step != s.StepAt {
		w.set.setRoutine(path, s.StepAt)
	}
	now := w.clock()
	w.diary.meet(path, s.Routine, w.set, now)
	w.diary.left(path, s.Routine, s.Bookmarks(), now)
	w.diary.marks(path, s.Routine, !w.gone.Load(), now)
}
