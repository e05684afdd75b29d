package stand

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"footing/audio/click"
	"footing/ladder"
)

func TestButtonsDoWhatKeysDo(t *testing.T) {
	r := newRig(t)
	tap := func(share float32) {
		size := r.p.verdict.Size()
		test.TapAt(r.p.verdict, fyne.NewPos(size.Width*share, size.Height/2))
	}
	tap(0.55)
	if !r.state().Running {
		t.Fatal("the middle button does not start the click")
	}
	r.play(7.5)
	tap(0.9)
	r.play(5)
	tap(0.1)
	r.play(5)
	tap(0.35)
	r.play(5)
	tap(0.55)
	r.play(1)
	r.wantVerdicts(ladder.Clean, ladder.Rough, ladder.Skip)
}

func TestTheBracketIsDraggedByItsHandles(t *testing.T) {
	r := newRig(t)
	w := r.p.passage
	x := func(beat float64) float32 { return 2 + (w.Size().Width-4)*float32(beat/16) }
	drag := func(from, to float64, shift bool) {
		t.Helper()
		mod := fyne.KeyModifier(0)
		if shift {
			mod = fyne.KeyModifierShift
		}
		w.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(from), 46)}, Modifier: mod})
		w.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(to), 46)}, Dragged: fyne.NewDelta(x(to)-x(from), 0)})
		w.DragEnd()
	}
	want := func(what string, start, length click.Beats) {
		t.Helper()
		if got := r.step(); got.ChunkStart() != start || got.Chunk.Length != length {
			t.Errorf("%s: the chunk is at %s for %s, want %s for %s", what, got.ChunkStart(), got.Chunk.Length, start, length)
		}
	}
	drag(7, 9.2, false)
	want("the end dragged two beats on", click.Whole(5), click.Whole(4))
	drag(5, 6.9, false)
	want("the start dragged two beats on", click.Whole(7), click.Whole(2))
	drag(8, 4.1, false)
	want("the bracket dragged four beats back", click.Whole(3), click.Whole(2))
	drag(5, 4.3, true)
	want("the end dragged by slots", click.Whole(3), click.Frac(5, 4))
	drag(3, -2, false)
	want("the start dragged out of the passage", click.Beats{}, click.Frac(17, 4))
	test.TapAt(w, fyne.NewPos(x(12.4), 46))
	want("a tap puts the chunk there, held within the passage", click.Frac(47, 4), click.Frac(17, 4))
}

// Off the beat, keys and handles go by slots by themselves.
func TestOffTheBeatTheChunkGoesBySlots(t *testing.T) {
	step := practised()
	step.Chunk.At, step.Chunk.Length = click.Frac(5, 4), click.Whole(1)
	r := newRig(t, step)
	want := func(what string, start, length click.Beats) {
		t.Helper()
		if got := r.step(); got.ChunkStart() != start || got.Chunk.Length != length {
			t.Errorf("%s: the chunk is at %s for %s, want %s for %s", what, got.ChunkStart(), got.Chunk.Length, start, length)
		}
	}
	r.keys("]")
	want("] adds a slot", click.Frac(21, 4), click.Frac(5, 4))
	r.keys("[", "[")
	want("[ takes one off", click.Frac(21, 4), click.Frac(3, 4))
	r.keys(">")
	want("> moves it by a slot", click.Frac(11, 2), click.Frac(3, 4))
	if m := passageModel(r.step(), byBeat, r.o.Keys); !m.BySlot || m.ByName != "slot" {
		t.Errorf("the strip says that it goes by %ss", m.ByName)
	}
	w := r.p.passage
	x := func(beat float64) float32 { return 2 + (w.Size().Width-4)*float32(beat/16) }
	drag := func(from, to float64) {
		t.Helper()
		w.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(from), 46)}})
		w.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(to), 46)}, Dragged: fyne.NewDelta(x(to)-x(from), 0)})
		w.DragEnd()
	}
	drag(6.25, 7.8)
	want("the end dragged", click.Frac(11, 2), click.Frac(9, 4))
	drag(5.5, 5.05)
	want("the start dragged to a beat", click.Whole(5), click.Frac(11, 4))
	r.keys("<")
	want("on the beat it goes by beats", click.Whole(4), click.Frac(11, 4))
	r.keys("[")
	want("at its end too", click.Whole(4), click.Whole(2))
}

