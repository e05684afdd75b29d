// Package passage is the Passage view: the step's notes in systems, the chunk
// bracketed and set on them, and the player's marks.
package passage

import (
	"reflect"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/fingers"
	"footing/ladder/notes"
	"footing/ui/engrave/paint"
	"footing/ui/window/draw"
	"footing/ui/window/finder"
	"footing/ui/window/keys"
)

// Desk is the session whose step is shown. Its methods may be called from the
// main goroutine at any time and do not block for long.
type Desk interface {
	View() conduct.View
	Do(ladder.Event)
	Change(edit func(ladder.Step) ladder.Step) []ladder.Fault
}

// Options are what the view works with.
type Options struct {
	Desk Desk
	Keys *keys.Map
	// Path is the file of the routine that is practised.
	Path func() string
	// Read has read done where files may be waited for, one after the other, and
	// then show on the main goroutine.
	Read func(read, show func())
	// Charts reads the fingering charts; nil for none. It may be called where files may
	// be waited for.
	Charts func() (*fingers.Library, error)
	// Fingers is how much of the fingers is shown, KeepFingers changes and keeps it.
	Fingers     func() FingersShown
	KeepFingers func(FingersShown)
	// Beats is how far each beat of a step has come, by the journal; nil for nothing. It
	// is called where files may be waited for.
	Beats func(ladder.Step) draw.SharesModel
	// Practise goes to the Stand.
	Practise func()
	// Title is what the header says.
	Title func() (name, sub, count string)
	// ChunkWords names the chunk.
	ChunkWords func(ladder.Step) string
}

// View is the view. All of it belongs to the main goroutine.
type View struct {
	o Options
	p *panel

	finder finder.Finder
	of     noteOf       // the first note of the step that is shown
	found  *notes.Notes // nil where there are none to show
	fault  error        // why not; nil where the step has none, too

	painter *paint.Painter
	still   *paint.Still
	sheet   *sheet // the notes laid out; nil while there is nothing to show
	page    int

	cursor int          // a note, by its index in found.All
	chunk  ladder.Chunk // that the cursor has followed
	drag   *[2]int      // notes, while the mouse is dragged from the one to the other
	shown  ladder.Step  // when all was shown last
	said   string       // what kept the last action from being done
	told   string       // what the last action did
	entry  *markEntry   // while a mark is written
	own    noteOf       // the step whose own plan the player was asked about
	hands  hands
	beats  beats
}

// New makes the view.
func New(o Options) *View {
	v := &View{o: o, finder: finder.Finder{Path: o.Path, Read: o.Read}}
	v.hands.charts = finder.Charts{Load: o.Charts, Read: o.Read}
	if painter, err := paint.New(); err != nil {
		v.fault = err
	} else {
		v.painter, v.still = painter, paint.NewStill(painter)
	}
	v.p = &panel{
		above: draw.NewCaption(), below: draw.NewCaption(), actions: draw.NewActions(v.press),
		notes: canvas.NewRaster(v.image), laid: v.relay, hands: draw.NewHands(), pictured: v.pictured,
		cuts: draw.NewCuts(v.toCut), beats: draw.NewShares(),
		sheet: draw.NewSheet(draw.SheetActions{Tap: v.tap, Drag: v.dragged, Turn: v.turn}),
	}
	v.p.cuts.Hide()
	v.p.beats.Hide()
	v.p.build()
	return v
}

// Object is what the window shows.
func (v *View) Object() fyne.CanvasObject { return v.p.root }

// Title is what the header says.
func (v *View) Title() (name, sub, count string) { return v.o.Title() }

// Enter looks the notes up again where they come from a file, which may have
// been changed, and puts the cursor on the chunk.
func (v *View) Enter() {
	v.said, v.told, v.chunk = "", "", ladder.Chunk{}
	v.hands.entered++
	if v.fault != nil || v.step().Notes.Score.File != "" {
		v.finder.Forget()
	}
	v.askBeats()
	v.Refresh()
	v.show()
}

// Refresh shows the step as it is now. Only what differs is repainted.
func (v *View) Refresh() {
	if v.painter != nil {
		v.find()
	}
	v.follow()
	if step := v.step(); !reflect.DeepEqual(step, v.shown) {
		v.show()
	}
}

// Leave keeps the mark that is being written, gives up a search, and forgets the
// picture of the notes. It touches no widget.
func (v *View) Leave() error {
	v.finder.GiveUp()
	if v.entry != nil {
		_ = v.keep(v.entry)
	}
	if v.still != nil {
		v.still.Forget()
	}
	return nil
}

// Recolour follows the palette.
func (v *View) Recolour() {
	v.p.notes.Refresh()
	v.show()
}

func (v *View) step() ladder.Step { return v.o.Desk.View().State.Step() }

// change edits the step; what the edit would break is said in one line.
func (v *View) change(edit func(ladder.Step) ladder.Step) {
	v.said, v.told = "", ""
	if faults := v.o.Desk.Change(edit); len(faults) > 0 {
		v.said = faults[0].Error()
	}
	v.Refresh()
	v.show()
}
