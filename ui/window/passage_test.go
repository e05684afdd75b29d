package window

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/ladder"
	"footing/ui/window/draw"
)

// newNoted is a window with the Passage view on a step with notes.
func newNoted(t *testing.T) *rig {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.session.Change(noted)
	r.press("F5")
	return r
}

// chunkIs complains when the session's chunk is another.
func (r *rig) chunkIs(bar int, at, length click.Beats) {
	r.t.Helper()
	if c := r.view().State.Step().Chunk; c.Bar != bar || c.At != at || c.Length != length {
		r.t.Errorf("the chunk is bar %d from %s, %s long; want bar %d from %s, %s long", c.Bar, c.At, c.Length, bar, at, length)
	}
}

// of is the first widget of a kind in the view that is shown.
func of[W fyne.CanvasObject](r *rig) W {
	r.t.Helper()
	for _, o := range r.root.body().(*fyne.Container).Objects {
		if w, ok := o.(W); ok {
			return w
		}
	}
	r.t.Fatal("the view has no such widget")
	panic("unreachable")
}

// The Stand's keys of the chunk go by notes, through the session; Enter leads to
// the Stand.
func TestTheChunkIsSetByNotes(t *testing.T) {
	r := newNoted(t)
	quarter := func(n int64) click.Beats { return click.Frac(n, 4) }
	r.chunkIs(18, click.Whole(1), click.Whole(2))
	r.press("]")
	r.chunkIs(18, click.Whole(1), quarter(9))
	r.press("[", "[")
	r.chunkIs(18, click.Whole(1), quarter(7))
	r.press(">")
	r.chunkIs(18, quarter(5), quarter(7))
	r.press("<", "Right", "Right", "x") // from the fourth note of the group
	r.chunkIs(18, quarter(7), quarter(1))
	if !r.view().State.Step().Chunk.Landing {
		t.Error("the next group is not landed on")
	}
	r.press("Down", "x") // the last bar is in the next system
	if c := r.view().State.Step().Chunk; c.Bar <= 18 {
		t.Errorf("a system down the chunk is in bar %d", c.Bar)
	}
	was := of[*draw.Sheet](r).Model().Cursor
	for _, key := range []string{"n", "v"} {
		r.press(key)
		r.refresh()
	}
	if of[*draw.Sheet](r).Model().Cursor != was {
		t.Error("the cursor is not on the chunk of a step that is come back to")
	}
	r.press("Return")
	if r.root.view != viewStand {
		t.Errorf("Enter leads to %q", r.root.view)
	}
	r.press("F5")
	actions := of[*draw.Actions](r)
	at := actions.ButtonAt("practise").Add(actions.Position()).Add(r.root.body().Position())
	test.TapCanvas(r.win.Canvas(), at)
	if r.root.view != viewStand {
		t.Errorf("the button leads to %q", r.root.view)
	}
}

// A drag from note to note, in either direction, is the chunk.
func TestTheChunkIsDragged(t *testing.T) {
	for name, back := range map[string]bool{"forth": false, "back": true} {
		t.Run(name, func(t *testing.T) {
			r := newNoted(t)
			sheet := of[*draw.Sheet](r)
			// Where notes stand is told by the marks of the cursor.
			find := func(keys ...string) fyne.Position {
				r.press(keys...)
				c := sheet.Model().Cursor
				return fyne.NewPos(c.X+c.W/2, c.Y+c.H/2)
			}
			from, to := find("Right"), find("Right", "Right")
			if back {
				from, to = to, from
			}
			drag := func(at, by fyne.Position) {
				sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: at}, Dragged: fyne.NewDelta(by.X, by.Y)})
			}
			drag(from.AddXY(1, 0), fyne.NewPos(1, 0))
			drag(to, to.Subtract(from))
			r.chunkIs(18, click.Whole(1), click.Whole(2)) // not yet
			if len(sheet.Model().Chunk) != 1 || sheet.Model().Chunk[0].X > min(from.X, to.X) {
				t.Error("the drag is not shown")
			}
			sheet.DragEnd()
			r.chunkIs(18, click.Frac(5, 4), click.Frac(3, 4))
			if sheet.Cursor() != desktop.PointerCursor {
				t.Error("nothing shows that notes can be tapped")
			}
		})
	}
}

