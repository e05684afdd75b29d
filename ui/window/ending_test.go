package window

import (
	"testing"

	"fyne.io/fyne/v2/app"
)

// Nothing is left for Fyne to do when its loop has ended: it might wait for it
// for good.
func TestNothingIsWaitedForAfterTheLoop(t *testing.T) {
	a := app.NewWithID("footing.test")
	stopped := func() func() {
		l, ok := a.Lifecycle().(interface{ OnStopped() func() })
		if !ok {
			t.Fatal("Fyne's lifecycle has no such hook any more: see endsForSure")
		}
		return l.OnStopped()
	}
	if stopped() == nil {
		t.Fatal("Fyne leaves nothing to do any more: endsForSure can go")
	}
	endsForSure(a)
	if stopped() != nil {
		t.Error("Fyne still has something to do after its loop")
	}
}
