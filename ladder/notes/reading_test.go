package notes_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage"
)

// struckAt is when a place is struck, by a reading's knots.
func struckAt(t interface{ Fatalf(string, ...any) }, knots []notes.Knot, at click.Beats) click.Beats {
	i := 0
	for i < len(knots) && knots[i].Read.Cmp(at) <= 0 {
		i++
	}
	switch {
	case i == 0:
		t.Fatalf("%s comes before the first knot, %+v", at, knots)
	case i == len(knots):
		return knots[i-1].Struck.Add(at.Sub(knots[i-1].Read))
	}
	a, b := knots[i-1], knots[i]
	rise, run := b.Struck.Sub(a.Struck), b.Read.Sub(a.Read)
	within := at.Sub(a.Read)
	return a.Struck.Add(click.Frac(within.Num()*rise.Num()*run.Den(), within.Den()*rise.Den()*run.Num()))
}

// The eye, the ear and the click agree: of any notes, under any slots and any angle,
// by notes or by slots, each note that a rep plays stands once for each time that it is
// played, where it is struck, and nothing else is to be seen. Where an angle goes by
// notes there is a click on each of them, and none beside them but those of the pulse.
func TestLawOfReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := found(t)
		if rapid.Bool().Draw(t, "known") {
			s = n.Known(s)
		}
		if all := s.Angles(); rapid.Bool().Draw(t, "angled") {
			s.Angle = all[rapid.IntRange(0, len(all)-1).Draw(t, "angle")]
		}
		r := n.Reading(s)
		if !slices.IsSortedFunc(r.Knots, func(a, b notes.Knot) int { return max(a.Read.Cmp(b.Read), a.Struck.Cmp(b.Struck)) }) {
			t.Fatalf("knots go back: %+v", r.Knots)
		}
		type seen struct {
			note int
			at   click.Beats
		}
		var want, got []seen
		for _, turn := range n.Turns(s) {
			want = append(want, seen{turn.Note, turn.At})
		}
		zero := n.Part.Onset(n.Line.Notes[n.All[0].First])
		for i, l := range r.Line.Notes {
			at := n.All[0].From.Add(passage.InBeats(n.Part.Onset(l).Sub(zero), s.Unit))
			if l.At.Sign() < 0 || i > 0 && n.Part.Onset(l).Less(n.Part.Onset(r.Line.Notes[i-1])) {
				t.Fatalf("note %d of the line is out of order", i)
			}
			all := slices.IndexFunc(n.All, func(a notes.Note) bool { return a.First == r.Written[i] })
			if l.Hidden || all < 0 || at.Less(r.From) || !at.Less(r.To) {
				continue
			}
			got = append(got, seen{all, struckAt(t, r.Knots, at)})
		}
		order := func(a, b seen) int { return a.at.Cmp(b.at)*1000 + a.note - b.note }
		slices.SortFunc(want, order)
		slices.SortFunc(got, order)
		if !slices.Equal(got, want) {
			t.Fatalf("%s under %s, %q:\nto be seen   %v\nto be heard  %v", s.Notes.Typed.Text, s.Slots, s.Angle, got, want)
		}
		if s.ByNotes() && s.Angle != (angle.Angle{}) {
			turned := map[click.Beats]bool{}
			for _, turn := range n.Turns(s) {
				turned[turn.At] = turned[turn.At] || !turn.Landing
			}
			clicks := map[click.Beats]bool{}
			loop := s.Loop()
			for i, stroke := range loop.RepPhrase(s.Tempo.From).Strokes {
				clicks[stroke.At] = true
				// What is before the first note is struck like one.
				if stroke.Part == click.InChunk && stroke.Cell > 0 && loop.Path.Cells[stroke.Cell-1].Slot > 0 && !turned[stroke.At] {
					t.Fatalf("%s under %s, %q: click %d, at %s, is on no note", s.Notes.Typed.Text, s.Slots, s.Angle, i, stroke.At)
				}
			}
			for at, is := range turned {
				if is && !clicks[at] {
					t.Fatalf("%s under %s, %q: the note at %s has no click", s.Notes.Typed.Text, s.Slots, s.Angle, at)
				}
			}
		}
		if err := bound(r.Line); err != "" {
			t.Fatalf("%s, %q: %s", s.Notes.Typed.Text, s.Angle, err)
		}
	})
}

// bound says what is wrong with slurs.
func bound(l passage.Line) string {
	open := false
	for i, note := range l.Notes {
		for _, m := range note.Marks {
			if m.Name != passage.MarkSlur {
				continue
			}
			if open == (m.Edge == passage.Start) {
				return fmt.Sprintf("a slur's %s on note %d", m.Edge, i)
			}
			open = !open
		}
	}
	if open {
		return "a slur does not end"
	}
	return ""
}

// read tells the line of a reading: a note a word, with its slurs, accents and signs.
func read(n *notes.Notes, r notes.Reading) string {
	var out []string
	for _, l := range r.Line.Notes {
		if at := n.At(l); l.Hidden || l.Kind == passage.Rest || at.Less(r.From) || !at.Less(r.To) {
			continue
		}
		word := l.Pitch.String()
		for _, m := range l.Marks {
			switch {
			case m.Name == passage.MarkAccent:
				word = ">" + word
			case m.Edge == passage.Start:
				word = "(" + word
			case m.Edge == passage.Stop:
				word += ")"
			}
		}
		if l.TieTo {
			word += "-"
		}
		out = append(out, word)
	}
	return strings.Join(out, " ")
}