// A mark is written on the note under the cursor, kept in the file, and taken away
// again; the name of a fingering stays.
func TestANoteIsMarked(t *testing.T) {
	r := newNoted(t)
	path := r.doc.Load().Path()
	typed := func(text string) {
		for _, c := range text {
			r.win.Canvas().Focused().TypedRune(c)
		}
	}
	end := func(key fyne.KeyName) { r.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: key}) }
	mark := func() (out string) {
		for _, m := range r.view().State.Step().Notes.Marks {
			if m.Bar == 18 && m.At == click.Frac(5, 4) {
				out += m.Text + "/" + m.Finger
			}
		}
		return out
	}
	r.press("Right", "w")
	typed("low")
	end(fyne.KeyEscape)
	if mark() != "" {
		t.Error("Escape keeps what was written")
	}
	r.press("w")
	typed("low")
	end(fyne.KeyReturn)
	if mark() != "low/" || r.root.view != "passage" {
		t.Errorf("the mark is %q, and %q is shown", mark(), r.root.view)
	}
	r.press("w")
	typed(" R")
	r.press("F2") // what is typed is kept on the way out
	if mark() != "low R/" {
		t.Errorf("the mark is %q", mark())
	}
	r.wait(5e9)
	if text := r.read(path); !strings.Contains(text, "low R") {
		t.Errorf("the file is\n%s", text)
	}
	r.session.Change(func(s ladder.Step) ladder.Step {
		marks := append([]ladder.NoteMark(nil), s.Notes.Marks...)
		for i := range marks {
			if marks[i].Text == "low R" {
				marks[i].Finger = "cA"
			}
		}
		s.Notes.Marks = marks
		return s
	})
	for _, want := range []string{"/cA", "/cA"} {
		r.press("F5", "w")
		for range 8 {
			end(fyne.KeyBackspace)
		}
		end(fyne.KeyReturn)
		if mark() != want {
			t.Errorf("the mark is %q, want %q", mark(), want)
		}
	}
}

// Without notes, or with broken ones, the view says so in a sentence, and the
// Stand is a key away. A score is looked at again when the view comes back.
func TestNotesThatAreNotThere(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.press("F5", "w", "x", "Left", "Down")
	sheet := of[*draw.Sheet](r)
	if m := sheet.Model(); !strings.Contains(m.Text, "notes: CDEF GABc |") || m.Warm || m.Cursor.W > 0 {
		t.Errorf("says %q %q", m.Lead, m.Text)
	}
	goOn := r.slow()
	r.session.Change(func(s ladder.Step) ladder.Step {
		s.Notes.Score.File = "march.musicxml"
		return s
	})
	r.refresh()
	if m := sheet.Model(); !strings.HasPrefix(m.Lead, "Reading") {
		t.Errorf("says %q while the disk is slow", m.Lead)
	}
	r.press("F2") // the search is given up
	goOn()
	r.press("F5")
	goOn()
	if m := sheet.Model(); !m.Warm || !strings.Contains(m.Text, "march.musicxml: there is no such file; put a score") {
		t.Errorf("says %q %q", m.Lead, m.Text)
	}
	write(t, dir, "march.musicxml", score)
	r.press("F2", "F5")
	goOn()
	if m := sheet.Model(); m.Text != "" || m.Cursor.W == 0 {
		t.Errorf("says %q %q once there is a score", m.Lead, m.Text)
	}
	r.press("n")
	r.refresh()
	if m := sheet.Model(); m.Cursor.W > 0 || !strings.HasPrefix(m.Lead, "Reading") {
		t.Errorf("before the next step is read it says %q", m.Lead)
	}
	goOn()
	if m := sheet.Model(); m.Lead != "This step has no notes yet." {
		t.Errorf("of the next step it says %q", m.Lead)
	}
}

// score is four bars of whole notes.
const score = `<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Bassoon</part-name></score-part></part-list><part id="P1">
<measure number="17"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>F</sign><line>4</line></clef></attributes><note><pitch><step>C</step><octave>3</octave></pitch><duration>4</duration></note></measure>
<measure number="18"><note><pitch><step>D</step><octave>3</octave></pitch><duration>4</duration></note></measure>
<measure number="19"><note><pitch><step>E</step><octave>3</octave></pitch><duration>4</duration></note></measure>
<measure number="20"><note><pitch><step>F</step><octave>3</octave></pitch><duration>4</duration></note></measure>
</part></score-partwise>`

