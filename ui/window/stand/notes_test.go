package stand

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/conduct"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ui/window/draw"
)

// notedStep is the practised step with notes: sixteenths, one of them marked, and what
// is landed on in bar 18.
func notedStep() ladder.Step {
	s := practised()
	s.Notes.Typed = ladder.TypedNotes{Key: "Bb", Unit: "1/16", Text: "B,,D,F,B, DB,F,E, D,F,B,D ECA,F, | B,DFD B,CDF GAFD ECA,F, | G,A,B,C DEFG FDB,D CA,F,E, | D,F,E,C, B,,D,C,A,, F,,A,,C,E, B,,4 |"}
	s.Notes.Instrument.Name = "bassoon"
	s.Notes.Marks = []ladder.NoteMark{{Bar: 18, At: click.Frac(9, 4), Text: "flick"}}
	return s
}

// Whatever the meter, the slots and the chunk, the notes of the chunk and its
// landing are in the lane, none else, and each at the time of its stroke.
func TestLawOfTheNotesInTheLane(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(low, high int, label string) int { return rapid.IntRange(low, high).Draw(t, label) }
		s := notedStep()
		s.Notes.Marks, s.Accents, s.Meters = nil, nil, nil
		meter := rapid.SampledFrom([]string{"4/4", "3/4", "6/8", "3+2/8", "2/2"}).Draw(t, "meter")
		s.Meter, _ = click.ParseMeter(meter)
		s.Unit = s.Meter.Unit()
		s.Passage = ladder.Passage{From: num(1, 30, "from")}
		s.Passage.To = s.Passage.From + num(0, 2, "bars")
		s.Notes.Typed.Text = ""
		signs := []string{"G,"} // the first is a note: rests alone are none
		for range s.Passage.To - s.Passage.From + 1 {
			for left := passage.FromClick(s.Meter).Length().Times(4).Floor(); left > 0; {
				length := min(num(1, 4, "length"), left)
				s.Notes.Typed.Text += rapid.SampledFrom(signs).Draw(t, "note") + strconv.Itoa(length) + " "
				signs = []string{"z", "G,", "A,", "B,"}
				left -= length
			}
			s.Notes.Typed.Text += "| "
		}
		sixteenths := passage.FromBeats(click.Whole(4), s.Unit).Floor() // in a beat
		s.Slots = click.EvenSlots(min(sixteenths*num(1, 2, "slots a sixteenth"), click.MaxSlots/sixteenths*sixteenths))
		s.CountIn, s.Breath = num(0, 3, "count-in"), num(0, 2, "breath")
		s.Chunk = ladder.Chunk{Bar: s.Passage.From, Length: click.Whole(1), Landing: rapid.Bool().Draw(t, "landing")}
		s = s.Shifted(num(0, 20, "slots later")).Longer(num(0, 20, "slots longer"))
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		v := conduct.View{State: ladder.New(ladder.Routine{Name: "Runs", Steps: []ladder.Step{s}}, false)}
		m, _ := lane(v)
		stand := &Stand{notes: noted{found: n}}
		got := stand.laneNotes(v, m)
		if got != stand.laneNotes(v, m) {
			t.Error("the same notes are made twice")
		}
		strokes := map[click.Beats]bool{}
		at := func(beats float64) click.Beats { return click.Frac(int64(beats*840+0.5), 840) }
		for _, sec := range m.Sections {
			if sec.Kind == draw.SectionChunk || sec.Kind == draw.SectionLanding {
				for _, st := range sec.Strokes {
					strokes[at(st.At)] = true
				}
			}
		}
		want := map[int]bool{}
		c := n.Chunk(s)
		for _, i := range append(c.Begin, c.Landing...) {
			want[n.All[i].First] = true
		}
		e := got.Excerpt
		for i, note := range e.Line.Notes {
			on := n.Part.Onset(note)
			if note.Kind == passage.Rest || note.Hidden || on.Less(e.From) || !on.Less(e.To) {
				if want[i] {
					t.Errorf("note %d is not drawn", i)
				}
				continue
			}
			if !want[i] {
				t.Errorf("note %d is drawn and not played", i)
			}
			if !strokes[at(got.At(on))] {
				t.Errorf("note %d at beat %v of the lane has no stroke", i, got.At(on))
			}
		}
		if s.Breath > 0 != (got.Breath > 0) {
			t.Errorf("a breath of %d beats is marked at %d", s.Breath, got.Breath)
		}
	})
}

