package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"footing/ui/window/look"
)

// Reference is the window size that all measures in this package are made for;
// they scale with the window.
var Reference = fyne.NewSize(1200, 780)

// canvasWidget is a widget that paints itself into a scene. Its least size is
// constant, so that a repaint never starts a layout.
type canvasWidget struct {
	widget.BaseWidget
	sc    scene
	scale float32
	paint func(*scene, fyne.Size, *look.Palette)
}

// init makes w, which embeds c, a Fyne widget.
func (c *canvasWidget) init(w fyne.Widget, paint func(*scene, fyne.Size, *look.Palette)) {
	c.scale, c.paint = 1, paint
	c.ExtendBaseWidget(w)
}

// SetScale makes everything in the widget s times as large as at [Reference].
func (c *canvasWidget) SetScale(s float32) {
	if c.scale == s {
		return
	}
	c.scale = s
	c.redraw()
}

// px is a length at the reference size.
func (c *canvasWidget) px(v float32) float32 { return v * c.scale }

// font is a font size at the reference size, never smaller than least.
func (c *canvasWidget) font(v, least float32) float32 { return max(v*c.scale, least) }

// redraw paints the widget anew; only leaves that changed reach the screen.
func (c *canvasWidget) redraw() {
	size := c.Size()
	if size.Width <= 0 || size.Height <= 0 {
		return
	}
	p := look.Current()
	c.sc.draw(func(s *scene) { c.paint(s, size, p) })
}

// MinSize is a point: the window's own layout decides.
func (c *canvasWidget) MinSize() fyne.Size { return fyne.NewSize(1, 1) }

// CreateRenderer is for Fyne.
func (c *canvasWidget) CreateRenderer() fyne.WidgetRenderer { return &sceneRenderer{c: c} }

// sceneRenderer shows a scene. It holds no state of its own but the size it was
// laid out for, so that Fyne may drop and remake it.
type sceneRenderer struct {
	c    *canvasWidget
	size fyne.Size
}

func (r *sceneRenderer) Layout(size fyne.Size) {
	if size == r.size && len(r.c.sc.objects) > 0 {
		return
	}
	r.size = size
	r.c.redraw()
}

func (r *sceneRenderer) MinSize() fyne.Size { return fyne.NewSize(1, 1) }

func (r *sceneRenderer) Objects() []fyne.CanvasObject { return r.c.sc.objects }

func (r *sceneRenderer) Refresh() { r.c.redraw() }

func (r *sceneRenderer) Destroy() {}
