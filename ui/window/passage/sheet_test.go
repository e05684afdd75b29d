package passage

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage/pattern"
	"footing/ui/window/keys"
)

// noted is a step of four bars with rests, a tie and a triplet.
func noted(t *testing.T) (ladder.Step, *notes.Notes) {
	t.Helper()
	s := march.Step(nil)
	s.Passage = ladder.Passage{From: 17, To: 20}
	s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(1)}
	s.Notes = ladder.Notes{
		Typed: ladder.TypedNotes{Unit: "1/16", Text: "CDEF GABc defg agfe | z4 (3EFG A2 B4- B2c2 | " +
			"c2z2 ^F2z2 G2A2 z4 | G8 C8 |"},
		Instrument: ladder.Instrument{Name: "bassoon"},
	}
	n, _, err := notes.Of(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s, n
}

// The bracket of a chunk holds the heads of its notes and no others, whatever
// notes it is set on, at any size; and pointing at a head means its note.
func TestTheBracketHoldsTheChunk(t *testing.T) {
	s, n := noted(t)
	for _, size := range []fyne.Size{{Width: 700, Height: 400}, {Width: 900, Height: 440}, {Width: 1200, Height: 540}, {Width: 500, Height: 200}} {
		for _, device := range []float32{1, 1.5} {
			sheet, err := layOut(n, nil, size, 1, device)
			if err != nil {
				t.Fatal(err)
			}
			for note := range n.All {
				page := sheet.pageOf(sheet.place(note).System)
				f := sheet.frame(note, page)
				if got := sheet.at(fyne.NewPos(f.X+f.W/2, f.Y+f.H/2), page); got != note || f.W <= 0 {
					t.Fatalf("pointing at note %d in %v means %d", note, size, got)
				}
			}
			for a := range n.All {
				for b := a; b < len(n.All); b++ {
					step := n.FromTo(s, b, a)
					in := map[int]bool{}
					for page := range sheet.pages {
						for _, span := range sheet.spans(step, page) {
							for note := range n.All {
								f := sheet.frame(note, page)
								if x := f.X + f.W/2; f.W > 0 && x > span.X && x < span.X+span.W && f.Y+f.H/2 > span.Y && f.Y+f.H/2 < span.Y+span.H {
									in[note] = true
								}
							}
						}
					}
					for note := range n.All {
						if want := note >= a && note <= b; in[note] != want {
							t.Fatalf("from %d to %d in %v note %d is bracketed: %v", a, b, size, note, in[note])
						}
					}
				}
			}
		}
	}
}

// desk is a session that stands still.
type desk struct{ state ladder.State }

func (d *desk) View() conduct.View { return conduct.View{State: d.state} }
func (d *desk) Do(e ladder.Event)  { d.state, _ = ladder.Reduce(d.state, e) }
func (d *desk) Change(edit func(ladder.Step) ladder.Step) []ladder.Fault {
	d.state, _ = ladder.Reduce(d.state, ladder.Revise{Step: edit(d.state.Step())})
	return nil
}

// Neither the cursor nor the chunk paints the notes again.
func TestTheCursorPaintsNoNotes(t *testing.T) {
	test.NewTempApp(t)
	s, _ := noted(t)
	d := &desk{ladder.New(ladder.Routine{Name: "Runs", Steps: []ladder.Step{s}}, false)}
	v := New(Options{
		Desk: d, Keys: keys.NewMap(), Path: func() string { return "" },
		Read:       func(read, show func()) { read(); show() },
		ChunkWords: func(ladder.Step) string { return "" },
	})
	w := test.NewTempWindow(t, v.Object())
	w.Resize(fyne.NewSize(900, 600))
	v.Enter()
	w.Canvas().Capture()
	before, chunk := v.still.Painted(), d.state.Step().Chunk
	for _, key := range []string{"Right", "]", "Right", ">", "x"} {
		if !v.Key(key, false) {
			t.Errorf("the view has no use for %q", key)
		}
		v.Refresh()
		w.Canvas().Capture()
	}
	if got := v.still.Painted(); before == 0 || got != before {
		t.Errorf("the notes were painted %d times, then %d times more", before, got-before)
	}
	if d.state.Step().Chunk == chunk {
		t.Error("the chunk is as it was")
	}
}

// A step that names no instrument is read for the routine's.
func TestTheRoutinesInstrument(t *testing.T) {
	test.NewTempApp(t)
	s := march.Step(nil)
	s.Passage = ladder.Passage{From: 1, To: 8}
	s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(1)}
	s.Notes = ladder.Notes{Pattern: pattern.Words{Key: "B flat major", Octaves: 2}}
	r := ladder.Routine{Name: "Runs", Instrument: ladder.Instrument{Name: "bassoon"}, Steps: []ladder.Step{s}}
	v := New(Options{
		Desk: &desk{ladder.New(r, false)}, Keys: keys.NewMap(), Path: func() string { return "" },
		Read:       func(read, show func()) { read(); show() },
		ChunkWords: func(ladder.Step) string { return "" },
	})
	v.Enter()
	if v.found == nil || v.found.All[0].Pitch.String() != "Bb1" {
		t.Errorf("found %v, %v; want a scale from Bb1", v.found, v.fault)
	}
}