// A passage that is long is shown on pages; the one with the cursor comes up.
func TestALongPassageHasPages(t *testing.T) {
	r := newNoted(t)
	faults := r.session.Change(func(s ladder.Step) ladder.Step {
		s.Passage.To = 60
		s.Notes.Marks = nil
		s.Notes.Typed.Text = strings.TrimSpace(strings.Repeat("B,,D,F,B, DB,F,E, D,F,B,D ECA,F, | ", 44))
		return s
	})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	r.resize(900, 600)
	r.refresh()
	sheet := of[*draw.Sheet](r)
	first := sheet.Model().Page
	if !strings.HasPrefix(first, "page 1 of ") || len(sheet.Model().Chunk) == 0 {
		t.Fatalf("shows %q", first)
	}
	sheet.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -10)})
	if m := sheet.Model(); !strings.HasPrefix(m.Page, "page 2") || len(m.Chunk) > 0 || m.Cursor.W > 0 {
		t.Errorf("scrolled it shows %q", m.Page)
	}
	r.session.Change(func(s ladder.Step) ladder.Step { s.Chunk.Bar = 50; return s })
	r.refresh()
	if m := sheet.Model(); len(m.Chunk) == 0 || m.Cursor.W == 0 || m.Page == first {
		t.Errorf("with the chunk far on it shows %q", m.Page)
	}
	r.resize(1200, 780)
	if m := sheet.Model(); len(m.Chunk) == 0 {
		t.Errorf("resized it shows %q", m.Page)
	}
}

// F takes the next fingering of the note under the cursor, which is kept in the
// file as a mark, and taken away again where it is the program's own; J shows more of
// the fingers, or none.
func TestAFingeringIsChosen(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.session.Change(fingered)
	r.press("F5", "Right", "Right", "Right") // C sharp 5
	marks := func() string {
		var out []string
		for _, m := range r.view().State.Step().Notes.Marks {
			out = append(out, click.FormatPlace(m.Bar, m.At)+" "+m.Finger+m.Text)
		}
		return strings.Join(out, ", ")
	}
	if marks() != "" {
		t.Fatalf("marked %s", marks())
	}
	r.press("f")
	if marks() != "17:2+3/4 L" {
		t.Errorf("marked %q", marks())
	}
	r.wait(5e9)
	if text := r.read(r.doc.Load().Path()); !strings.Contains(text, "finger: L") {
		t.Errorf("the file is\n%s", text)
	}
	r.press("F")
	if marks() != "" {
		t.Errorf("marked %q", marks())
	}
	hands := of[*draw.Hands](r)
	if hands.Visible() || hands.Model().Lead != "" {
		t.Errorf("a picture that nobody asked for: %q", hands.Model().Lead)
	}
	r.press("h")
	if m := hands.Model(); !hands.Visible() || m.Lead != "A4 to C#5" || m.Fingers[1].Way != draw.FingerSlide || m.Fingers[9].Way != draw.FingerPress || m.Fingers[9].Is != "rF#" ||
		m.Fingers[5].Way != draw.FingerIdle || !strings.Contains(m.Text, "five fingers move") || !strings.Contains(m.Care, "teacher") {
		t.Errorf("%+v", m)
	}
	r.press("h", "f")
	if hands.Visible() || marks() != "" || r.set.fingers() != 2 {
		t.Errorf("switched off: visible %v, marked %q, %d is kept", hands.Visible(), marks(), r.set.fingers())
	}
	r.press("h", "Left", "Left", "Left", "f") // G sharp 4 has one fingering that matters
	if marks() != "" {
		t.Errorf("marked %q", marks())
	}
}

