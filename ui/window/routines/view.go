package routines

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"

	"footing/files"
	"footing/ladder"
	"footing/ladder/routine"
)

// Options are what the view works with.
type Options struct {
	Dir    string // the player's folder
	Window fyne.Window
	// Practising is the routine at the Stand: its file, empty while it has none,
	// how it stands there, and which of its steps is played.
	Practising func() (path string, r ladder.Routine, step int)
	// Apply takes an edited version of the routine at the Stand over, and saves
	// it.
	Apply func(ladder.Routine) error
	// Practise goes to the Stand with another routine. place is where one that
	// is new will have its file.
	Practise func(f *routine.File, place string, step int)
	// Key is given the keys that no input has a use for; repeat is set while one
	// is held down.
	Key func(key string, repeat bool)
	// Changed is called when another routine, or file with a fault, may be open.
	Changed func()
	// Step goes to the Stand with a step of the routine that is there already.
	Step func(step int)
}

// View is the Routines view. All of it belongs to the main goroutine.
type View struct {
	o       Options
	entries []routine.Entry
	desk    *desk
	filled  filled // what the form was filled with
	bad     *trouble
	said    string
	warm    bool

	root    *fyne.Container
	files   *list
	steps   *list
	form    *form
	name    *entry
	line    *widget.Label
	detail  *fyne.Container // the editor, or what is wrong with the file
	editor  fyne.CanvasObject
	save    *button
	copied  *button // makes another routine like the one that is open
	divider *canvas.Rectangle
	busy    bool // the view itself changes its widgets
}

// filled is a step of a desk.
type filled struct {
	desk *desk
	step int
}

// trouble is a file that can not be read.
type trouble struct {
	path string
	err  error
	data []byte
}

// New makes the view.
func New(o Options) *View {
	v := &View{o: o}
	v.build()
	v.Refresh()
	return v
}

// Object is what the window shows.
func (v *View) Object() fyne.CanvasObject { return v.root }

// Fault is the name of the file whose faults are shown, or empty.
func (v *View) Fault() string {
	if v.bad == nil {
		return ""
	}
	return filepath.Base(v.bad.path)
}

// Arrow takes an arrow key that no widget has the focus for: it leads into the
// list of the routines, or of the steps.
func (v *View) Arrow(key string) {
	to := v.files
	if key == string(fyne.KeyRight) && v.desk != nil {
		to = v.steps
	}
	v.o.Window.Canvas().Focus(to)
}

// Refresh reads the folder again. What is being edited stays.
func (v *View) Refresh() {
	v.list()
	path, r, step := v.o.Practising()
	if v.desk == nil && v.bad == nil || v.desk != nil && v.desk.path() == path && !v.desk.changed() && v.form.fault == nil {
		v.openAt(path, r, step)
	}
	v.show()
}

// list reads the player's folder, and adds what is open from elsewhere.
func (v *View) list() {
	v.entries, _ = routine.List(v.o.Dir)
	add := func(path string) {
		if path == "" || slices.ContainsFunc(v.entries, func(e routine.Entry) bool { return e.Path == path }) {
			return
		}
		e := routine.Entry{Path: path, Name: filepath.Base(path)}
		f, err := routine.Load(path)
		if e.Err = err; err == nil {
			e.Name = f.Routine().Name
		}
		v.entries = append([]routine.Entry{e}, v.entries...)
	}
	path, _, _ := v.o.Practising()
	add(path)
	if v.desk != nil && v.desk.place == "" {
		add(v.desk.path())
	}
	if v.bad != nil {
		add(v.bad.path)
	}
}

// Trouble shows what is wrong with a file, which is left alone.
func (v *View) Trouble(path string, err error) {
	data, _ := readSome(path)
	v.desk, v.bad, v.said = nil, &trouble{path, err, data}, ""
	v.list()
	v.show()
}

// readSome is the beginning of a file, as much as a routine may be long.
func readSome(path string) ([]byte, error) {
	data, _, err := files.Read(context.Background(), path, routine.MaxBytes)
	return data, err
}

// openAt opens a file. The routine at the Stand is shown as it stands there, at
// the step that is played.
func (v *View) openAt(path string, atStand ladder.Routine, step int) {
	v.said, v.bad = "", nil
	if path == "" {
		v.desk = nil
		return
	}
	f, err := routine.Load(path)
	if err != nil {
		v.Trouble(path, err)
		return
	}
	v.desk = &desk{file: f, now: f.Routine()}
	if current, _, _ := v.o.Practising(); current == path && len(atStand.Steps) > 0 {
		v.desk.now, v.desk.step = atStand, max(0, min(step, len(atStand.Steps)-1))
	}
}

// open opens a file of the list, or from elsewhere.
func (v *View) open(path string) {
	if v.desk != nil && v.desk.path() == path || v.bad != nil && v.bad.path == path {
		return
	}
	v.leave(func() {
		_, r, step := v.o.Practising()
		v.openAt(path, r, step)
		v.list()
		v.show()
	})
}

// leave goes on when nothing is lost by it: what is not saved is saved first,
// and a new routine is told where.
func (v *View) leave(on func()) {
	d := v.desk
	if d == nil || !d.precious() && v.form.fault == nil {
		on()
		return
	}
	isNew := d.place != ""
	if !v.store() {
		v.show()
		return
	}
	on()
	if isNew {
		v.say(fmt.Sprintf("“%s” is saved in %s", d.now.Name, v.shortPath(d.path())), false)
	}
}

