package journal

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ui/window/draw"
	"footing/ui/window/field"
	"footing/ui/window/look"
)

// panel holds the drawn widgets of the view and places them.
type panel struct {
	due     *draw.Due
	minutes *draw.Minutes
	days    *draw.Days
	shares  *draw.Shares
	log     *draw.Log
	below   *draw.Caption // why here, and what the keys do
	actions *draw.Actions
	divider *canvas.Rectangle
	entry   fyne.CanvasObject // in place of below while something is looked for
	root    *fyne.Container
}

func (p *panel) build() {
	p.divider = canvas.NewRectangle(look.Current().Hair)
	p.root = &fyne.Container{Layout: p, Objects: []fyne.CanvasObject{
		p.divider, p.due, p.minutes, p.days, p.shares, p.log, p.below, p.actions,
	}}
}

// MinSize is a point: the window's own layout decides.
func (p *panel) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(1, 1) }

// header is the height of the window's header at the reference size.
const header = 64

// Layout places everything. What the window has to spare in height goes to the
// graph.
func (p *panel) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	k := max(min(size.Width/draw.Reference.Width, size.Height/(draw.Reference.Height-header)), 0.5)
	px := func(v float32) float32 { return v * k }
	put := func(o interface {
		fyne.CanvasObject
		SetScale(float32)
	}, x, y, w, h float32) {
		o.SetScale(k)
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(w, h))
	}
	bar, line := max(px(88), 62), max(px(42), 34)
	foot := size.Height - bar - line
	side, minutes := px(330), max(px(168), 128)
	put(p.due, 0, 0, side, foot-minutes)
	put(p.minutes, 0, foot-minutes, side, minutes)
	x := side + px(30)
	w := size.Width - x - px(28)
	shares, log := max(px(112), 96), max(px(120), 98)
	graph := foot - shares - log - px(24)
	put(p.days, x, px(4), w, graph)
	put(p.shares, x, px(12)+graph, w, shares)
	put(p.log, x, px(20)+graph+shares, w, log)
	put(p.below, 0, foot, size.Width, line)
	put(p.actions, 0, size.Height-bar, size.Width, bar)
	p.divider.Move(fyne.NewPos(side, 0))
	p.divider.Resize(fyne.NewSize(1, foot))
	if p.entry != nil {
		field.Place(p.entry, px(28), foot, size.Width-2*px(28), line)
	}
}
