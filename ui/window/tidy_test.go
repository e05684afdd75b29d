package window

import (
	"testing"
	"time"
)

// Memory is given back in a rest, once at once and once after a repaint, and not
// while anything happens.
func TestMemoryIsGivenBackAtRest(t *testing.T) {
	start := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	tests := []struct {
		name    string
		signs   func(second int) uint64
		running func(second int) bool
		want    map[int]chore
	}{
		{"nothing happens", func(int) uint64 { return 0 }, func(int) bool { return false }, map[int]chore{15: release, 70: repaint, 71: release}},
		{"the click runs", func(int) uint64 { return 0 }, func(int) bool { return true }, nil},
		{"the click stops", func(int) uint64 { return 0 }, func(s int) bool { return s < 100 }, map[int]chore{114: release, 169: repaint, 170: release}},
		{"a key every ten seconds", func(s int) uint64 { return uint64(s / 10) }, func(int) bool { return false }, nil},
		{"a key after a rest", func(s int) uint64 { return uint64(s / 100) }, func(int) bool { return false },
			map[int]chore{15: release, 70: repaint, 71: release, 115: release, 170: repaint, 171: release, 215: release, 270: repaint, 271: release}},
		{"a key between two of them", func(s int) uint64 { return min(uint64(s/71), 1) }, func(int) bool { return false },
			map[int]chore{15: release, 70: repaint, 86: release, 141: repaint, 142: release}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var tidy tidy
			for s := range 300 {
				if got := tidy.see(start.Add(time.Duration(s)*time.Second), tt.signs(s), tt.running(s)); got != tt.want[s] {
					t.Errorf("after %d s it is time for %d, want %d", s, got, tt.want[s])
				}
			}
		})
	}
}

// What the player does, in whatever view, is a sign of life.
func TestWindowGivesMemoryBack(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	for i, does := range []func(){
		func() {},
		func() { r.press("p") },
		func() { r.press("F3") },
		func() { r.resize(1000, 700) },
		func() { r.press("Escape") },
	} {
		does()
		r.wait(75 * time.Second)
		if r.freed != 2*(i+1) {
			t.Fatalf("after %d rests memory was given back %d times", i+1, r.freed)
		}
	}
	r.press("Return", "Space")
	if !r.view().State.Running {
		t.Fatal("the click does not run")
	}
	r.wait(150 * time.Second)
	if r.freed != 10 {
		t.Error("memory is given back while the click runs")
	}
}

func TestGivingBackDoesNoHarm(t *testing.T) {
	kept := make([]byte, 1<<20)
	for i := range kept {
		kept[i] = byte(i)
	}
	giveBack()
	for i, b := range kept {
		if b != byte(i) {
			t.Fatal("memory in use was given back")
		}
	}
}