// Eighths that are written even stand over the strokes of a swung pair, triplets
// beside them where they are.
func TestSwungNotes(t *testing.T) {
	s := notedStep()
	s.Notes.Marks = nil
	s.Notes.Typed.Unit, s.Notes.Typed.Text = "1/8", "C,D, (3E,F,G, G,A, B,C | C,D, (3E,F,G, G,A, B,C | C,D, E,F, G,A, B,C | C8 |"
	s.Accents = nil
	s = s.WithSlots(click.Swing(2, 1))
	s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(2)}
	s.CountIn = 2
	r := newRig(t, s)
	if r.notes.lane == nil {
		t.Fatal("there are no notes")
	}
	for _, tt := range []struct {
		at   click.Beats
		want float64
	}{{click.Whole(0), 2}, {click.Frac(1, 2), 2 + 2.0/3}, {click.Frac(4, 3), 3 + 1.0/3}, {click.Whole(2), 4}} {
		if got := r.notes.lane.At(tt.at); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s is struck at %v, want %v", tt.at, got, tt.want)
		}
	}
}

// An angle takes the notes in the lane along: over its strokes, and in its order.
// A rep that is heard is shown as it sounds.
func TestNotesAlongAnAngle(t *testing.T) {
	s := notedStep()
	s.CountIn = 2
	r := newRig(t, s)
	shown := func() (out []string) {
		v := r.o.Desk.View()
		m, _ := lane(v)
		n := r.laneNotes(v, m)
		for i, note := range n.Excerpt.Line.Notes {
			on := r.notes.found.Part.Onset(note)
			if note.Hidden || on.Less(n.Excerpt.From) || !on.Less(n.Excerpt.To) {
				continue
			}
			word := fmt.Sprintf("%s@%.3g", note.Pitch, n.At(on))
			for _, p := range n.Pencil {
				if p.Note == i {
					word += "!"
				}
			}
			out = append(out, word)
		}
		return out
	}
	is := func(what, want string) {
		t.Helper()
		if got := strings.Join(shown(), " "); got != want {
			t.Errorf("%s:\n  %s\nwant\n  %s", what, got, want)
		}
	}
	set := func(words string) {
		t.Helper()
		a, err := angle.Parse(words)
		if err != nil {
			t.Fatal(err)
		}
		r.change(func(s ladder.Step) ladder.Step { s.Angle = a; return s })
	}
	is("as written", "Bb3@2 C4@2.25 D4@2.5 F4@2.75 G4@3 A4@3.25! F4@3.5 D4@3.75 Eb4@4")
	set("long short")
	is("long and short", "Bb3@2 C4@2.38 D4@2.5 F4@2.88 G4@3 A4@3.38! F4@3.5 D4@3.88 Eb4@4")
	set("notes 6 and 7 to and fro")
	is("to and fro", "A4@2! F4@2.25 A4@2.5! F4@2.75 A4@3! F4@3.25 A4@3.5! F4@3.75 Eb4@4")
	set("begin on slot 3")
	is("shifted", "Bb3@2.5 C4@2.75 D4@3 F4@3.25 G4@3.5 A4@3.75! F4@4 D4@4.25 Eb4@4.5")
}

// An angle goes by the notes that are there: eighths over a grid of sixteenths are
// played long and short, are seen so in the lane, and the click falls on them. Where
// slots are swung it goes by those; where the notes are fewer the Stand says so, and
// how they are made to agree.
func TestAnglesOfFewerNotesThanSlots(t *testing.T) {
	s := notedStep()
	s.Notes.Marks = nil
	s.Notes.Typed.Unit = "1/8"
	s.Notes.Typed.Text = "B,CDF GAFD | B,CDF GAFD | B,CDF GAFD | B,8 |"
	s.CountIn, s.Breath, s.Count, s.Pulse = 0, 0, click.CountNone, click.Halved
	r := newRig(t, s)
	says := func(want string) {
		t.Helper()
		if r.said.Text != want {
			t.Errorf("it says %q, want %q", r.said.Text, want)
		}
	}
	r.keys("q")
	says("angle: long short")
	v := r.o.Desk.View()
	m, _ := lane(v)
	n := r.laneNotes(v, m)
	var seen, clicked []string
	for _, note := range n.Excerpt.Line.Notes {
		on := r.notes.found.Part.Onset(note)
		if !note.Hidden && !on.Less(n.Excerpt.From) && on.Less(n.Excerpt.To) {
			seen = append(seen, fmt.Sprintf("%.3g", n.At(on)))
		}
	}
	for _, stroke := range m.Sections[0].Strokes {
		clicked = append(clicked, fmt.Sprintf("%.3g", stroke.At))
	}
	if got := strings.Join(seen, " "); got != "0 0.75 1 1.75 2" {
		t.Errorf("the notes stand at %s", got)
	}
	if got := strings.Join(clicked, " "); got != "0 0.75 1 1.75" {
		t.Errorf("it clicks at %s", got)
	}
	if r.step().Begins == nil || v.State.Routine.Steps[v.State.StepAt].Begins != nil {
		t.Error("what is known of the notes is not known, or kept")
	}

	r.change(func(s ladder.Step) ladder.Step { return s.WithSlots(click.Swing(2, 1)) })
	r.change(func(s ladder.Step) ladder.Step {
		s.Notes.Typed.Unit, s.Notes.Typed.Text = "1/4", "B,CDF | B,CDF | B,CDF | B,4 |"
		return s
	})
	r.Refresh()
	r.keys("q")
	says("angle: short long, by the 2 slots of a beat. It has 1 note: S sets the slots")
}

