// Package stand is the Stand: the view at which the player practises.
package stand

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ui/window/draw"
	"footing/ui/window/look"
)

// panel holds the drawn widgets of the Stand and places them.
type panel struct {
	ladder  *draw.Ladder
	tempo   *draw.Tempo
	passage *draw.Passage
	lane    *draw.Lane
	knobs   *draw.Knobs
	status  *draw.Status
	pencil  *draw.Pencil
	notice  *draw.Notice
	verdict *draw.Verdict
	divider *canvas.Rectangle
	edit    fyne.CanvasObject // the pencil's entry while it is written in
	tall    bool              // it takes the place of the knobs too
	root    *fyne.Container
}

// scaled is a widget that follows the size of the window.
type scaled interface {
	fyne.CanvasObject
	SetScale(float32)
}

func (p *panel) all() []scaled {
	return []scaled{p.ladder, p.tempo, p.passage, p.lane, p.knobs, p.status, p.pencil, p.notice, p.verdict}
}

// build puts the widgets into one flat container.
func (p *panel) build() {
	p.divider = canvas.NewRectangle(look.Current().Hair)
	objects := []fyne.CanvasObject{p.divider}
	for _, w := range p.all() {
		objects = append(objects, w)
	}
	p.root = &fyne.Container{Layout: p, Objects: objects}
}

// Least is the smallest size of the whole window at which everything is
// legible.
var Least = fyne.NewSize(900, 600)

// statusHeight is the height of the lines on the climb, and of the note beside
// them, at the reference size.
const statusHeight = 106

// HeaderHeight is the height of the window's header at the reference size.
const HeaderHeight = 64

// Scale is how much larger than the reference everything is drawn in a window
// of this size, header included.
func Scale(window fyne.Size) float32 {
	return max(min(window.Width/draw.Reference.Width, window.Height/draw.Reference.Height), 0.5)
}

// MinSize is the room that the Stand needs under the header.
func (p *panel) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(Least.Width, Least.Height-HeaderHeight*Scale(Least))
}

// Layout places everything. What the window has to spare in height goes to the
// lane and to the tempo.
func (p *panel) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	k := max(min(size.Width/draw.Reference.Width, size.Height/(draw.Reference.Height-HeaderHeight)), 0.5)
	px := func(v float32) float32 { return v * k }
	for _, w := range p.all() {
		w.SetScale(k)
	}
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}

	bar := max(px(88), 62)
	foot := size.Height - bar
	side := px(330)
	put(p.verdict, 0, foot, size.Width, bar)
	put(p.ladder, 0, 0, side, foot)
	put(p.divider, side, 0, 1, foot)

	x := side + px(30)
	w := size.Width - x - px(30)
	fixed := px(8) + px(78) + px(10) + px(12) + px(54) + px(10) + px(statusHeight) + px(28) + px(4)
	spare := foot - fixed - px(172) - px(168)
	lane := px(172) + min(max(spare*0.5, 0), px(40))
	tempo := foot - fixed - lane

	y := px(8)
	put(p.tempo, x, y, w, tempo)
	y += tempo
	put(p.passage, x, y, w, px(78))
	y += px(78 + 10)
	put(p.lane, x, y, w, lane)
	y += lane + px(12)
	put(p.knobs, x, y, w, px(54))
	y += px(54 + 10)
	pencil := min(max(w*0.37, px(300)), px(520))
	put(p.status, x, y, w-pencil-px(20), px(statusHeight))
	if p.edit != nil {
		pencil = w // while a note is written it has the whole row
	}
	top, height := y+px(4), px(statusHeight-14)
	if p.edit != nil && p.tall {
		top, height = y-px(54+10), height+px(54+10+4)
	}
	put(p.pencil, x+w-pencil, top, pencil, height)
	if p.edit != nil {
		inset := px(draw.PencilInset)
		put(p.edit, x+w-pencil+inset-px(8), top+2, pencil-inset, height-4)
	}
	y += px(statusHeight)
	put(p.notice, x, y-px(6), w, px(28+2*6)) // as high as two lines
}