func TestReading(t *testing.T) {
	knots := func(words ...string) string { return strings.Join(words, " ") }
	for _, tt := range []struct {
		what, notes, angle string
		change             func(*ladder.Step)
		want, knots        string
	}{
		{what: "as written", notes: "(CDEF) GABc |", want: "(C4 D4 E4 F4)"},
		{what: "long and short, under the player's slurs", notes: "(CDEF) GABc |", angle: "long short", want: "(C4 D4 E4 F4)",
			knots: knots("0:0", "1/2:3/4", "1:1", "3/2:7/4", "2:2", "3:3")},
		{what: "an articulation in place of the slurs", notes: "(CDEF) (GABc) |", angle: "slur two and two", want: "(C4 D4) (E4 F4)"},
		{what: "tongued", notes: "(CDEF GABc) |", angle: "tongue all", change: func(s *ladder.Step) { s.Chunk.Landing = true }, want: "C4 D4 E4 (F4 G4)"},
		{what: "an articulation over a tie", notes: "CD-DE z4 |", angle: "slur all", want: "(C4 D4- D4 E4)"},
		{what: "accents", notes: "C/D/E/F/ C/D/E/F/ G4 |", angle: "accents every 3", change: func(s *ladder.Step) { s.Slots = click.EvenSlots(4) }, want: ">C4 D4 E4 >F4 C4 D4 >E4 F4"},
		{what: "few notes", notes: "(CDEF) GABc |", angle: "first 2 notes", want: "(C4 D4)"},
		{what: "to and fro", notes: "C^DEF GABc |", angle: "notes 2 and 3 to and fro", want: "D#4 E4 D#4 E4"},
		{what: "a pause", notes: "CDEF GABc |", angle: "stop on each beat", want: "C4 D4 E4 F4", knots: knots("0:0", "1/2:3/2", "1:2", "3/2:7/2", "2:4", "3:5")},
		{what: "moved within the beat", notes: "CDEF GABc |", angle: "begin on slot 2", want: "C4 D4 E4 F4", knots: knots("0:1/2", "1/2:1", "1:3/2", "3/2:2", "2:5/2", "3:7/2")},
		{what: "eighths long and short over sixteenths", notes: "CDEF GABc |", angle: "long short", change: func(s *ladder.Step) { s.Slots = click.EvenSlots(4) },
			want: "C4 D4 E4 F4", knots: knots("0:0", "1/2:3/4", "1:1", "3/2:7/4", "2:2", "3:3")},
		{what: "a run among longer notes", notes: "C2 D/E/F/G/ A4 |", angle: "short long", change: func(s *ladder.Step) { s.Slots = click.EvenSlots(4) },
			want: "C4 D4 E4 F4 G4", knots: knots("0:0", "1:1", "5/4:9/8", "3/2:3/2", "7/4:13/8", "2:2", "3:3")},
		{what: "accents by notes", notes: "CDEF GABc |", angle: "accents every 3", change: func(s *ladder.Step) { s.Slots = click.EvenSlots(4) }, want: ">C4 D4 E4 >F4"},
		{what: "two notes to and fro over a grid that is finer", notes: "CDEF GABc |", angle: "notes 2 and 3 to and fro",
			change: func(s *ladder.Step) { s.Slots = click.EvenSlots(4) }, want: "D4 E4 D4 E4"},
		{what: "a swung pair", notes: "CDEF GABc |", change: func(s *ladder.Step) { s.Slots = click.Swing(2, 1) }, want: "C4 D4 E4 F4",
			knots: knots("0:0", "1/2:2/3", "1:1", "3/2:5/3", "2:2", "5/2:8/3")},
		{what: "a swung pair beside a triplet", notes: "CD(3EFG GABc |", change: func(s *ladder.Step) { s.Slots = click.Swing(3, 1) }, want: "C4 D4 E4 F4 G4",
			knots: knots("0:0", "1/2:3/4", "1:1", "2:2", "5/2:11/4")},
	} {
		s := march.Step(func(s *ladder.Step) {
			s.Passage = ladder.Passage{From: 1, To: 1}
			s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(2)}
			s.Slots = click.EvenSlots(2)
			s.Notes.Typed = ladder.TypedNotes{Text: tt.notes, Unit: "1/8"}
			s.Angle = angled("as written")
		})
		if tt.change != nil {
			tt.change(&s)
		}
		if tt.angle != "" {
			s.Angle = angled(tt.angle)
		}
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Errorf("%s: %v", tt.what, err)
			continue
		}
		s = n.Known(s)
		r := n.Reading(s)
		if got := read(n, r); got != tt.want {
			t.Errorf("%s:\n  %s\nwant\n  %s", tt.what, got, tt.want)
		}
		var got []string
		for _, k := range r.Knots {
			got = append(got, k.Read.String()+":"+k.Struck.String())
		}
		if words := strings.Join(got, " "); tt.knots != "" && words != tt.knots {
			t.Errorf("%s: knots %s, want %s", tt.what, words, tt.knots)
		}
	}
}
