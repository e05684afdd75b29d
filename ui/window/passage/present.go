package passage

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/counted"
	"footing/ladder/notes"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
)

// The buttons.
const (
	pressMark     = "mark"
	pressGroup    = "group"
	pressPractise = "practise"

	keyFinger  = "f" // another fingering of the note
	keyFingers = "h" // how much of the fingers is shown
	keyHardest = "z" // the chunk around the hardest change, and on from there
)

// show shows everything but the notes themselves.
func (v *View) show() {
	m, step := v.o.Keys, v.step()
	v.shown = step
	v.showPlan(step)
	v.showBeats(step)
	practise := draw.Button{ID: pressPractise, Label: "Practise this", Key: "Enter", Filled: true, Share: 35}
	if v.sheet == nil {
		v.p.sheet.Set(v.instead(step))
		v.p.above.Set(draw.CaptionModel{Strong: v.o.ChunkWords(step)})
		v.p.below.Set(draw.CaptionModel{})
		v.p.actions.Set(practise)
		return
	}
	v.p.hands.Set(v.handsModel())
	shown := v.previewed(step)
	model := draw.SheetModel{
		Chunk: v.sheet.spans(shown, v.page), Landing: shown.Chunk.Landing, Cursor: v.sheet.frame(v.cursor, v.page),
	}
	if n := len(v.sheet.pages); n > 1 {
		model.Page = fmt.Sprintf("page %d of %d", v.page+1, n)
	}
	v.p.sheet.Set(model)
	above := draw.CaptionModel{
		Strong: v.o.ChunkWords(shown), Words: counted.Of(len(v.found.Chunk(shown).Begin), "note"),
		Hints: []draw.Hint{
			{Keys: []string{m.Label(keys.Earlier), m.Label(keys.Later)}, Does: "move"},
			{Keys: []string{m.Label(keys.Shrink), m.Label(keys.Widen)}, Does: "size, by note"},
		},
	}
	if v.o.Charts != nil {
		above.Hints = append(above.Hints,
			draw.Hint{Keys: []string{keys.Label(keyHardest)}, Does: "hardest"}, draw.Hint{Keys: []string{keys.Label(keyFingers)}, Does: "fingers"})
	}
	v.p.above.Set(above)
	below := draw.CaptionModel{Strong: v.noteWords(), Pencil: true, Hints: []draw.Hint{
		{Keys: []string{"←", "→", "↑", "↓"}, Does: "to another note"},
	}}
	if v.o.Charts != nil {
		below.Hints = append([]draw.Hint{{Keys: []string{keys.Label(keyFinger)}, Does: "fingering"}}, below.Hints...)
		below.Words = v.fingerWords()
	}
	if at := v.marked(step, v.cursor); at >= 0 && step.Notes.Marks[at].Text != "" {
		below.Words = join("marked "+words(step.Notes.Marks[at]), below.Words)
	}
	if v.told != "" {
		below.Words = v.told
	}
	if fault := v.fingerFault(); fault != "" && v.o.Fingers() != FingersOff {
		below.Words, below.Warm = fault, true
	}
	if v.said != "" {
		below.Words, below.Warm = v.said, true
	}
	v.p.below.Set(below)
	v.p.actions.Set(
		draw.Button{ID: pressMark, Label: "Mark a note", Key: m.Label(keys.Pencil), Pencil: true, Share: 27},
		draw.Button{ID: pressGroup, Label: "To the next group", Key: m.Label(keys.Group), Share: 38},
		practise,
	)
}

// instead is what is said where there are no notes to show.
func (v *View) instead(step ladder.Step) draw.SheetModel {
	switch {
	case v.fault != nil:
		return draw.SheetModel{Lead: "The notes cannot be shown.", Text: sentence(v.fault), Warm: true}
	case v.finder.Busy():
		return draw.SheetModel{Lead: "Reading the notes …"}
	case step.Notes.None():
		return draw.SheetModel{
			Lead: "This step has no notes yet.",
			Text: "Write some in the Routines view, or in the routine's file:\n" +
				"notes: CDEF GABc |  for notes that are typed,\n" +
				"score: weir-street.musicxml  for a score that lies beside the routine,\n" +
				"pattern: {key: E flat major, figure: thirds up}  for a pattern.",
		}
	}
	return draw.SheetModel{}
}

// noteWords names the note under the cursor.
func (v *View) noteWords() string {
	note := v.found.All[v.cursor]
	return fmt.Sprintf("%s at %s", note.Pitch, v.found.Place(note.From))
}

// join sets two parts of a line beside each other.
func join(a, b string) string {
	if b == "" {
		return a
	}
	return a + " · " + b
}

// words are those of a mark.
func words(m ladder.NoteMark) string {
	if m.Text == "" {
		return m.Finger
	}
	return m.Text
}

// previewed is the step with its chunk as the mouse is about to set it.
func (v *View) previewed(step ladder.Step) ladder.Step {
	if v.drag == nil {
		return step
	}
	return v.found.FromTo(step, v.drag[0], v.drag[1])
}

// marked is the mark on a note, by its index among the step's marks; −1 for none.
func (v *View) marked(step ladder.Step, note int) int {
	bar, at := placeOf(v.found, step, note)
	for i, m := range step.Notes.Marks {
		if m.Bar == bar && m.At == at {
			return i
		}
	}
	return -1
}

// placeOf is the bar that a note begins in, by its number, and where in it.
func placeOf(n *notes.Notes, step ladder.Step, note int) (bar int, at click.Beats) {
	m, err := step.Measures()
	if err != nil {
		return 0, click.Beats{}
	}
	return m.Where(n.All[note].From)
}
