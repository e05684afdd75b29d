package window

import (
	"errors"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ui/window/keys"
	"footing/ui/window/look"
)

// page is a view that only says what it was asked.
type page struct {
	object                           fyne.CanvasObject
	entered, left, recoloured, shown int
	keys                             string
	takes                            bool
}

func (p *page) Object() fyne.CanvasObject      { return p.object }
func (p *page) Title() (a, b, c string)        { return "A page", "", "" }
func (p *page) Key(key string, held bool) bool { p.keys += key; return p.takes }
func (p *page) Enter()                         { p.entered++ }
func (p *page) Refresh()                       { p.shown++ }
func (p *page) Leave() error                   { p.left++; return errors.New("half a word stays") }
func (p *page) Recolour()                      { p.recoloured++ }

// A further view is reached, given keys, left and recoloured like the others.
func TestAViewIsOneLineInTheList(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	p := &page{object: canvas.NewRectangle(nil)}
	made := 0
	r.tabs = append(r.tabs, newTab("Page", "a page", "F8", func() view { made++; return p }))
	r.keys = keys.NewMap(tabKeys(r.tabs)...)

	r.press("F8", "x")
	if r.root.view != "page" || p.entered != 1 || p.keys != "x" {
		t.Fatalf("F8 leads to %q, which was entered %d times and given %q", r.root.view, p.entered, p.keys)
	}
	if got := r.root.body(); got != p.object {
		t.Error("it is not what is shown")
	}
	r.press("Space")
	if p.keys != "x" || !r.root.unseen() && r.root.view == "page" {
		t.Errorf("Space is the click's, wherever it is pressed; the view was given %q, and %q is shown", p.keys, r.root.view)
	}
	r.press("Space", "F8")
	chunk := r.view().State.Step().Chunk.Length
	p.takes = true
	if r.press("]"); r.view().State.Step().Chunk.Length != chunk {
		t.Error("a key that the view took went to the Stand too")
	}
	p.takes = false
	if r.press("]"); r.view().State.Step().Chunk.Length == chunk {
		t.Error("a key that the view has no use for did not go to the Stand")
	}
	r.setPalette(look.ChooseNight)
	r.press("Escape")
	if r.root.view != viewStand || p.left == 0 || p.recoloured != 1 || made != 1 {
		t.Errorf("Escape leads to %q; the view was made %d times, left %d times, recoloured %d times", r.root.view, made, p.left, p.recoloured)
	}
	if fault := r.take(); fault == nil {
		t.Error("what the view cannot have taken over is not told at the end")
	}
}

func TestEveryViewHasAKeyOfItsOwn(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	seen := map[string]viewID{}
	for _, p := range r.tabs {
		key := r.keys.Keys(keys.Action(p.id))
		if len(key) == 0 || seen[key[0]] != "" {
			t.Errorf("the view %q has the keys %v, of which the first leads to %q", p.id, key, seen[key[0]])
			continue
		}
		seen[key[0]] = p.id
		if r.press(key[0]); r.root.view != p.id {
			t.Errorf("%s leads to %q, want %q", key[0], r.root.view, p.id)
		}
	}
}
