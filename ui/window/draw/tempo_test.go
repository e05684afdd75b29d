package draw

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
)

// What stands under the tempo is turned on by a click and back by the other button; a
// click on the number types one. In no size does one lie on the other, or on what sounds.
func TestSettingsUnderTheTempo(t *testing.T) {
	app(t)
	var told []string
	w := NewTempo(func() { told = append(told, "type") }, func(id string, by int) { told = append(told, fmt.Sprint(id, by)) })
	m := TempoModel{
		Number: "64", TypeKey: "0–9", TapKey: "T", TapLabel: "tap", Sounding: "= 128 sounding", Pulse: "pulse doubled", Slots: "sixteenths",
		Turns: []Turn{{ID: "speak", Key: ";", Does: "spoken", On: true}, {ID: "hush", Key: "'", Does: "hush: half notes, then downbeats, then every other bar", On: true}},
	}
	w.Set(m)
	for _, size := range []fyne.Size{{Width: 607, Height: 74}, {Width: 607, Height: 126}, {Width: 860, Height: 98}, {Width: 860, Height: 240}} {
		show(t, w, size.Width, size.Height, size.Width/890)
		inside(t, &w.sc, w.Size())
		told = nil
		for _, at := range []any{turnOf("speak"), turnOf("hush"), "number"} {
			w.Tapped(&fyne.PointEvent{Position: w.sc.middle(at)})
			w.TappedSecondary(&fyne.PointEvent{Position: w.sc.middle(at)})
		}
		if got, want := fmt.Sprint(told), "[speak1 speak-1 hush1 hush-1 type]"; got != want {
			t.Errorf("at %v told is %s, want %s", size, got, want)
		}
		slots := find(t, &w.sc, "sixteenths")
		for _, r := range w.sc.regions {
			if _, turn := r.id.(turnOf); turn && slots.Position().X < r.x+r.w-1 && slots.Position().Y+slots.MinSize().Height*0.8 > r.y && slots.Position().Y < r.y {
				t.Errorf("at %v %v lies on what sounds", size, r.id)
			}
		}
	}
}
