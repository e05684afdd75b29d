package passage

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ui/window/draw"
	"footing/ui/window/field"
)

// panel holds the drawn widgets of the view and places them.
type panel struct {
	above   *draw.Caption // what the chunk is
	cuts    *draw.Cuts    // the plan, where there is one
	notes   *canvas.Raster
	sheet   *draw.Sheet   // over the notes
	below   *draw.Caption // the note under the cursor
	actions *draw.Actions
	hands   *draw.Hands       // under the notes, where a change is pictured
	beats   *draw.Shares      // there, where any beat was practised
	entry   fyne.CanvasObject // in place of below while a mark is written
	root    *fyne.Container
	scale   float32
	laid    func() // the sheet may have another size

	pictured func() bool
}

func (p *panel) build() {
	p.root = &fyne.Container{Layout: p, Objects: []fyne.CanvasObject{p.notes, p.sheet, p.above, p.hands, p.below, p.actions, p.cuts, p.beats}}
}

// MinSize is a point: the window's own layout decides.
func (p *panel) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(1, 1) }

// header is the height of the window's header at the reference size.
const header = 64

// Layout places everything; the notes begin and end on whole pixels of the
// screen.
func (p *panel) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	p.scale = max(min(size.Width/draw.Reference.Width, size.Height/(draw.Reference.Height-header)), 0.5)
	px := func(v float32) float32 { return v * p.scale }
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	p.above.SetScale(p.scale)
	p.sheet.SetScale(p.scale)
	p.below.SetScale(p.scale)
	p.actions.SetScale(p.scale)
	bar, line := max(px(88), 62), max(px(46), 38)
	foot := size.Height - bar - line
	low := foot // where the notes end
	p.hands.SetScale(p.scale)
	if p.pictured() {
		p.hands.Show()
		low -= max(px(150), 122)
		put(p.hands, 0, low, size.Width, foot-low)
	} else {
		p.hands.Hide()
	}
	p.beats.SetScale(p.scale)
	if p.beats.Visible() {
		row := max(px(104), 88)
		low -= row
		put(p.beats, px(28), low, size.Width-2*px(28), row-px(4))
	}
	put(p.above, 0, 0, size.Width, line)
	top := line // where the notes begin
	p.cuts.SetScale(p.scale)
	if p.cuts.Visible() {
		row := max(px(40), 32)
		put(p.cuts, 0, top, size.Width, row)
		top += row
	}
	device, at := float32(1), fyne.Position{}
	driver := fyne.CurrentApp().Driver()
	if c := driver.CanvasForObject(p.root); c != nil {
		device, at = c.Scale(), driver.AbsolutePositionForObject(p.root)
	}
	ceil := func(v float32) float32 { return float32(math.Ceil(float64(v*device)-1e-3)) / device }
	x, y := ceil(at.X)-at.X, ceil(at.Y+top)-at.Y
	w, h := ceil(size.Width-x-1/device), ceil(low-y-1/device)
	put(p.notes, x, y, w, h)
	put(p.sheet, x, y, w, h)
	put(p.below, 0, foot, size.Width, line)
	put(p.actions, 0, size.Height-bar, size.Width, bar)
	if p.entry != nil {
		field.Place(p.entry, px(28), foot, size.Width-2*px(28), line)
	}
	p.laid()
}
