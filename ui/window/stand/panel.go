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
	far     *draw.Far // over all but the verdict while it is shown
	divider *canvas.Rectangle
	edit    fyne.CanvasObject // the pencil's entry while it is written in
	tall    bool              // it takes the place of the knobs too
	noted   bool              // the lane has a staff
	root    *fyne.Container
}

// scaled is a widget that follows the size of the window.
type scaled interface {
	fyne.CanvasObject
	SetScale(float32)
}

func (p *panel) all() []scaled {
	return []scaled{p.ladder, p.tempo, p.passage, p.lane, p.knobs, p.status, p.pencil, p.notice, p.verdict, p.far}
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

// heights are those of the rows beside the verdicts, from top to bottom, and of
// the gaps under them, at the reference size.
type heights struct {
	above, passage, passageGap, laneGap, knobs, knobsGap, status, notice, below float32
}

var (
	plainHeights = heights{8, 78, 10, 12, 54, 10, statusHeight, 28, 4}
	// With notes all but the lane is closer together.
	notedHeights = heights{4, 72, 6, 9, 54, 7, 92, 28, 2}
)

// With notes the tempo is at least so high at the reference size, and the lane
// takes what it leaves, up to so much.
const (
	leastTempo = 98
	mostStaff  = 330
)

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
	put(p.far, 0, 0, size.Width, foot)
	put(p.divider, side, 0, 1, foot)

	x := side + px(30)
	w := size.Width - x - px(30)
	h := plainHeights
	if p.noted {
		h = notedHeights
	}
	fixed := px(h.above) + px(h.passage) + px(h.passageGap) + px(h.laneGap) + px(h.knobs) + px(h.knobsGap) + px(h.status) + px(h.notice) + px(h.below)
	spare := foot - fixed - px(172) - px(168)
	lane := px(172) + min(max(spare*0.5, 0), px(40))
	if p.noted {
		lane = min(foot-fixed-px(leastTempo), px(mostStaff))
	}
	tempo := foot - fixed - lane

	y := px(h.above)
	put(p.tempo, x, y, w, tempo)
	y += tempo
	put(p.passage, x, y, w, px(h.passage))
	y += px(h.passage + h.passageGap)
	put(p.lane, x, y, w, lane)
	y += lane + px(h.laneGap)
	put(p.knobs, x, y, w, px(h.knobs))
	y += px(h.knobs + h.knobsGap)
	pencil := min(max(w*0.37, px(300)), px(520))
	put(p.status, x, y, w-pencil-px(20), px(h.status))
	if p.edit != nil {
		pencil = w // while a note is written it has the whole row
	}
	top, height := y+px(4), px(h.status-14)
	if p.edit != nil && p.tall {
		top, height = y-px(h.knobs+h.knobsGap), height+px(h.knobs+h.knobsGap+4)
	}
	put(p.pencil, x+w-pencil, top, pencil, height)
	if p.edit != nil {
		inset := px(draw.PencilInset)
		put(p.edit, x+w-pencil+inset-px(8), top+2, pencil-inset, height-4)
	}
	y += px(h.status)
	put(p.notice, x, y-px(6), w, px(h.notice+2*6)) // as high as two lines
}
