package routines

import (
	"context"
	"path/filepath"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
	"footing/ladder/conduct/export"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
	"footing/ui/window/document"
)

// Options are what the view works with.
type Options struct {
	Dir    string // the player's folder
	Window fyne.Window
	// AtStand is the document at the Stand, in its latest version, and which of
	// its steps is played; nil for none.
	AtStand func() (d *document.Document, step int)
	// Change has a document, also the one at the Stand, take over another
	// version.
	Change func(d *document.Document, r ladder.Routine)
	// Save saves a document; done is called on the main goroutine when that is
	// over.
	Save func(d *document.Document, done func(error))
	// Open is called when the view goes on with a document, nil for none.
	Open func(d *document.Document)
	// Read calls read, which may wait for the disk, and then show on the main
	// goroutine.
	Read func(read, show func())
	// Export writes files on a goroutine of its own, until ctx ends; progress and then
	// done are called on the main goroutine. What was written is told with an error too.
	Export func(ctx context.Context, e Export, progress func(export.Progress), done func([]export.Made, error))
	// Out is the folder in which files are written, unless the player says another.
	Out string
	// Practise goes to the Stand with a step of a document.
	Practise func(d *document.Document, step int)
	// Begun goes to the notes of a document that was just made of a score, and is
	// saved.
	Begun func(d *document.Document)
	// Key is given the keys that no input has a use for; repeat is set while one
	// is held down.
	Key func(key string, repeat bool)
	// Changed is called when another routine, or file with a fault, may be open.
	Changed func()
	// Draft gives back, once, what [View.Draft] was when the program ended.
	Draft func(path string) Draft
	// Title is what the header says of the Stand.
	Title func() (name, sub, count string)
}

// View is the Routines view. All of it belongs to the main goroutine.
type View struct {
	o          Options
	entries    []routine.Entry
	desk       *desk
	filled     filled // what the form was filled with
	bad        *trouble
	opening    *opening         // a score on its way to a routine; nil while there is none
	exporting  *exporting       // the routine on its way into files; nil while it is not
	recipe     *recipe          // a step that is made from a pattern; nil while none is
	ordering   *ordering        // the order of the steps while it is chosen, else nil
	shelf      *notesfile.Shelf // of the scores that are drawn; belongs to what is read
	sketched   *sought          // what is drawn, or about to be
	stopSketch context.CancelFunc
	entered    bool   // the view was, and nothing was drawn since
	wanted     string // the file that is being read, to be opened
	draft      Draft  // of the desk, until its step is shown
	said       string
	warm       bool
	picking    *dialog.FileDialog // while a file is chosen
	folder     string             // where a file was opened last from elsewhere
	path       string             // of the document in the desk, as it was listed
	shown      document.State     // of the document in the desk

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
	order   *button // leads to the order of the steps, and says which it is
	written *button // writes it into files
	divider *canvas.Rectangle
	busy    bool // the view itself changes its widgets
}

// filled is a step of a desk.
type filled struct {
	desk *desk
	step int
}

// New makes the view; [View.Enter] fills it.
func New(o Options) *View {
	v := &View{o: o, shelf: &notesfile.Shelf{}}
	v.build()
	return v
}

// Object is what the window shows.
func (v *View) Object() fyne.CanvasObject { return v.root }

// Title is the file whose faults are shown, else the Stand's.
func (v *View) Title() (name, sub, count string) {
	if v.opening != nil && v.opening.path != "" {
		return filepath.Base(v.opening.path), "", ""
	}
	if v.bad != nil {
		return filepath.Base(v.bad.path), "cannot be practised yet", ""
	}
	return v.o.Title()
}

// Key takes an arrow key that no widget has the focus for: it leads into the
// list of the routines, or of the steps. While a score's part is chosen, arrows and
// Enter do that. All other keys mean nothing here.
func (v *View) Key(key string, repeat bool) bool {
	if v.opening != nil {
		v.opening.key(key, repeat)
		return true
	}
	switch fyne.KeyName(key) {
	case fyne.KeyUp, fyne.KeyDown, fyne.KeyLeft, fyne.KeyRight:
	default:
		return true
	}
	if v.o.Window.Canvas().Focused() != nil {
		return true
	}
	to := v.files
	if key == string(fyne.KeyRight) && v.desk != nil {
		to = v.steps
	}
	v.o.Window.Canvas().Focus(to)
	return true
}

// Enter reads the folder again, and shows what the Stand has done meanwhile.
// What is being edited stays.
func (v *View) Enter() {
	v.endSketch()
	v.sketched, v.entered = nil, true
	doc, step := v.o.AtStand()
	switch {
	case v.desk == nil && v.bad == nil && v.wanted == "" && doc != nil:
		v.use(newDesk(doc), step)
	case v.desk != nil:
		v.desk.follow()
		if v.desk.doc == doc && v.form.fault == nil && !v.desk.edited() {
			v.desk.step = min(step, len(v.desk.now.Steps)-1)
		}
	}
	v.show()
	v.list()
}

// Refresh shows what has become of the document.
func (v *View) Refresh() {
	if v.desk != nil && v.desk.doc.State() != v.shown {
		v.desk.follow()
		v.show()
		if path := v.desk.doc.Path(); path != v.path {
			v.path = path
			v.list() // it is kept in another file now
		}
	}
}

// Reopen goes on with another document in place of one.
func (v *View) Reopen(was, d *document.Document) {
	if v.desk == nil || v.desk.doc != was {
		return
	}
	v.form.left = nil
	v.form.mark(nil)
	v.use(newDesk(d), v.desk.step)
	v.show()
}

// use goes on with a desk, at a step.
func (v *View) use(d *desk, step int) {
	v.giveUp()
	v.endExport()
	v.said, v.bad, v.recipe, v.ordering, v.wanted, v.desk = "", nil, nil, nil, "", d
	if d == nil {
		v.o.Open(nil)
		return
	}
	d.step = max(0, min(step, len(d.now.Steps)-1))
	v.draft = Draft{}
	if path := d.doc.Path(); path != "" {
		v.draft = v.o.Draft(path)
	}
	if i := d.find(v.draft.Step); i >= 0 {
		d.step = i
	}
	v.o.Open(d.doc)
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
	on := func() { v.o.Practise(d.doc, d.step) }
	if d.changed() {
		v.store(on)
		return
	}
	on()
}

// fresh begins a new routine.
func (v *View) fresh() {
	v.leave(func() {
		v.use(newDesk(document.Begin(Fresh(), filepath.Join(v.o.Dir, document.FileName("new routine")))), 0)
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
		v.use(copied, 0)
		v.show()
	})
}
