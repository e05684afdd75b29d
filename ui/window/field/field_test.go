package field

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
)

// How a field ends, what is said of it, and that it is gone from the view then.
func TestEnds(t *testing.T) {
	key := func(name fyne.KeyName) func(*Entry) {
		return func(e *Entry) { e.TypedKey(&fyne.KeyEvent{Name: name}) }
	}
	for _, tt := range []struct {
		name string
		end  func(*Entry)
		want []bool
	}{
		{"Enter", key(fyne.KeyReturn), []bool{true}},
		{"Enter of the number pad", key(fyne.KeyEnter), []bool{true}},
		{"Escape", key(fyne.KeyEscape), []bool{false}},
		{"a click elsewhere", func(e *Entry) { fyne.CurrentApp().Driver().CanvasForObject(e).Unfocus() }, []bool{true}},
		{"any other key", key(fyne.KeyLeft), nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			test.NewTempApp(t)
			root := container.NewStack(widget.NewLabel("under it"))
			w := test.NewTempWindow(t, root)
			var ends []bool
			var e *Entry
			e = New("whisper key", "a word", func(keep bool) {
				if e == nil {
					return // it was closed
				}
				shut := e
				e, ends = nil, append(ends, keep)
				Close(root, shut)
			})
			open := e
			Open(root, e)
			if w.Canvas().Focused() != fyne.Focusable(open) || !slices.Contains(root.Objects, fyne.CanvasObject(open)) || open.Size().IsZero() {
				t.Fatal("the field is not open, with a size and the focus")
			}
			tt.end(open)
			if !slices.Equal(ends, tt.want) {
				t.Errorf("it ended as %v, want %v", ends, tt.want)
			}
			if shut := len(tt.want) > 0; shut == slices.Contains(root.Objects, fyne.CanvasObject(open)) {
				t.Errorf("shut: %v; the view holds %v", shut, root.Objects)
			}
			if len(tt.want) > 0 && w.Canvas().Focused() != nil {
				t.Error("it has the focus still")
			}
		})
	}
}

// A field that needs more height than the line has grows upwards, and is clear of what
// stands under it.
func TestPlace(t *testing.T) {
	test.NewTempApp(t)
	e := New("", "", func(bool) {})
	for _, height := range []float32{10, 34, 80} {
		Place(e, 20, 500, 300, height)
		at, size := e.Position(), e.Size()
		if at.X != 20 || size.Width != 300 || size.Height < e.MinSize().Height || size.Height < height-3 || at.Y+size.Height != 500+height-3 {
			t.Errorf("in a line of %v it lies at %v, %v", height, at, size)
		}
	}
}

// What does not fit is cut from what was typed or pasted, never from what stood
// there.
func TestFit(t *testing.T) {
	test.NewTempApp(t)
	e := New("abc", "", func(bool) {})
	e.Fit(func(s string) string {
		s = strings.ReplaceAll(s, "\n", " ")
		return s[:min(len(s), 6)]
	})
	e.SetText("a1\n2345bc")
	if e.Text != "a1 2bc" {
		t.Errorf("the text is %q", e.Text)
	}
}
