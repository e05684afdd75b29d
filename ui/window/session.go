package window

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"time"

	"fyne.io/fyne/v2"

	"footing/assets"
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/routine"
	"footing/ui/window/care"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
	"footing/ui/window/routines"
	"footing/ui/window/stand"
)

// parts are what a window stands on.
type parts struct {
	renderer *click.Renderer
	audible  func() int64
	device   func() string // one line while there is no sound, else empty
	clock    func() time.Time
	record   func(ladder.Played)
	dir      string
	memory   memory
	do       func(func())     // runs a function on the main goroutine; in a Window, only until it is shut
	soon     func(func())     // does so after some frames
	ticks    <-chan time.Time // at which the session follows the renderer by itself; may be nil
}

// Window is the open window. But for the follower and the record of reps, all
// of it belongs to the main goroutine.
type Window struct {
	parts
	app     fyne.App
	win     fyne.Window
	set     settings
	keys    *keys.Map
	sound   *sound
	session *conduct.Session
	// endSession ends the session's goroutine.
	endSession context.CancelFunc
	keep       *keeper
	follower   *follower
	path       atomic.Pointer[string] // of the routine, for the record of reps

	root     *root
	stand    *stand.Stand
	help     *help
	routines *routines.View

	rest    care.Rest
	notices notices
	warned  bool          // the player knows that the Routines view can not save its edits
	shown   atomic.Uint64 // the version of the session that is on the screen
	gone    atomic.Bool   // the window is shut: there is nothing to show, and soon no main goroutine to show it
}

// open fills the window from the file, without showing it.
func open(a fyne.App, win fyne.Window, p parts, file string) *Window {
	w := &Window{parts: p, app: a, win: win, set: settings{p.memory}}
	w.do = func(f func()) {
		p.do(func() {
			if !w.gone.Load() {
				f()
			}
		})
	}
	w.keys = w.set.keys()
	w.sound = newSound(p.renderer, w.set)
	w.rest.Every = w.set.rest()
	w.keep = newKeeper(w.saved)
	w.follower = &follower{
		tick: w.tick, running: func() bool { return w.session.View().State.Running },
		second: w.second, do: w.do, show: w.refresh, wake: make(chan struct{}, 1),
		animated: w.animated,
	}

	f, place, trouble := w.first(file)
	w.session = conduct.New(ladder.New(f.Routine(), false), p.renderer, p.audible)
	var owning context.Context
	owning, w.endSession = context.WithCancel(context.Background())
	go w.session.Run(owning, p.ticks)
	w.adopt(f, place)
	w.resume()
	w.stand = stand.New(stand.Options{
		Desk: w.session, Sound: w.sound, Keys: w.keys, Clock: p.clock,
		Best:     func(step string) stand.Best { return w.set.best(*w.path.Load(), step, w.clock()) },
		Animated: w.animated,
		Changed:  func() { w.root.titles() },
		Chosen:   w.chosen,
	})
	w.help = newHelp(w)
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
	if trouble != nil {
		w.routinesView().Trouble(trouble.path, trouble.err)
		w.show(viewRoutines)
	}
	w.goToStep()
	return w
}

// animated reports whether the desktop wants animations.
func (w *Window) animated() bool { return w.app.Settings().ShowAnimations() }

// trouble is a file that can not be opened.
type trouble struct {
	path string
	err  error
}

// first loads the routine to begin with: the one asked for, the last one, the
// starter for newcomers, the first in the folder, or a new one, whose place is
// returned with it.
func (w *Window) first(file string) (f *routine.File, place string, bad *trouble) {
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
			return f, "", bad
		}
		if i == 0 {
			bad = &trouble{path, err}
		}
	}
	if listed, err := routine.List(w.dir); err == nil {
		for _, e := range listed {
			if f, err := routine.Load(e.Path); err == nil {
				return f, "", bad
			}
		}
	}
	f = routines.Fresh()
	return f, filepath.Join(w.dir, routines.FileName(f.Routine().Name)), bad
}

// adopt makes f the routine that is practised and saved.
func (w *Window) adopt(f *routine.File, place string) {
	w.keep.use(f, place)
	path := w.keep.path()
	w.path.Store(&path)
}

// resume goes on where the player left the routine's steps.
func (w *Window) resume() {
	r := w.session.View().State.Routine
	w.session.Do(ladder.Resume{Bookmarks: w.set.bookmarks(*w.path.Load(), r)})
}

// goToStep goes on with the step that was under way when the routine was left.
func (w *Window) goToStep() {
	path, step := w.set.routine()
	if path != "" && path == *w.path.Load() && step > 0 {
		w.session.GoTo(step)
	}
	w.refresh()
}