// The slots of a swung beat are where they sound.
func TestAHandleStopsOnASwungSlot(t *testing.T) {
	step := practised()
	step.Slots = click.Swing(2, 1)
	r := newRig(t, step)
	w := r.p.passage
	x := func(beat float64) float32 { return 2 + (w.Size().Width-4)*float32(beat/16) }
	w.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(7), 46)}, Modifier: fyne.KeyModifierShift})
	w.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(6.4), 46)}, Dragged: fyne.NewDelta(x(6.4)-x(7), 0)})
	w.DragEnd()
	if got := r.step().Chunk.Length; got != click.Frac(5, 3) {
		t.Errorf("the chunk is %s beats long, want 1 2/3", got)
	}
	r.keys("g", ">")
	if got := r.step(); got.ChunkStart() != click.Frac(17, 3) || got.Chunk.Length != click.Frac(4, 3) {
		t.Errorf("moved by a slot it is at %s for %s, want 5 2/3 for 1 1/3", got.ChunkStart(), got.Chunk.Length)
	}
}

// ragged is the march with a pickup of half a beat, and a bar of three.
func ragged() ladder.Step {
	step := practised()
	step.Pickup = click.Frac(1, 2)
	step.Meters = []click.MeterChange{{Bar: 18, Meter: click.MakeMeter(3, 4)}, {Bar: 19, Meter: click.MakeMeter(4, 4)}}
	return step
}

func TestTheBracketFollowsMetersAndPickup(t *testing.T) {
	r := newRig(t, ragged())
	m := passageModel(r.step(), byBeat, r.o.Keys)
	var beats []int
	for _, bar := range m.Bars {
		beats = append(beats, bar.Beats)
	}
	if !slices.Equal(beats, []int{4, 3, 4, 4}) || m.Pickup != m.Grain/2 || m.Start != 5*m.Grain {
		t.Errorf("the strip has bars of %v, a pickup of %d and the chunk at %d of %d a beat", beats, m.Pickup, m.Start, m.Grain)
	}
	// The strip begins half a beat before the line of bar 17.
	w := r.p.passage
	x := func(beat float64) float32 { return 2 + (w.Size().Width-4)*float32((beat+0.5)/15.5) }
	drag := func(from, to float64) {
		t.Helper()
		w.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(from), 46)}})
		w.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x(to), 46)}, Dragged: fyne.NewDelta(x(to)-x(from), 0)})
		w.DragEnd()
	}
	want := func(what string, bar int, at, length click.Beats) {
		t.Helper()
		if c := r.step().Chunk; c.Bar != bar || c.At != at || c.Length != length {
			t.Errorf("%s: the chunk is at %d:%s for %s, want %d:%s for %s", what, c.Bar, c.At, c.Length, bar, at, length)
		}
	}
	drag(6, 8.1)
	want("over the bar of three", 19, click.Beats{}, click.Whole(2))
	drag(8, 20)
	want("to the end", 20, click.Whole(2), click.Whole(2))
	drag(14, -3)
	want("to the pickup", 16, click.Frac(7, 2), click.Whole(2))
	r.keys(">")
	want("from there by slots", 16, click.Frac(15, 4), click.Whole(2))
	test.TapAt(w, fyne.NewPos(x(4.3), 46))
	want("a tap puts it on a beat", 18, click.Beats{}, click.Whole(2))
}

func TestWhatAChunkIsCalled(t *testing.T) {
	swung := practised()
	swung.Slots = click.Swing(2, 1)
	for _, tt := range []struct {
		step          ladder.Step
		start, length click.Beats
		want          string
	}{
		{practised(), click.Whole(5), click.Whole(2), "bar 18, beats 2–3"},
		{practised(), click.Whole(4), click.Whole(4), "bar 18"},
		{practised(), click.Whole(4), click.Whole(8), "bars 18–19"},
		{practised(), click.Frac(21, 4), click.Frac(1, 2), "bar 18, beat 2, slots 2–3"},
		{practised(), click.Frac(11, 2), click.Whole(1), "bar 18 beat 2 slot 3 to beat 3 slot 2"},
		{practised(), click.Frac(11, 2), click.Frac(3, 2), "bar 18 beat 2 slot 3 to beat 3 slot 4"},
		{practised(), click.Frac(15, 2), click.Whole(1), "bar 18 beat 4 slot 3 to bar 19 beat 1 slot 2"},
		{practised(), click.Whole(5), click.Frac(5, 4), "bar 18 beat 2 slot 1 to beat 3 slot 1"},
		{practised(), click.Whole(5), click.Frac(3, 4), "bar 18, beat 2, slots 1–3"},
		{practised(), click.Frac(16, 3), click.Whole(1), "bar 18, beat 2+1/3, for 1 beat"},
		{practised(), click.Frac(16, 3), click.Frac(3, 2), "bar 18, beat 2+1/3, for 1 1/2 beats"},
		{practised(), click.Frac(16, 3), click.Whole(2), "bar 18, beat 2+1/3, for 2 beats"},
		{practised(), click.Whole(5), click.Frac(1, 3), "bar 18, beat 2, for 1/3 of a beat"},
		{swung, click.Whole(5), click.Frac(5, 3), "bar 18 beat 2 slot 1 to beat 3 slot 1"},
		{swung, click.Frac(17, 3), click.Frac(1, 3), "bar 18, beat 2, slot 2"},
		{ragged(), click.Whole(4), click.Whole(3), "bar 18"},
		{ragged(), click.Whole(4), click.Whole(7), "bars 18–19"},
		{ragged(), click.Whole(6), click.Whole(2), "bar 18 beat 3 to bar 19 beat 1"},
		{ragged(), click.Frac(-1, 2), click.Frac(1, 2), "pickup, beat 4, slots 3–4"},
		{ragged(), click.Frac(-1, 2), click.Frac(5, 2), "pickup beat 4 slot 3 to bar 17 beat 2 slot 4"},
	} {
		if got := chunkWords(tt.step, tt.start, tt.length); got != tt.want {
			t.Errorf("%s beats from %s are called %q, want %q", tt.length, tt.start, got, tt.want)
		}
	}
}