// What is wrong in the player's own fingerings is said, and the rest is shown.
func TestOwnFingerings(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.session.Change(fingered)
	write(t, dir, "fingerings.yaml", "instrument: clarinet\nfingerings:\n  - {note: B4, keys: R T 1 2 3 4 6 rE, use: mine}\n")
	r.press("F5", "Right", "f")
	if m := r.view().State.Step().Notes.Marks; len(m) != 1 || m[0].Finger != "R" {
		t.Errorf("%+v", m)
	}
	write(t, dir, "fingerings.yaml", "instrument: clarinet\nfingerings:\n  - {note: B4, keys: zz, use: mine}\n")
	r.press("F2", "F5", "f")
	if m := r.view().State.Step().Notes.Marks; len(m) != 0 {
		t.Errorf("%+v", m)
	}
	below := r.root.body().(*fyne.Container).Objects[4].(*draw.Caption)
	if m := below.Model(); !m.Warm || !strings.HasSuffix(strings.SplitN(m.Words, ";", 2)[0], `fingerings.yaml:3:22: "zz" is not a key of the clarinet`) {
		t.Errorf("says %q", m.Words)
	}
}

// Z cuts the two notes of the hardest change, then four, then the beat, and then
// around the next.
func TestTheHardestChangeIsCut(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.session.Change(fingered)
	r.session.Change(func(s ladder.Step) ladder.Step { s.Chunk.Bar = 18; return s })
	r.press("F5", "z") // G sharp 4 to B 4
	r.chunkIs(17, click.Whole(1), click.Frac(1, 2))
	below := r.root.body().(*fyne.Container).Objects[4].(*draw.Caption)
	if got := below.Model().Words; got != "G#4 to B4: the change alone" {
		t.Errorf("says %q", got)
	}
	r.press("Z")
	r.chunkIs(17, click.Frac(3, 4), click.Whole(1))
	r.press("z")
	r.chunkIs(17, click.Whole(1), click.Whole(1))
	if !r.view().State.Step().Chunk.Landing {
		t.Error("the beat is not landed on")
	}
	r.press("z") // the same way down
	r.chunkIs(19, click.Frac(1, 4), click.Frac(1, 2))
	r.press("h", "h", "z")
	if got := below.Model(); !got.Warm || got.Words != "Fingers are not shown; J shows them" {
		t.Errorf("says %q", got.Words)
	}
}

// In the Passage view a plan is made around the note under the cursor, walked, put in
// another order, cut down and added to, and its chunks are tapped.
func TestAPlanInThePassageView(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.session.Change(noted)
	r.press("F5", "Right", "Right")
	view := func() ladder.Step { return r.view().State.Step() }
	whys := func() string {
		var out []string
		for _, c := range view().Plan {
			out = append(out, c.Why)
		}
		return strings.Join(out, ", ")
	}
	r.press("U") // back from none: around the spot
	if got := whys(); !strings.HasPrefix(got, "the two notes at ") || !strings.HasSuffix(got, ", the bar, the passage") {
		t.Fatalf("the plan is %q", got)
	}
	n := len(view().Plan)
	if view().CutAt() != 0 {
		t.Errorf("it begins at chunk %d", view().CutAt())
	}
	r.press("j", "j")
	if view().CutAt() != 2 {
		t.Errorf("two further it is at chunk %d", view().CutAt())
	}
	r.press("{")
	if view().CutAt() != 1 {
		t.Errorf("moved, it is at chunk %d", view().CutAt())
	}
	r.press("Delete")
	if len(view().Plan) != n-1 || view().CutAt() != 1 {
		t.Errorf("%d chunks of %d are left, at %d", len(view().Plan), n, view().CutAt())
	}
	own := whys()
	r.press("u")
	if whys() != own {
		t.Error("a plan of the player's own was replaced unasked")
	}
	r.press("u")
	if whys() == own {
		t.Error("asked twice, the plan stays")
	}
	r.press("]", "Insert")
	if got := view().CutAt(); got != len(view().Plan)-1 {
		t.Errorf("a chunk that is added is number %d of %d", got, len(view().Plan))
	}
}

// Under the notes stands how far each beat has come, once one was played clean.
func TestBeatsUnderTheNotes(t *testing.T) {
	r := newNoted(t)
	shown := func() bool {
		for _, o := range r.root.body().(*fyne.Container).Objects {
			if o, ok := o.(*draw.Shares); ok {
				return o.Visible()
			}
		}
		t.Fatal("there is no row of beats")
		return false
	}
	if shown() {
		t.Error("it is there before anything was played")
	}
	r.press("F2", "Space")
	r.play(5.5)
	r.press("Right")
	r.play(5)
	r.press("Space", "F5")
	if !shown() {
		t.Error("after a clean rep it is not there")
	}
}
