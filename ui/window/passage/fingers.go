package passage

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"footing/ladder"
	"footing/ladder/fingers"
	"footing/ladder/notes"
	"footing/ladder/notes/fingering"
	"footing/ui/engrave"
	"footing/ui/window/draw"
	"footing/ui/window/finder"
)

// FingersShown is how much of the fingers is shown.
type FingersShown int

// How much, in the order of the key.
const (
	FingersMarked   FingersShown = iota // over the notes
	FingersPictured                     // and the change under the cursor in a picture
	FingersOff
	fingersShown
)

// hands is what the view knows of the fingers of the step that is shown.
type hands struct {
	charts     finder.Charts
	instrument string         // that the chart is of
	entered    int            // how often the view has been come to: the player's file may have been changed
	chart      *fingers.Chart // nil where there is none for the instrument, or it is not read yet
	fault      error          // what keeps the player's own file from being read

	notes *notes.Notes // that were fingered last
	step  ladder.Step  // with the marks that they were fingered by
	made  *fingering.Fingered
}

// fingered is the notes that are shown with their fingers; nil where none are known
// or none are to be shown.
func (v *View) fingered() *fingering.Fingered {
	h := &v.hands
	if v.o.Charts == nil || v.o.Fingers() == FingersOff || v.found == nil {
		return nil
	}
	v.findChart()
	if h.chart == nil {
		return nil
	}
	step := v.step()
	step.Chunk = ladder.Chunk{}
	if h.made == nil || h.notes != v.found || h.made.Chart != h.chart || !alike(step, h.step) {
		h.notes, h.step, h.made = v.found, step, fingering.Of(v.found, step, h.chart)
	}
	return h.made
}

// alike reports whether two steps are fingered alike.
func alike(a, b ladder.Step) bool {
	if a.Tempo.Goal != b.Tempo.Goal || len(a.Notes.Marks) != len(b.Notes.Marks) {
		return false
	}
	for i := range a.Notes.Marks {
		if a.Notes.Marks[i] != b.Notes.Marks[i] {
			return false
		}
	}
	return true
}

// findChart looks for the chart of the step's instrument where it is another one.
func (v *View) findChart() {
	h, state := &v.hands, v.o.Desk.View().State
	name := state.Routine.On(state.Step()).Notes.Instrument.Name
	before := h.instrument
	h.instrument = name
	if name != before {
		h.chart, h.fault, h.made = nil, nil, nil
	}
	h.charts.Find(name, filepath.Dir(v.o.Path()), h.entered, func(chart *fingers.Chart, err error) {
		h.chart, h.fault, h.made = chart, err, nil
		v.relay()
		v.show()
	})
}

// fingersOver is what stands over the notes for the fingers.
func fingersOver(f *fingering.Fingered, n *notes.Notes) (marks []engrave.FingerMark, arches []engrave.Arch) {
	if f == nil {
		return nil, nil
	}
	for i, note := range n.All {
		if text := f.Label(i); text != "" {
			marks = append(marks, engrave.FingerMark{Note: note.First, Text: text})
		}
	}
	for _, a := range f.Arches() {
		arches = append(arches, engrave.Arch{From: n.All[a.From].Last, To: n.All[a.To].First, Strong: a.Strong})
	}
	return marks, arches
}

// nextFingering takes the next choice for the note under the cursor.
func (v *View) nextFingering() {
	f := v.fingered()
	if f == nil {
		if v.said = v.whyNone(); v.said != "" {
			v.show()
		}
		return
	}
	note := v.cursor
	name, ok := f.Next(note)
	if !ok {
		v.said = "The chart has no other fingering of " + v.found.All[note].Pitch.String()
		v.show()
		return
	}
	v.change(func(s ladder.Step) ladder.Step { return f.Pin(s, note, name) })
	v.relay()
}

// cutHardest makes the chunk the two notes of the hardest change, then four, then the
// beat around it, and goes on to the next change.
func (v *View) cutHardest() {
	f := v.fingered()
	if f == nil {
		v.said = v.whyNone()
		v.show()
		return
	}
	cut, ok := f.Onward(v.step())
	if !ok {
		v.said = "No change is judged in this passage"
		v.show()
		return
	}
	v.change(func(s ladder.Step) ladder.Step { s.Chunk = cut.Step.Chunk; return s })
	if v.said == "" {
		v.told = cut.Why
		v.show()
	}
}

