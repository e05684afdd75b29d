package window

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/audio/speaker"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/journal/journalfile"
	"footing/ui/window/look"
)

// rig is a window of the test driver on a real session, a real renderer and
// real files; time and sound pass only when they are told to.
type rig struct {
	*Window
	t      *testing.T
	now    time.Time
	out    testSpeaker
	disk   func(job func()) // does what waits for the disk
	played []ladder.Played
	file   *journalfile.File
	closed bool
	freed  int // times that memory was given back
}

// testSpeaker is a speaker that only remembers what it was told.
type testSpeaker struct {
	device         string
	level          float64
	buffer, offset time.Duration
	dry            uint64
	line           string // why there is no sound
}

func (s *testSpeaker) SetDevice(name string)     { s.device = name }
func (s *testSpeaker) SetLevel(dB float64)       { s.level = dB }
func (s *testSpeaker) SetBuffer(d time.Duration) { s.buffer = d }
func (s *testSpeaker) SetOffset(d time.Duration) { s.offset = d }
func (s *testSpeaker) Buffer() time.Duration     { return s.buffer }
func (s *testSpeaker) Delay() time.Duration      { return s.buffer + 13*time.Millisecond + s.offset }
func (s *testSpeaker) Underruns() uint64         { return s.dry }
func (s *testSpeaker) State() speaker.State {
	return speaker.State{Sounding: s.line == "", Line: s.line}
}

// slow has the disk wait until it is told to go on; it returns what does that.
func (r *rig) slow() (goOn func()) {
	w := newWriter()
	r.disk = w.add
	return w.drain
}

const runs = `footing: 1
name: Morning runs
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 17-20}
    tempo: {from: 64, goal: 104, step: 4 bpm}
    slots: 4
    pulse: doubled
    count: number
    chunk: {start: "18:2", beats: 2}
    pencil: whisper key off before the high A
  - name: Slow settling # found by ear
    passage: {piece: Weir Street March, bars: 21-24}
    tempo: {from: 50, goal: 80, step: marks}
    slots: 4
    rule: {name: settle, clean: 3}
`

func write(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func newRig(t *testing.T, dir, file string) *rig {
	t.Helper()
	app := test.NewTempApp(t)
	return newRigIn(t, app, dir, file)
}

func newRigIn(t *testing.T, app fyne.App, dir, file string) *rig {
	t.Helper()
	return newRigAt(t, app, dir, file, time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC))
}

func newRigAt(t *testing.T, app fyne.App, dir, file string, now time.Time) *rig {
	t.Helper()
	kit, err := timbre.Make(timbre.Names()[0], rate)
	if err != nil {
		t.Fatal(err)
	}
	r := &rig{t: t, now: now, disk: func(job func()) { job() }}
	r.file = journalfile.New(journalOf(t, app), func() time.Time { return r.now })
	renderer := click.NewRenderer(rate, &kit)
	app.Settings().SetTheme(look.New(look.ChooseDay))
	r.Window = open(app, app.NewWindow("Footing"), parts{
		renderer: renderer, audible: renderer.Frames,
		out:     &r.out,
		devices: func() []speaker.Name { return []speaker.Name{{ID: "plughw:CARD=Desk,DEV=0", Says: "Desk, line out"}} },
		clock:   func() time.Time { return r.now },
		record:  func(p ladder.Played) { r.played = append(r.played, p) },
		journal: r.file,
		pages:   filepath.Join(dir, "pages"),
		dir:     dir,
		music:   "Music",
		memory:  app.Preferences(),
		do:      func(f func()) { f() },
		work:    func(f func()) { r.disk(f) },
		aside:   func(f func()) { f() },
		quit:    func() { r.Window.win.Close() },
		release: func() { r.freed++ },
	}, file)
	r.Window.win.Show()
	r.Window.win.SetOnClosed(func() { r.closed = true })
	t.Cleanup(r.end)
	t.Cleanup(func() {
		if !r.closed {
			r.Window.win.Close()
		}
	})
	return r
}

// journalOf is where the journal of a rig's player lies, who is known by the app.
func journalOf(t *testing.T, app fyne.App) string {
	const key = "journal"
	path := app.Preferences().String(key)
	if path == "" {
		path = filepath.Join(t.TempDir(), "journal.db")
		app.Preferences().SetString(key, path)
	}
	return path
}

// resize gives the window a size, as a window manager would.
func (r *rig) resize(w, h float32) { r.win.Resize(fyne.NewSize(w, h)) }

// press types keys as the driver would: named ones, or characters.
func (r *rig) press(names ...string) {
	r.t.Helper()
	for _, name := range names {
		if len([]rune(name)) == 1 {
			r.win.Canvas().OnTypedRune()([]rune(name)[0])
			continue
		}
		r.win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyName(name)})
	}
}

// play lets beats at the tempo in force pass.
func (r *rig) play(beats float64) {
	r.t.Helper()
	frames := int(beats * 60_000 / float64(r.session.View().State.Standing.Tempo()) * rate)
	dst := make([]float32, 2*480)
	for range frames / 480 {
		r.renderer.Render(dst)
		r.now = r.now.Add(10 * time.Millisecond)
		if r.tick() {
			r.refresh()
		}
	}
}

// wait lets time pass in silence, with the follower looking now and then.
func (r *rig) wait(d time.Duration) {
	for end := r.now.Add(d); r.now.Before(end); {
		r.now = r.now.Add(250 * time.Millisecond)
		r.tick()
		r.second()
		r.file.Write(context.Background())
	}
}

func (r *rig) view() conduct.View { return r.session.View() }

func (r *rig) read(path string) string {
	r.t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		r.t.Fatal(err)
	}
	return string(data)
}
