package window

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/speaker"
	"footing/ladder"
	"footing/ladder/passage"
	"footing/ui/window/draw"
	"footing/ui/window/output"
)

// The keys of the view set the level, its bound, what is held and how long the
// picture waits, for each device apart, and all of it is there at the next start.
func TestTheSoundDeviceIsSetByKeysAndRemembered(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	expect := func(what, device string, level float64, buffer, offset time.Duration) {
		t.Helper()
		got := r.out
		if got.device != device || got.level != level || got.buffer != buffer*time.Millisecond || got.offset != offset*time.Millisecond {
			t.Errorf("%s: %+v, want device %q, %v dB, %d ms held and the picture %d ms later", what, got, device, level, buffer, offset)
		}
	}
	expect("as it comes", "", 0, 118, 0)
	r.press("F10", "Down", "Left", "Left", "Left")
	expect("the level turned down", "", -3, 118, 0)
	r.press("Down", "Left", "Left", "Left", "Left", "Left")
	expect("a bound under the level", "", -5, 118, 0)
	r.press("Up", "Right", "Right")
	expect("a level over its bound", "", -5, 118, 0)
	r.press("Down", "Down", "Right", "Right")
	expect("more held", "", -5, 90, 0)
	r.press("Down", "Left", "Left", "Left", "Right")
	expect("the picture comes earlier", "", -5, 90, -10)
	r.press("Up", "Up", "Up", "Up", "Up", "Right")
	expect("another device is as it comes", "plughw:CARD=Desk,DEV=0", 0, 118, 0)
	r.press("Right", "Left", "Left")
	expect("back to the system's own", "", -5, 90, -10)
	r.press("Right", "Down", "Left")
	r.out = testSpeaker{}
	again := newRigIn(t, r.app, dir, "")
	r.out = again.out
	expect("at the next start", "", -1, 118, 0) // the device itself is opened by its name
	if got := again.set.device(); got != "plughw:CARD=Desk,DEV=0" {
		t.Errorf("the next start remembers device %q", got)
	}
}

// What grew after a gap is remembered for the device, and not for others; the keys go on
// from it, and down again.
func TestWhatGrewIsRemembered(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("Return", "Space")
	r.second()
	r.out.dry = 1
	r.second() // the gap is known before more is held
	r.out.buffer = 236 * time.Millisecond
	r.now = r.now.Add(time.Second)
	r.second()
	r.press("Space", "F10", "Down", "Left") // sets all of it again
	if r.out.buffer != 236*time.Millisecond {
		t.Errorf("%v are held after a turn of the level", r.out.buffer)
	}
	r.press("Up", "Right")
	if r.out.buffer != 118*time.Millisecond {
		t.Errorf("%v are held by another device", r.out.buffer)
	}
	r.press("Left")
	again := newRigIn(t, r.app, dir, "")
	if again.out.buffer != 236*time.Millisecond {
		t.Errorf("the next start holds %v", again.out.buffer)
	}
	again.press("Return", "F10", "Down", "Down", "Down", "Right")
	if again.out.buffer != 270*time.Millisecond {
		t.Errorf("a step more than has grown is %v", again.out.buffer)
	}
	again.press("Left", "Left", "Left")
	if again.out.buffer != 90*time.Millisecond {
		t.Errorf("three steps less are %v", again.out.buffer)
	}
}

func TestTheSoundDeviceIsSetByMouse(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("F10")
	page := r.output.Object().(*draw.Settings)
	for range 4 {
		page.Tapped(&fyne.PointEvent{Position: page.ArrowAt("level", -1)})
	}
	page.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: page.ArrowAt("level", 1)}, Scrolled: fyne.Delta{DY: 1}})
	if r.out.level != -3 {
		t.Errorf("four clicks down and the wheel up make %v dB", r.out.level)
	}
	page.Tapped(&fyne.PointEvent{Position: page.ArrowAt("offset", 0)})
	r.press("Right")
	if r.out.offset != 5*time.Millisecond {
		t.Errorf("a click on a line does not choose it: the picture waits %v", r.out.offset)
	}
}

// The two strokes change with every beat that is heard, however many slots it has,
// and not in between.
func TestTheStrokesChangeWithTheBeat(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("Return", "F10", "Space")
	var sides []int
	for range 4 * 12 {
		r.play(1. / 4)
		if s := r.output.Lit(); len(sides) == 0 || s != sides[len(sides)-1] {
			sides = append(sides, s)
		}
	}
	if len(sides) < 12 || len(sides) > 13 {
		t.Errorf("in twelve beats the strokes were lit as %v", sides)
	}
	r.press("Space")
	r.play(1)
	if s := r.output.Lit(); s != -1 {
		t.Errorf("in silence stroke %d is lit", s)
	}
}