// With notes the chunk goes by them too: G leads there, X to the next group.
func TestTheChunkGoesByNotes(t *testing.T) {
	r := newRig(t, notedStep(), practised())
	is := func(what string, at, length click.Beats) {
		t.Helper()
		if c := r.step().Chunk; c.Bar != 18 || c.At != at || c.Length != length {
			t.Errorf("%s: the chunk is bar %d from %s, %s long; want from %s, %s long", what, c.Bar, c.At, c.Length, at, length)
		}
	}
	is("at first", click.Whole(1), click.Whole(2))
	r.keys("g", "g")
	if m := passageModel(r.step(), r.grainOf(), r.o.Keys); m.ByName != "note" {
		t.Errorf("the strip says that it goes by %ss", m.ByName)
	}
	r.keys("]")
	is("a note more", click.Whole(1), click.Frac(9, 4))
	r.keys("[", "[")
	is("two less", click.Whole(1), click.Frac(7, 4))
	r.keys(">")
	is("a note on", click.Frac(5, 4), click.Frac(7, 4))
	r.keys("x")
	is("to the next group", click.Frac(5, 4), click.Frac(3, 4))
	if !r.step().Chunk.Landing {
		t.Error("the next group is not landed on")
	}
	r.keys("g") // round to beats
	if m := passageModel(r.step(), r.grainOf(), r.o.Keys); m.ByName != "slot" {
		t.Errorf("off the beat the strip says that it goes by %ss", m.ByName)
	}
	r.keys("g", "g", "n")
	if r.grainOf() != byBeat {
		t.Error("a step without notes goes by notes")
	}
	before := r.step().Chunk
	r.keys("x", "g")
	if r.step().Chunk != before || r.grainOf() != bySlot {
		t.Errorf("without notes the chunk goes to %v, by %v", r.step().Chunk, r.grainOf())
	}
	r.keys("g", "g", "v")
	if r.grainOf() == byNote {
		t.Error("G leads to notes where there are none")
	}
}

// The lane makes room for notes where a step has some, and only there; while a rep
// of an earlier chunk ends, its notes stay.
func TestTheNotesFollowTheStep(t *testing.T) {
	broken := notedStep()
	broken.Name, broken.Notes.Typed.Text = "Broken", "B,,D,F, |"
	r := newRig(t, notedStep(), practised(), broken)
	height := func() float32 { return r.p.lane.Size().Height }
	tall := height()
	if !r.notes.staff || r.notes.lane == nil || len(r.notes.lane.Pencil) != 1 {
		t.Fatal("there are no notes at first")
	}
	r.keys("Space")
	r.play(2 + 0.6)
	before := r.notes.lane
	r.keys("]")
	if r.notes.lane != before {
		t.Error("the rep that sounds has the notes of the next")
	}
	r.play(5)
	if r.notes.lane == before {
		t.Error("the next rep has the notes of the one before")
	}
	r.keys("Space", "n")
	if r.notes.staff || r.notes.lane != nil && r.laneNotes(r.session.View(), draw.LaneModel{}) != nil || height() >= tall {
		t.Errorf("a step without notes has a lane %v high of %v", height(), tall)
	}
	r.keys("n")
	if r.notes.staff || height() >= tall {
		t.Error("notes that cannot be read have room in the lane")
	}
	r.keys("v", "v")
	if !r.notes.staff || height() != tall {
		t.Error("the notes are not there again")
	}
}

// A plan around the spot goes by the notes, as in the Passage view, and is known again
// as one that was made.
func TestAPlanGoesByTheNotes(t *testing.T) {
	s := notedStep()
	s.Notes.Marks = nil
	s.Notes.Typed.Unit, s.Notes.Typed.Text = "1/8", "B,CDF GAFD | B,CDF GAFD | B,CDF GAFD | B,8 |"
	r := newRig(t, s)
	from := r.step().Chunk
	r.keys("U")
	cuts := r.step().Plan
	if len(cuts) < 3 || cuts[0].Bar != from.Bar || cuts[0].At != from.At || cuts[0].Length != click.Whole(1) || cuts[1].Length != click.Whole(2) {
		t.Fatalf("around the spot it is cut into %+v", cuts)
	}
	r.keys("j", "U")
	if strings.Contains(r.said.Text, "your own") || len(r.step().Plan) == len(cuts) && r.step().Plan[0] == cuts[0] {
		t.Errorf("the plan is taken for the player's own: %q", r.said.Text)
	}
}