// practise goes on with another routine.
func (w *Window) practise(f *routine.File, place string, step int) {
	w.session.Leave()
	w.takeRecords()
	w.keep.flush()
	w.remember()
	w.adopt(f, place)
	w.session.Open(f.Routine(), step)
	w.resume()
	w.keep.seen(w.session.View().Edits)
	w.notices.clear(noticeSave)
	w.remember()
	w.show(viewStand)
}

// tick follows the session; it runs on the follower's goroutine.
func (w *Window) tick() bool {
	w.session.Tick()
	w.takeRecords()
	v := w.session.View()
	w.keep.look(v, w.clock())
	return v.Version != w.shown.Load()
}

// second runs on the follower's goroutine about once a second.
func (w *Window) second() {
	running := w.session.View().State.Running
	device := w.device()
	now := w.clock()
	w.do(func() {
		w.rememberPlace()
		w.stand.Second()
		due := w.rest.See(now, running)
		changed := w.notices.put(noticeDevice, draw.NoticeModel{Text: device, Warm: true})
		rest := draw.NoticeModel{}
		if due {
			rest.Text = w.rest.Line()
		}
		if w.notices.put(noticeRest, rest) || changed {
			w.stand.Notify(w.notices.top())
		}
	})
}

// refresh shows the session as it is.
func (w *Window) refresh() {
	w.shown.Store(w.session.View().Version)
	if w.root.view == viewStand {
		w.stand.Refresh()
	} else if w.root.runs != w.session.View().State.Running {
		w.root.titles()
	}
}

// takeRecords takes what is recorded so far.
func (w *Window) takeRecords() {
	for {
		select {
		case p, ok := <-w.session.Records():
			if !ok {
				return
			}
			w.recorded(p)
		default:
			return
		}
	}
}

// recorded keeps a rep.
func (w *Window) recorded(p ladder.Played) {
	if p.Verdict == ladder.Clean && p.Whole {
		w.set.addBest(*w.path.Load(), p.Name, p.Tempo, w.clock())
	}
	if w.record != nil {
		w.record(p)
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
	path := *w.path.Load()
	if path == "" {
		return
	}
	s := w.session.View().State
	if last, step := w.set.routine(); last != path || step != s.StepAt {
		w.set.setRoutine(path, s.StepAt)
	}
	w.set.setBookmarks(path, s.Routine, s.Bookmarks())
}

// leave ends the session and closes the window. A routine that can not be
// saved keeps the window open once, with the reason; a second try closes it.
func (w *Window) leave() {
	w.session.Leave()
	w.takeRecords()
	if err := w.lastEdits(); err != nil && !w.warned {
		w.warned = true
		w.show(viewRoutines)
		w.routines.Say(fmt.Sprintf("%v (close once more to leave without it)", err))
		return
	}
	w.keep.look(w.session.View(), w.clock())
	if err := w.keep.last(); err != nil && !w.keep.warned {
		w.keep.warned = true
		w.show(viewStand)
		w.saved(fmt.Errorf("%w (close once more to leave without it)", err))
		return
	}
	w.remember()
	w.shut()
}

// lastEdits saves what is edited in the Routines view.
func (w *Window) lastEdits() error {
	if w.routines == nil {
		return nil
	}
	return w.routines.Last()
}

// patience is how long the end of the program waits for a disk that is slow.
const patience = 10 * time.Second

// close runs after the window has gone.
func (w *Window) close() error {
	w.session.Leave()
	w.endSession()
	for p := range w.session.Records() {
		w.recorded(p)
	}
	w.keep.look(w.session.View(), w.clock())
	err := w.keep.last()
	if err != nil {
		err = fmt.Errorf("save the routine: %w", err)
	}
	if w.keep.warned {
		err = nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	return errors.Join(err, w.set.flush(ctx))
}

// saved tells how a save went. It may run on any goroutine.
func (w *Window) saved(err error) {
	w.do(func() {
		m := draw.NoticeModel{}
		switch {
		case errors.Is(err, routine.ErrChanged):
			m = draw.NoticeModel{Text: "This routine was changed elsewhere", Warm: true, Choices: []draw.Choice{
				{ID: chooseBoth, Label: "keep both", Key: "F6"}, {ID: chooseTheirs, Label: "take theirs", Key: "F7"},
			}}
		case err != nil:
			m = draw.NoticeModel{Text: "Not saved: " + err.Error(), Warm: true}
		}
		if w.notices.put(noticeSave, m) {
			w.stand.Notify(w.notices.top())
		}
	})
}
