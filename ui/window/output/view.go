// Package output is the view of the sound: which device plays, how loud, how much it
// holds ready, and by how much the picture has to wait for the ear; and how the click of
// the step at the Stand sounds, with the drone under it.
package output

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/audio/speaker"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/passage"
	"footing/ui/window/draw"
)

// Speaker is what plays. Its methods do not block.
type Speaker interface {
	SetDevice(name string)
	SetLevel(dB float64)
	SetBuffer(time.Duration)
	SetOffset(time.Duration)
	Buffer() time.Duration
	Delay() time.Duration
	Underruns() uint64
	State() speaker.State
}

// Options are what the view works with.
type Options struct {
	Speaker Speaker
	// Devices lists what can play. It may take as long as a sound server does, and
	// is called by Read only.
	Devices func() []speaker.Name
	// Read has read done where it may be waited for, and then show on the main
	// goroutine.
	Read func(read, show func())
	// Device is the name of the device that is remembered, empty for the system's
	// own choice; KeepDevice remembers another.
	Device     func() string
	KeepDevice func(name string)
	// Recall is what is remembered of a device; Keep remembers it.
	Recall func(device string) Kept
	Keep   func(device string, k Kept)
	// Heard is the session, as it is heard; Change edits the step at the Stand.
	Heard  func() conduct.View
	Change func(func(ladder.Step) ladder.Step) []ladder.Fault
	// Try sounds a stroke of a step once, or its drone, where the click does not run.
	Try func(ladder.Step, click.Trial)
	// Sound is the player's own timbre, A the A that they tune to.
	Sound func() string
	A     func() int
	// Title is what the header says.
	Title func() (name, sub, count string)
}

// The lines of the page.
const (
	rowDevice = "device"
	rowLevel  = "level"
	rowCap    = "cap"
	rowBuffer = "buffer"
	rowOffset = "offset"
	rowDelay  = "delay"
)

// View is the view. All of it belongs to the main goroutine.
type View struct {
	o       Options
	page    *draw.Settings
	devices []speaker.Name
	chosen  string
	beat    beat
	note    passage.Pitch // that the drone had last
}

// beat is the beat that was heard last, and which of the two strokes it lit.
type beat struct {
	start int64 // of its phrase
	at    int   // which of the phrase's beats
	side  int   // −1 before the first
}

// New makes the view, and brings the speaker to what is remembered of its device.
func New(o Options) *View {
	v := &View{o: o, chosen: rowDevice, beat: beat{side: -1}}
	v.page = draw.NewSettings(v.turn)
	v.kept().apply(o.Speaker)
	return v
}

func (v *View) kept() Kept { return v.o.Recall(v.o.Device()) }

// Object is what the window shows.
func (v *View) Object() fyne.CanvasObject { return v.page }

// Title is what the header says.
func (v *View) Title() (name, sub, count string) { return v.o.Title() }

// Enter looks for the devices again.
func (v *View) Enter() {
	var found []speaker.Name
	v.o.Read(func() { found = v.o.Devices() }, func() {
		v.devices = found
		v.show()
	})
	v.show()
}

// Refresh shows what is heard now.
func (v *View) Refresh() {
	if v.listen() {
		v.show()
	}
}

// Lit is which of the two strokes is lit, 0 or 1; −1 for none.
func (v *View) Lit() int { return v.beat.side }

// Second shows what may change by itself: the delay, and what is held.
func (v *View) Second() { v.show() }

// Leave has nothing to keep that is not kept.
func (v *View) Leave() error { return nil }

// Recolour follows the palette.
func (v *View) Recolour() { v.show() }

// Key chooses a line, or turns it. All that a line stands for can be undone by the
// key the other way, and none of the keys gives a verdict here.
func (v *View) Key(key string, _ bool) bool {
	switch key {
	case "Up":
		v.chosen = moved(v.chosen, -1)
	case "Down":
		v.chosen = moved(v.chosen, 1)
	case "Prior":
		v.chosen = turnedTo(v.chosen, -1)
	case "Next":
		v.chosen = turnedTo(v.chosen, 1)
	case "Return", "KP_Enter":
		v.hear()
	case "Left", "-":
		v.turn(v.chosen, -1)
	case "Right", "=", "+":
		v.turn(v.chosen, 1)
	}
	v.show()
	return true
}

// turn chooses a line and turns it by by.
func (v *View) turn(id string, by int) {
	page := pageOf(id)
	switch {
	case v.toPage(id) || !slices.Contains(pages[page].rows, id):
		return
	case page > 0:
		v.chosen = id
		v.turnStep(id, by)
		v.show()
		return
	}
	v.chosen = id
	if id == rowDevice {
		v.turnDevice(by)
		return
	}
	before := v.kept()
	k := before
	switch id {
	case rowLevel:
		k.Level += by
	case rowCap:
		k.Cap += by
	case rowOffset:
		k.Offset += by * stepOffset
	case rowBuffer:
		k = k.held(by)
	}
	if k = k.bounded(); k != before {
		v.o.Keep(v.o.Device(), k)
		k.apply(v.o.Speaker)
	}
	v.show()
}

