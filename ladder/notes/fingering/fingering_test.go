package fingering_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"footing/assets"
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/fingers"
	"footing/ladder/notes"
	"footing/ladder/notes/fingering"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
)

func clarinet(t testing.TB) *fingers.Chart {
	t.Helper()
	l, err := fingers.Load(assets.Fingerings, "fingerings")
	if err != nil {
		t.Fatal(err)
	}
	c, ok := l.For("clarinet")
	if !ok {
		t.Fatal("there is no chart")
	}
	return c
}

// step is the one of a routine with these lines.
func step(t testing.TB, lines string) (ladder.Step, *notes.Notes) {
	t.Helper()
	f, err := routine.Parse("runs.yaml", []byte("footing: 1\nname: Runs\nsteps:\n  - name: Run\n"+lines))
	if err != nil {
		t.Fatal(err)
	}
	s := f.Routine().Steps[0]
	found, err := new(notesfile.Shelf).Notes(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return s, found.Notes
}

func sides(f *fingering.Fingered) string {
	var out []string
	for _, n := range f.Notes {
		out = append(out, n.Pitch.String()+":"+n.Side())
	}
	return strings.Join(out, " ")
}

const run = "    notes: \"A2 B2 ^c2 d2 | B2 ^d2 ^c2 e2 |\"\n    passage: {bars: 1-2}\n    tempo: {from: 60, goal: 240}\n    unit: 1/8\n"

func TestMarksPin(t *testing.T) {
	s, n := step(t, run)
	f := fingering.Of(n, s, clarinet(t))
	if got := sides(f); got != "A4: B4:L C#5:R D5: B4:L D#5:R C#5:L E5:" {
		t.Errorf("%s", got)
	}
	for _, mark := range []ladder.NoteMark{{Bar: 1, At: click.Whole(2), Finger: "L"}, {Bar: 1, At: click.Whole(2), Text: "L"}} {
		pinned := s
		pinned.Notes.Marks = []ladder.NoteMark{mark}
		f = fingering.Of(n, pinned, clarinet(t))
		if n, ok := f.Note(2); !ok || !n.Pinned || n.Side() != "L" {
			t.Errorf("%+v: %+v", mark, n)
		}
	}
	pinned := s
	pinned.Notes.Marks = []ladder.NoteMark{{Bar: 1, At: click.Whole(2), Text: "like this"}}
	if n, _ := fingering.Of(n, pinned, clarinet(t)).Note(2); n.Pinned {
		t.Error("a text has pinned its note")
	}
}

// The key goes round all choices of a note, and back to the program's own.
func TestNextGoesRound(t *testing.T) {
	s, n := step(t, run)
	c := clarinet(t)
	var seen []string
	for range 3 {
		f := fingering.Of(n, s, c)
		name, ok := f.Next(2)
		if !ok {
			t.Fatal("there is no next choice")
		}
		seen = append(seen, name)
		s = f.Pin(s, 2, name)
		if faults := s.Check(); len(faults) > 0 {
			t.Fatal(faults)
		}
		if got, _ := fingering.Of(n, s, c).Note(2); name != "" && got.Side() != name {
			t.Errorf("%s gives %s", name, got.Side())
		}
	}
	if !slices.Equal(seen, []string{"L", "", "L"}) {
		t.Errorf("%q", seen)
	}
	if _, ok := fingering.Of(n, s, c).Next(3); ok {
		t.Error("D5 has a choice")
	}
	// A text stays beside a pin, and after it.
	s.Notes.Marks = []ladder.NoteMark{{Bar: 1, At: click.Whole(2), Text: "slow"}}
	f := fingering.Of(n, s, c)
	s = f.Pin(s, 2, "L")
	if m := s.Notes.Marks; len(m) != 1 || m[0].Text != "slow" || m[0].Finger != "L" {
		t.Errorf("%+v", m)
	}
	if s = f.Pin(s, 2, ""); len(s.Notes.Marks) != 1 || s.Notes.Marks[0].Text != "slow" {
		t.Errorf("%+v", s.Notes.Marks)
	}
	s.Notes.Marks[0].Text = "R"
	if s = f.Pin(s, 2, ""); s.Notes.Marks != nil {
		t.Errorf("%+v", s.Notes.Marks)
	}
}

func TestTimesAreThoseOfTheGoal(t *testing.T) {
	long := strings.Replace(run, "goal: 240", "goal: 60", 1)
	for text, want := range map[string]bool{run: true, strings.Replace(run, "goal: 240", "goal: 400", 1): false, long: true} {
		s, n := step(t, text)
		if got := fingering.Of(n, s, clarinet(t)).Asked()[1].Long; got != want {
			t.Errorf("at %v a note is long: %v", s.Tempo.Goal, got)
		}
	}
	for text, want := range map[string]bool{"240": false, "60": true} {
		s, n := step(t, "    notes: \"A2 z2 B4 |\"\n    tempo: {from: 60, goal: "+text+"}\n")
		if got := fingering.Of(n, s, clarinet(t)).Asked()[1].Apart; got != want {
			t.Errorf("a rest at %s parts: %v", text, got)
		}
	}
}

func TestHardestFirst(t *testing.T) {
	s, n := step(t, strings.Replace(run, "unit: 1/8", "unit: 1/16", 1)+"    meter: 2/4\n")
	f := fingering.Of(n, s, clarinet(t))
	cuts := f.HardestFirst(s, 0, len(n.All)-1)
	var got []string
	for _, c := range cuts {
		held := n.Chunk(c.Step)
		text := c.Why + ":"
		for _, i := range held.Begin {
			text += " " + n.All[i].Pitch.String()
		}
		if len(held.Landing) > 0 {
			text += " | " + n.All[held.Landing[0]].Pitch.String()
		}
		got = append(got, text)
	}
	want := []string{"the change alone: A4 B4", "with the notes beside it: A4 B4 C#5", "the beat around it: A4 B4 | C#5"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	if cuts := f.HardestFirst(s, 3, 3); cuts != nil {
		t.Errorf("%+v", cuts)
	}
}

func TestWhere(t *testing.T) {
	s, n := step(t, run)
	f := fingering.Of(n, s, clarinet(t))
	if got := f.Where(1); !strings.HasPrefix(got, "where six fingers move, both hands") {
		t.Errorf("%q", got)
	}
	if got := f.Where(2); got != "" {
		t.Errorf("%q", got)
	}
	s = f.Pin(s, 1, "R")
	s.Notes.Marks = append(s.Notes.Marks, ladder.NoteMark{Bar: 1, At: click.Whole(2), Finger: "R"})
	got := fingering.Of(n, s, clarinet(t)).Where(2)
	if !strings.Contains(got, "slides") || !strings.HasSuffix(got, "; C#5 with L would be easier") {
		t.Errorf("%q", got)
	}
}

// Labels stand where a choice matters, and few arches over what is hardest.
func TestThePage(t *testing.T) {
	s, n := step(t, strings.Replace(run, "notes: \"A2 B2 ^c2 d2 |", "notes: \"A2 B2 ^c2 ^f2 |", 1))
	f := fingering.Of(n, s, clarinet(t))
	var labels []string
	for i := range n.All {
		labels = append(labels, f.Label(i))
	}
	if want := []string{"", "L", "R", "", "L", "", "L", ""}; !slices.Equal(labels, want) {
		t.Errorf("%q, want %q", labels, want)
	}
	if arches := f.Arches(); len(arches) == 0 || len(arches) > 2 || arches[0].From != 0 || arches[0].To != 1 {
		t.Errorf("%+v", arches)
	}
	if got, _ := f.Note(1); fingering.Told(got, f.Chart) != "left, C sharp key held (from memory, no source)" {
		t.Errorf("%s", fingering.Told(got, f.Chart))
	}
	s = f.Pin(s, 2, "L")
	f = fingering.Of(n, s, clarinet(t))
	if got, _ := f.Note(2); f.Label(2) != "" || fingering.Told(got, f.Chart) != "left, your choice" {
		t.Errorf("%q, %s", f.Label(2), fingering.Told(got, f.Chart))
	}
}

// The spots go round: every cut leads on to another until the first comes again.
func TestTheSpotsGoRound(t *testing.T) {
	s, n := step(t, run)
	f := fingering.Of(n, s, clarinet(t))
	all := f.Spots(s)
	if len(all) < 3 || all[0].Why != "A4 to B4: the change alone" {
		t.Fatalf("%d spots, the first %q", len(all), all[0].Why)
	}
	for i := range 2 * len(all) {
		cut, ok := f.Onward(s)
		if want := all[i%len(all)].Step.Chunk; !ok || cut.Step.Chunk != want || len(cut.Step.Check()) > 0 {
			t.Fatalf("step %d leads to %+v, want %+v", i, cut.Step.Chunk, want)
		}
		s.Chunk = cut.Step.Chunk
	}
	one, single := step(t, "    notes: \"A8 |\"\n")
	if _, ok := fingering.Of(single, one, clarinet(t)).Onward(one); ok {
		t.Error("a single note has a change")
	}
}