// Keep saves what is edited without asking anything, for another view. What can
// not be saved stays open here, and the view says why.
func (v *View) Keep() error {
	d := v.desk
	if d == nil || !d.precious() && v.form.fault == nil {
		return nil
	}
	err := v.write()
	if err != nil {
		v.say(err.Error(), true)
		return err
	}
	v.list()
	v.say("saved", false)
	return nil
}

// Say shows one line of warning.
func (v *View) Say(text string) { v.say(text, true) }

// Last saves what is edited for good: where another has changed the file, in
// one beside it.
func (v *View) Last() error {
	err := v.Keep()
	if !errors.Is(err, routine.ErrChanged) {
		return err
	}
	if current, _, _ := v.o.Practising(); current == v.desk.path() {
		return nil // the Stand has taken it over, and keeps it
	}
	if _, err = v.desk.file.SaveCopy(); err == nil {
		v.desk.owed = false
	}
	return err
}

// store saves what is edited and reports whether that went well.
func (v *View) store() bool {
	if v.desk == nil {
		return true
	}
	switch err := v.write(); {
	case errors.Is(err, routine.ErrChanged):
		v.conflict()
		return false
	case err != nil:
		v.say(err.Error(), true)
		return false
	}
	v.list()
	v.say("saved", false)
	return true
}

// write saves what is edited.
func (v *View) write() error {
	d := v.desk
	if bad := v.form.fault; bad != nil {
		return fmt.Errorf("not saved: %s: %s", bad.field, bad.text)
	}
	d.owed = true
	err := d.file.Set(d.now)
	if err == nil {
		switch current, _, _ := v.o.Practising(); {
		case d.place != "":
			if err = SaveNew(d.file, d.place); err == nil {
				d.place = ""
			}
		case current == d.path():
			if err = v.o.Apply(d.now); err == nil {
				var f *routine.File
				if f, err = routine.Load(d.path()); err == nil {
					d.file = f
				}
			}
		default:
			err = d.file.Save()
		}
	}
	d.owed = err != nil
	return err
}

// conflict asks which version to go on with when another window or program has
// written the file; whatever is chosen, nothing is lost unasked.
func (v *View) conflict() {
	d := v.desk
	both := widget.NewButton("Keep both", nil)
	theirs := widget.NewButton("Take theirs", nil)
	pop := dialog.NewCustomWithoutButtons("This routine was changed elsewhere",
		container.NewVBox(
			widget.NewLabel("“Keep both” saves yours in a file beside it. “Take theirs” drops your edits."),
			container.NewHBox(both, theirs)), v.o.Window)
	both.OnTapped = func() {
		pop.Hide()
		if path, err := d.file.SaveCopy(); err != nil {
			v.say(err.Error(), true)
		} else {
			d.owed = false
			v.say("yours is kept in "+filepath.Base(path), false)
		}
		v.list()
		v.show()
	}
	theirs.OnTapped = func() {
		pop.Hide()
		path := d.path()
		v.desk = nil
		v.openAt(path, ladder.Routine{}, 0)
		v.show()
	}
	pop.Show()
}

func (v *View) say(text string, warm bool) {
	v.said, v.warm = text, warm
	v.show()
}

// practise goes to the Stand with the step in hand.
func (v *View) practise() {
	d := v.desk
	if d == nil || v.form.fault != nil {
		return
	}
	if d.changed() && !v.store() {
		return
	}
	if current, _, _ := v.o.Practising(); current == d.path() && current != "" {
		v.o.Step(d.step)
		return
	}
	v.o.Practise(d.file, d.place, d.step)
	v.desk = nil
}

// fresh begins a new routine.
func (v *View) fresh() {
	v.leave(func() {
		f := Fresh()
		v.bad, v.said = nil, ""
		v.desk = &desk{file: f, place: filepath.Join(v.o.Dir, FileName("new routine")), blank: true, now: f.Routine()}
		v.show()
	})
}

// duplicate begins a new routine like the one in hand.
func (v *View) duplicate() {
	if v.desk == nil || v.form.fault != nil {
		return
	}
	v.leave(func() {
		copied, err := v.desk.duplicate(v.o.Dir)
		if err != nil {
			v.say(err.Error(), true)
			return
		}
		v.desk, v.said = copied, ""
		v.show()
	})
}

// elsewhere opens a file outside the player's folder.
func (v *View) elsewhere() {
	pick := dialog.NewFileOpen(func(r fyne.URIReadCloser, err error) {
		if err != nil || r == nil {
			return
		}
		path := r.URI().Path()
		_ = r.Close()
		v.open(path)
	}, v.o.Window)
	pick.SetFilter(storage.NewExtensionFileFilter([]string{".yaml", ".yml"}))
	if uri, err := storage.ListerForURI(storage.NewFileURI(v.o.Dir)); err == nil {
		pick.SetLocation(uri)
	}
	pick.Show()
}

// SaveShortcut is Control and S, or the platform's own.
func SaveShortcut() fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierShortcutDefault}
}

// Save saves what is edited.
func (v *View) Save() {
	if v.desk != nil && v.desk.changed() {
		v.store()
	}
}