// turnDevice takes the next device, from the system's own choice on.
func (v *View) turnDevice(by int) {
	names := []string{""}
	for _, d := range v.devices {
		names = append(names, d.ID)
	}
	i := max(slices.Index(names, v.o.Device()), 0) + by
	if by == 0 || i < 0 || i >= len(names) {
		v.show()
		return
	}
	v.o.KeepDevice(names[i])
	v.o.Speaker.SetDevice(names[i])
	v.kept().apply(v.o.Speaker)
	v.show()
}

// listen notes which beat is heard, and reports whether it is another.
func (v *View) listen() bool {
	now := v.o.Heard().Now
	if now.Phrase == nil {
		before := v.beat.side
		v.beat.side = -1
		return before != -1
	}
	if now.Stroke < 0 {
		return false
	}
	at := now.Phrase.Strokes[now.Stroke].At.Floor()
	if v.beat.side >= 0 && v.beat.start == now.Start && v.beat.at == at {
		return false
	}
	v.beat = beat{now.Start, at, (v.beat.side + 1) % 2}
	return true
}

func (v *View) show() {
	m := draw.SettingsModel{Chosen: v.chosen, Stroke: -1, Page: pageOf(v.chosen), Hint: "Page Down: this step"}
	for i, p := range pages {
		m.Pages = append(m.Pages, draw.SettingsPage{ID: pageHit + strconv.Itoa(i), Name: p.name})
	}
	switch m.Page {
	case 0:
		v.deviceRows(&m)
	case 1:
		m.Rows, m.Hint = v.clickRows(), "Enter: hear it      Page Up, Page Down"
	default:
		m.Rows, m.Hint = v.droneRows(), "Enter: hear it      Page Up"
	}
	v.page.Set(m)
}

// deviceRows are the lines of the device, and the two strokes.
func (v *View) deviceRows(m *draw.SettingsModel) {
	k, s := v.kept(), v.o.Speaker
	device, says := v.device()
	state := s.State()
	m.Stroke, m.Under = v.beat.side, "space starts the click"
	if v.beat.side >= 0 {
		m.Under = "do you see what you hear?"
	}
	row := func(id, label, value, says string) *draw.Setting {
		m.Rows = append(m.Rows, draw.Setting{ID: id, Label: label, Value: value, Says: says})
		return &m.Rows[len(m.Rows)-1]
	}
	d := row(rowDevice, "Sound device", device, says)
	if state.Line != "" {
		d.Says, d.Warm = state.Line, true
	}
	row(rowLevel, "Level", decibels(k.Level), "of all that sounds, on this device")
	row(rowCap, "Never above", decibels(k.Cap), "a bound for the level on this device: headphones are louder than they seem")
	row(rowBuffer, "Held ready", k.words(s.Buffer()), v.gaps())
	row(rowOffset, "Picture waits", later(k.Offset), "with the click on, turn this until the strokes change with the sound")
	row(rowDelay, "From key to ear", milliseconds(s.Delay()), "what is held ready, and what the picture waits for").Fixed = true
}

// device names the device, with what the system says of it.
func (v *View) device() (name, says string) {
	name = v.o.Device()
	if name == "" {
		if len(v.devices) == 0 {
			return "the system's own", "this system lets a program play on its own choice of device alone"
		}
		others := "another"
		if n := len(v.devices); n > 1 {
			others = fmt.Sprintf("one of %d others", n)
		}
		return "the system's own", "or " + others + "; each has its own level, and all else here"
	}
	for _, d := range v.devices {
		if d.ID == name {
			return name, d.Says
		}
	}
	return name, "not plugged in, as far as the system says"
}

// gaps says what became of what is held.
func (v *View) gaps() string {
	switch n := v.o.Speaker.Underruns(); n {
	case 0:
		return "no gap in the sound so far; more is held by itself after one"
	case 1:
		return "one gap in the sound so far; more is held since"
	default:
		return fmt.Sprintf("%d gaps in the sound so far; more is held after each", n)
	}
}

func decibels(dB int) string {
	switch {
	case dB <= speaker.LeastLevel:
		return "silent"
	case dB < 0:
		return fmt.Sprintf("−%d dB", -dB)
	}
	return "0 dB"
}

func milliseconds(d time.Duration) string {
	return fmt.Sprintf("%d ms", d.Round(time.Millisecond).Milliseconds())
}

// later says by how much the picture comes after what the device is taken to
// sound.
func later(ms int) string {
	switch {
	case ms < 0:
		return fmt.Sprintf("−%d ms", -ms)
	case ms > 0:
		return fmt.Sprintf("+%d ms", ms)
	}
	return "0 ms"
}