func TestAClickOnAStrokeChangesItsDynamics(t *testing.T) {
	r := newRig(t)
	w := r.p.lane
	// The lane holds 2 + 2 + 1 + 2 beats; the chunk starts after the count-in.
	x := func(beat float64) float32 { return 26 + (w.Size().Width-52)*float32(beat/7) }
	mark := func() click.Dynamics {
		m, _ := r.step().Measures()
		return r.step().Accents.Marks(m.Bar(18), r.step().Slots, 1)[0]
	}
	// mf → p → pp → - → f → mf
	for _, want := range []click.Dynamics{click.Piano, click.Pianissimo, click.Silent, click.Forte, click.MezzoForte} {
		test.TapAt(w, fyne.NewPos(x(2)+1, 80))
		if got := mark(); got != want {
			t.Fatalf("a click made it %s, want %s", got, want)
		}
	}
	test.TapSecondaryAt(w, fyne.NewPos(x(2), 80))
	if got := mark(); got != click.Forte {
		t.Errorf("the other button made it %s, want f", got)
	}
	before := r.session.View().Edits
	test.TapAt(w, fyne.NewPos(x(5), 80)) // the breath
	if r.session.View().Edits != before {
		t.Error("a click on the breath changed the step")
	}
}

func TestTheLadderIsClicked(t *testing.T) {
	r := newRig(t)
	size := r.p.ladder.Size()
	test.TapAt(r.p.ladder, fyne.NewPos(size.Width/2, 78))
	if got := r.state().Standing.Tempo(); got != click.BPM(104) {
		t.Errorf("the top rung is %s, want the goal 104", got)
	}
	r.keys("7", "7", "Return")
	test.TapAt(r.p.ladder, fyne.NewPos(size.Width/2, 78))
	if got := r.state().Standing; got.Tempo() != click.BPM(104) || got.ByHand != 0 {
		t.Errorf("from a tempo by hand the top rung is %s", got.Tempo())
	}
}

func TestTheNumberIsWhatIsHeard(t *testing.T) {
	r := newRig(t)
	r.keys("Space")
	r.play(3)
	r.keys("Up")
	v := r.session.View()
	m := tempoModel(v.State, v.Now, r.o.Keys)
	if m.Number != "64" || m.Next+" "+m.Hint != "68 from the next count-in" {
		t.Errorf("the number is %s, and under it %q", m.Number, m.Hint)
	}
	r.play(8)
	v = r.session.View()
	if m = tempoModel(v.State, v.Now, r.o.Keys); m.Number != "68" || m.Hint+m.Next != "" {
		t.Errorf("after the count-in the number is %s, and under it %q", m.Number, m.Hint)
	}
	r.keys("8", "1", "Return")
	v = r.session.View()
	if m = tempoModel(v.State, v.Now, r.o.Keys); m.Number != "68" || m.Next+" "+m.Hint != "81 from the next slot" {
		t.Errorf("of a typed tempo the number is %s, and under it %q", m.Number, m.Hint)
	}
	r.play(0.5)
	v = r.session.View()
	if m = tempoModel(v.State, v.Now, r.o.Keys); m.Number != "81" || m.Hint+m.Next != "" {
		t.Errorf("half a beat later the number is %s, and under it %q", m.Number, m.Hint)
	}
	r.keys("i", "i", "i", "i", "i", "i", "i") // up to 8 and round to none
	if r.step().CountIn != 0 {
		t.Fatalf("the count-in is %d beats", r.step().CountIn)
	}
	r.play(3)
	r.keys("Up")
	v = r.session.View()
	if m = tempoModel(v.State, v.Now, r.o.Keys); m.Next+" "+m.Hint != "84 from the next rep" {
		t.Errorf("without a count-in it says %q", m.Hint)
	}
}

