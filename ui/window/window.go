// Package window is the window: the Stand and the Routines, the keys, and what
// is remembered from one time to the next.
package window

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"
	"github.com/adrg/xdg"

	"footing/assets"
	"footing/audio/click"
	"footing/audio/speaker"
	"footing/audio/timbre"
	"footing/ladder/journal/journalfile"
	"footing/ladder/routine"
	"footing/ui/window/draw"
	"footing/ui/window/look"
)

// AppID names the program to the desktop and to Fyne.
const AppID = "footing"

// Options say how to open the window.
type Options struct {
	// File is the routine to open; empty for the one that was open last, or the
	// starter for newcomers, or the first in Dir.
	File string
	// Dir is the folder of the player's routines; empty for [routine.Folder],
	// to which the starter routines are copied on the first start.
	Dir string
	// EveryFrame repaints the whole window at every frame, to measure against, and is
	// called for each, on the main goroutine; nil as usual.
	EveryFrame func()
}

// tickSession is how often the session follows the renderer: several times in
// the shortest phrase, a beat at 400 bpm (150 ms).
const tickSession = 40 * time.Millisecond

// rate is the renderer's; a device that runs at another rate converts.
const rate = 48000

// Run opens the window and returns when it is closed or ctx ends. It must be
// called from the main goroutine. Trouble with the sound device or with a
// routine is told in the window; the error is for a program that cannot go on.
func Run(ctx context.Context, o Options) error {
	scanned := make(chan struct{})
	go func() {
		defer close(scanned)
		scanFonts()
	}()
	kept, said := recall(ctx, settingsFile(), toolkitFile())
	a := app.NewWithID(AppID)
	endsForSure(a)
	a.SetIcon(fyne.NewStaticResource("icon.png", assets.Icon))
	set := settings{kept}
	a.Settings().SetTheme(look.New(set.palette()))

	kit, err := timbre.Make(timbre.Names()[0], rate)
	if err != nil {
		return fmt.Errorf("make the sound of the click: %w", err)
	}
	renderer := click.NewRenderer(rate, &kit)
	up, gone := make(chan struct{}), make(chan struct{})
	a.Lifecycle().SetOnStarted(func() { close(up) })
	out, err := speaker.Open(renderer, speaker.Options{Rate: rate, Open: openWhen(up, gone), Device: set.device()})
	if err != nil {
		return fmt.Errorf("open the speaker: %w", err)
	}
	defer out.Close()
	defer close(gone)

	var starters error
	if o.Dir == "" {
		o.Dir = routine.Folder()
		_, starters = routine.CopyStarters(o.Dir)
	}
	win, err := newWindow(a)
	if err != nil {
		return err
	}
	ticks := time.NewTicker(tickSession)
	defer ticks.Stop()
	disk := newWriter()
	folder := filepath.Dir(settingsFile())
	diary := journalfile.New(journalfile.Path(folder), time.Now, filepath.Join(xdg.StateHome, "footing"), filepath.Join(xdg.CacheHome, "footing"))
	w := open(a, win, parts{
		renderer: renderer,
		audible:  out.Heard,
		out:      out,
		devices:  speaker.Devices,
		clock:    time.Now,
		journal:  diary,
		dir:      o.Dir,
		pages:    xdg.UserDirs.Documents,
		music:    xdg.UserDirs.Music,
		memory:   kept,
		do:       fyne.Do,
		work:     disk.add,
		quit:     a.Driver().Quit,
		release:  giveBack,
		ticks:    ticks.C,
	}, o.File)
	if starters != nil {
		w.notify(noticeSave, draw.NoticeModel{Text: starters.Error(), Warm: true})
	}
	if said != nil {
		w.notify(noticeSettings, draw.NoticeModel{Text: said.Error(), Warm: true})
	}
	select {
	case <-scanned: // by far the usual case: all else has taken longer
	case <-time.After(patience):
	}
	w.win.SetMaster()
	w.win.Show()
	w.remember()

	if o.EveryFrame != nil {
		w.repaintEveryFrame(o.EveryFrame)
	}
	writing, written := context.WithCancel(context.Background())
	defer written()
	go disk.run(writing)
	go kept.Run(writing, time.After)
	go diary.Run(writing, time.After)
	w.run(ctx)
	return w.close(time.After(patience))
}

// patience is how long the end of the window waits for a disk that is slow.
const patience = 10 * time.Second

// openWhen opens the sound device when the window is up: both are slow, and
// nobody plays before there is something to see.
func openWhen(up, gone <-chan struct{}) speaker.Opener {
	return func(src io.Reader, f speaker.Format) (speaker.Device, error) {
		select {
		case <-up:
			return speaker.System(src, f)
		case <-gone:
			return nil, errors.New("the window is closed")
		}
	}
}

// run shows the window until it is closed, ctx ends or a signal asks it to end.
func (w *Window) run(ctx context.Context) {
	following, stop := context.WithCancel(context.Background())
	var others sync.WaitGroup
	others.Go(func() { w.follower.follow(following) })
	closed := make(chan struct{})
	others.Go(func() {
		if awaitEnd(ctx, closed, beginnings(closed), make(chan os.Signal, 1)) {
			orderly(w.shut)
		}
	})
	w.app.Run()
	close(closed)
	stop()
	others.Wait()
}

// newWindow makes a window, or says why there can be none: without a screen
// Fyne's driver panics.
func newWindow(a fyne.App) (w fyne.Window, err error) {
	defer func() {
		if r := recover(); r != nil {
			w, err = nil, fmt.Errorf("no window can be opened (%v); a screen is needed, on Linux named by DISPLAY", r)
		}
	}()
	return a.NewWindow("Footing"), nil
}

// repaintEveryFrame is the reference that the window's processor time is
// measured against.
func (w *Window) repaintEveryFrame(painted func()) {
	(&fyne.Animation{
		Duration: time.Hour, RepeatCount: fyne.AnimationRepeatForever, Curve: fyne.AnimationLinear,
		Tick: func(float32) {
			w.stand.Object().Refresh()
			painted()
		},
	}).Start()
}
