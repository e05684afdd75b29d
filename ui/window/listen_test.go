package window

import (
	"testing"

	"fyne.io/fyne/v2"
)

// desktopCanvas is the test driver's canvas with the key-down events of a
// desktop.
type desktopCanvas struct {
	fyne.Canvas
	down func(*fyne.KeyEvent)
}

func (c *desktopCanvas) SetOnKeyDown(f func(*fyne.KeyEvent)) { c.down = f }
func (c *desktopCanvas) SetOnKeyUp(func(*fyne.KeyEvent))     {}
func (c *desktopCanvas) OnKeyDown() func(*fyne.KeyEvent)     { return c.down }
func (c *desktopCanvas) OnKeyUp() func(*fyne.KeyEvent)       { return nil }

// Fyne's desktop driver sends a key-down only at the press, and what is typed
// at every repeat as well.
func TestAKeyThatIsHeldDownActsOnce(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	c := &desktopCanvas{Canvas: r.win.Canvas()}
	r.root.listen(c)
	named := func(name fyne.KeyName, presses int) {
		c.down(&fyne.KeyEvent{Name: name})
		for range presses {
			c.OnTypedKey()(&fyne.KeyEvent{Name: name})
		}
	}
	named(fyne.KeySpace, 4)
	if !r.view().State.Running {
		t.Error("a held space started and stopped the click")
	}
	named(fyne.KeySpace, 1)
	if r.view().State.Running {
		t.Error("the next press does not stop it")
	}
	named(fyne.KeyUp, 3)
	if got := r.view().State.Standing.Rung; got != 3 {
		t.Errorf("a held arrow led to rung %d, want 3", got)
	}
	// A letter comes as a key and as a character: it acts once.
	c.down(&fyne.KeyEvent{Name: fyne.KeyL})
	for range 4 {
		c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyL})
		c.OnTypedRune()('l')
	}
	if r.view().State.Step().Chunk.Landing {
		t.Error("one press of L left the landing on")
	}
}