func TestTheStandLeadsBackFromTheLastStep(t *testing.T) {
	second := practised()
	second.Name = "Slow settling"
	r := newRig(t, practised(), second)
	w := r.p.status
	low := w.Size().Height * 0.9
	test.TapAt(w, fyne.NewPos(10, low))
	if got := r.state().StepAt; got != 1 {
		t.Fatalf("a tap on what comes next leads to step %d", got)
	}
	test.TapAt(w, fyne.NewPos(10, low))
	if got := r.state().StepAt; got != 0 {
		t.Errorf("a tap on the way back leads to step %d", got)
	}
}

func TestKnobsTurnBothWays(t *testing.T) {
	r := newRig(t)
	w := r.p.knobs
	test.TapAt(w, fyne.NewPos(10, 20))
	if got := r.step().Slots.Count(); got != 5 {
		t.Errorf("a click on the slots made them %d", got)
	}
	test.TapSecondaryAt(w, fyne.NewPos(10, 20))
	if got := r.step().Slots.Count(); got != 4 {
		t.Errorf("the other button made them %d", got)
	}
	test.TapAt(w, fyne.NewPos(w.Size().Width-10, 20))
	if r.sound.level != 45 {
		t.Errorf("a click on the level made it %d", r.sound.level)
	}
}

// A note of several lines is read whole where it is written, and keeps its lines.
func TestALongNoteIsReadWholeAndKeepsItsLines(t *testing.T) {
	step := practised()
	step.Pencil = "whisper key off before the high A, and back on at once\nbreathe before bar 17, not in the run\nkeep the air moving\nno hurry"
	r := newRig(t, step)
	r.window.Resize(fyne.NewSize(900, 552))
	edits := r.session.View().Edits
	r.keys("w")
	if r.entry.Text != step.Pencil {
		t.Errorf("the note is shown as %q", r.entry.Text)
	}
	if room, need := r.entry.Size(), widget.NewLabel(step.Pencil).MinSize(); room.Height < need.Height {
		t.Errorf("the note has %v, and needs %v", room, need)
	}
	if r.p.knobs.Visible() {
		t.Error("the note lies over the knobs")
	}
	r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if r.step().Pencil != step.Pencil || r.session.View().Edits != edits {
		t.Errorf("to read it made it %q", r.step().Pencil)
	}
	if !r.p.knobs.Visible() || !r.p.status.Visible() {
		t.Error("the knobs or the line on the climb do not come back")
	}
	r.keys("w")
	r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyPageDown})
	r.entry.KeyDown(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	r.entry.KeyUp(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	test.Type(r.entry, "slow")
	r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := r.step().Pencil; got != step.Pencil+"\nslow" {
		t.Errorf("with a line more it is %q", got)
	}
}

func TestThePencilIsWrittenInPlace(t *testing.T) {
	r := newRig(t)
	test.Tap(r.p.pencil)
	if r.entry == nil || r.window.Canvas().Focused() != r.entry {
		t.Fatal("the note cannot be written at once")
	}
	test.Type(r.entry, "whisper key off")
	r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := r.step().Pencil; got != "whisper key off" {
		t.Errorf("the note is %q", got)
	}
	if r.entry != nil {
		t.Error("the note stays open after Enter")
	}
	r.keys("w")
	test.Type(r.entry, " before the high A")
	r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if got := r.step().Pencil; got != "whisper key off" {
		t.Errorf("Escape kept %q", got)
	}
	r.keys("w")
	test.Type(r.entry, " early")
	r.window.Canvas().Unfocus()
	if got := r.step().Pencil; got != "whisper key off early" {
		t.Errorf("a click elsewhere left %q", got)
	}
}

// What a file cannot hold does not come in: it is made fit while it is typed or
// pasted, and what stood there is not pushed out.
func TestTheNoteIsMadeFitWhileItIsTyped(t *testing.T) {
	long := strings.Repeat("slowly ", ladder.MaxNote/7)
	for _, tt := range []struct{ before, paste, want string }{
		{"", "half\thole\u2028on G\x00", "half hole\non G"},
		{"", long + "and lightly", (long + "and lightly")[:ladder.MaxNote]},
		{long + "and low", "more", long + "and low"},
		{"soft", " and\r\nlow ", "soft and\nlow"},
	} {
		step := practised()
		step.Pencil = ladder.Note(tt.before)
		r := newRig(t, step)
		r.keys("w")
		r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyPageDown})
		fyne.CurrentApp().Clipboard().SetContent(tt.paste)
		r.entry.TypedShortcut(&fyne.ShortcutPaste{Clipboard: fyne.CurrentApp().Clipboard()})
		r.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		if got := r.step().Pencil; got != ladder.Note(tt.want) {
			t.Errorf("%.20q pasted gives %q, want %q", tt.paste, got, tt.want)
		}
		if faults := r.step().Check(); len(faults) > 0 {
			t.Errorf("%.20q pasted: %v", tt.paste, faults)
		}
	}
}