// What is kept of a device is read as it was written, and what is out of bounds is
// as a device comes.
func TestWhatIsKeptOfADevice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := output.Kept{Cap: rapid.IntRange(speaker.LeastLevel, 0).Draw(t, "cap")}
		k.Level = rapid.IntRange(speaker.LeastLevel, k.Cap).Draw(t, "level")
		k.Offset = rapid.IntRange(-500, 500).Draw(t, "offset")
		k.Buffer = rapid.OneOf(rapid.Just(0), rapid.IntRange(70, 600)).Draw(t, "buffer")
		k.Grown = rapid.OneOf(rapid.Just(0), rapid.IntRange(70, 600)).Draw(t, "grown")
		if got := output.ParseKept(k.String()); got != k {
			t.Fatalf("%+v is read as %+v", k, got)
		}
	})
	for _, text := range []string{"", "level", "level 3 cap 0 buffer 0 offset 0", "level -3 cap -6 buffer 0 offset 0",
		"level 0 cap 0 buffer 20 offset 0", "level 0 cap 0 buffer 0 offset 501", "level -61 cap 0 buffer 0 offset 0",
		"level 0 cap 0 buffer 0 offset 0 grown 20", "level 0 cap 0 buffer 0 offset 0 grown", "level 0 cap 0 buffer 0 offset 0 grown x"} {
		if got := output.ParseKept(text); got != (output.Kept{}) {
			t.Errorf("%q is read as %+v", text, got)
		}
	}
}

// The keys of the view set how the step at the Stand sounds, in the session and in its
// file, and take it back without a trace.
func TestTheStepsSoundsAreSetByKeys(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	r.press("Return", "F10", "Next", "Right", "Right", "Down", "Down", "Right", "Down", "Right")
	r.press("Down", "Left", "Down", "Right", "Right", "Next", "Right", "Down", "Right", "Down", "Left", "Down", "Left", "Left")
	s := r.view().State.Step().Sounds
	want := ladder.Sounds{Bar: "metal", Slot: "wood", Stereo: ladder.BeatsLeft, Drone: ladder.Drone{Note: passage.Pitch{Letter: passage.B, Alter: passage.Flat, Octave: 3}, A: 439, Level: -2}}
	want.Levels[click.Forte], want.Levels[click.MezzoForte] = ladder.Level{Given: true, DB: -1}, ladder.Level{Given: true, DB: -2}
	if s != want {
		t.Errorf("the step sounds as\n%+v, want\n%+v", s, want)
	}
	r.wait(5 * time.Second)
	for _, line := range []string{"sounds: {bar: metal, slot: wood}", "levels: {f: -1 dB, mf: -2 dB}", "stereo: beats left", "drone: {note: Bb3, a: 439, level: -2 dB}"} {
		if text := r.read(path); !strings.Contains(text, line) {
			t.Errorf("the file does not say %q:\n%s", line, text)
		}
	}
	r.press("Right", "Right", "Up", "Right", "Up", "Left", "Up", "Left", "Prior")
	r.press("Left", "Left", "Left", "Down", "Down", "Left", "Down", "Left", "Left", "Down", "Right", "Right", "Down", "Left", "Left")
	r.wait(5 * time.Second)
	if text := r.read(path); text != strings.Replace(runs, "    chunk", "    sounds: {bar: yours, slot: yours}\n    stereo: centre\n    drone: {level: 0 dB}\n    chunk", 1) {
		t.Errorf("taken back, the file is\n%s", text)
	}
	// Beyond the ends nothing changes, and a page leads to the next by its last line.
	r.press("Prior", "Prior", "Up", "Down", "Down", "Down", "Down", "Down", "Right")
	if got := r.view().State.Step().Sounds.Bar; got != "wood" {
		t.Errorf("from the device's last line the keys lead to %q", got)
	}
}

// A sound is heard when it is turned, and again by Enter, from its own side; a drone for
// a while. While the click runs nothing is tried.
func TestTheStepsSoundsAreHeard(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	heard := func(seconds float64) (left, right float32) {
		x := make([]float32, 2*int(seconds*rate))
		r.renderer.Render(x)
		for i := 0; i < len(x); i += 2 {
			left, right = max(left, x[i], -x[i]), max(right, x[i+1], -x[i+1])
		}
		return left, right
	}
	heard(0.5)
	r.press("Return", "F10", "Next", "Down", "Down", "Down", "Right") // beats left
	if l, rr := heard(0.5); l < 0.02 || rr != 0 {
		t.Errorf("beats on the left are heard as %v and %v", l, rr)
	}
	r.press("Up", "Return")
	if l, rr := heard(0.5); l != 0 || rr < 0.01 {
		t.Errorf("a slot on the right is heard as %v and %v", l, rr)
	}
	r.press("Next", "Right")
	if l, rr := heard(1); l < 0.002 || l != rr {
		t.Errorf("the drone is heard as %v and %v", l, rr)
	}
	heard(1.5)
	if l, _ := heard(1); l != 0 {
		t.Errorf("the drone on trial is still heard, %v", l)
	}
	page := r.output.Object().(*draw.Settings)
	page.Tapped(&fyne.PointEvent{Position: page.ArrowAt("page 0", 0)})
	page.Tapped(&fyne.PointEvent{Position: page.ArrowAt("device", 0)})
	r.press("Return")
	if l, rr := heard(0.5); l != 0 || rr != 0 {
		t.Errorf("Enter on a device sounds, %v and %v", l, rr)
	}
	r.press("Space") // the count-in, whose first second holds a beat and its slots
	if l, rr := heard(0.2); l < 2*rr || rr < 0.002 {
		t.Errorf("the click runs with %v on the left, %v on the right", l, rr)
	}
	r.press("Next", "Next", "Right") // the drone goes
	r.play(8)
	if l, rr := heard(0.5); l == rr {
		t.Errorf("after the change the click is heard as %v and %v", l, rr)
	}
}