// whyNone says why no fingers are shown.
func (v *View) whyNone() string {
	name := v.hands.instrument
	switch {
	case v.o.Charts == nil:
		return ""
	case v.o.Fingers() == FingersOff:
		return "Fingers are not shown; J shows them"
	case v.hands.fault != nil:
		return v.fingerFault()
	case name == "":
		return "The step names no instrument to be fingered on"
	}
	return "There is no chart of the " + name
}

// fingerFault is what is wrong with the player's own fingerings, in one sentence;
// empty for nothing.
func (v *View) fingerFault() string {
	if errs := (fingers.Errors)(nil); errors.As(v.hands.fault, &errs) {
		return errs[0].Error()
	}
	if v.hands.fault != nil {
		return v.hands.fault.Error()
	}
	return ""
}

// turnFingers shows more of the fingers, or none.
func (v *View) turnFingers() {
	if v.o.Charts == nil {
		return
	}
	v.said = ""
	v.o.KeepFingers((v.o.Fingers() + 1) % fingersShown)
	v.p.root.Refresh()
	v.p.Layout(nil, v.p.root.Size())
	v.relay()
	if v.o.Fingers() != FingersOff && v.fingered() == nil {
		v.said = v.whyNone()
	}
	v.show()
}

// pictured reports whether a change is to be shown in a picture.
func (v *View) pictured() bool {
	return v.sheet != nil && v.o.Charts != nil && v.o.Fingers() == FingersPictured && v.fingered() != nil
}

// fingerWords are on the note under the cursor and on the change that leads to it.
func (v *View) fingerWords() string {
	f := v.fingered()
	if f == nil {
		return ""
	}
	n, ok := f.Note(v.cursor)
	if !ok {
		return "not judged: " + f.Chart.Reach(v.found.All[v.cursor].Pitch)
	}
	out := fingering.Told(n, f.Chart)
	if c, ok := f.Into(v.cursor); ok && c.Cost >= fingers.Hard && !v.pictured() {
		long := slices.IndexFunc(c.Reasons, func(r string) bool { return len(r) > 24 })
		if long < 0 {
			long = len(c.Reasons)
		}
		out += "; hard: " + strings.Join(c.Reasons[:long], ", ")
	}
	return out
}

// handsModel is the picture of the change that leads to the note under the cursor,
// or of the note where none does.
func (v *View) handsModel() draw.HandsModel {
	f := v.fingered()
	if f == nil || !v.pictured() {
		return draw.HandsModel{}
	}
	n, ok := f.Note(v.cursor)
	if !ok {
		return draw.HandsModel{}
	}
	to := n.Pitch.String()
	out := draw.HandsModel{Lead: to, Text: fingering.Told(n, f.Chart), Care: "Hands differ, and a teacher's word comes first. Stretching and pain are reasons to stop."}
	change, moves := f.Into(v.cursor)
	if moves {
		from := f.Notes[change.From]
		out.Lead = from.Pitch.String() + " to " + to
		out.Text = change.Told()
		switch {
		case change.Cost >= fingers.VeryHard:
			out.Text = "very hard: " + out.Text
		case change.Cost >= fingers.Hard:
			out.Text = "hard: " + out.Text
		}
	}
	for i := range out.Fingers {
		by := fingers.Finger(i)
		is := f.Chart.Down(n.Fingering, by)
		one := draw.FingerModel{Is: is, Way: draw.FingerUp}
		if is != "" {
			one.Way = draw.FingerDown
		}
		if moves {
			one.Was = f.Chart.Down(f.Notes[change.From].Leaves(), by)
			one.Way = ways[change.Ways[i]]
		}
		if !f.Chart.Uses(by) {
			one.Way = draw.FingerIdle
		}
		out.Fingers[i] = one
	}
	return out
}

// ways are what the picture calls what fingers do.
var ways = [...]draw.FingerWay{
	fingers.Off: draw.FingerUp, fingers.Stay: draw.FingerDown, fingers.Press: draw.FingerPress, fingers.Lift: draw.FingerLift,
	fingers.Slide: draw.FingerSlide, fingers.Rolls: draw.FingerRoll,
}
