package fingers_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"footing/assets"
	"footing/ladder/fingers"
	"footing/ladder/passage"
)

func library(t testing.TB) *fingers.Library {
	t.Helper()
	l, err := fingers.Load(assets.Fingerings, "fingerings")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func chart(t testing.TB, name string) *fingers.Chart {
	t.Helper()
	c, ok := library(t).For(name)
	if !ok {
		t.Fatalf("there is no chart of the %s", name)
	}
	return c
}

// passageOf is notes by name, long enough for a change of finger.
func passageOf(t testing.TB, names ...string) []fingers.Note {
	t.Helper()
	var out []fingers.Note
	for _, name := range names {
		p, err := passage.ParsePitch(name)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, fingers.Note{Pitch: p, Long: true})
	}
	return out
}

// What teachers have said in print: testdata/examples.yaml has the passages, and by
// each its source, or the rule that it follows from (assets/fingerings/sources.yaml
// has the sources).
func TestPublishedExamples(t *testing.T) {
	data, err := os.ReadFile("testdata/examples.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Examples []struct {
			ID                                int
			Instrument, What, Notes, Want, Or string
		}
	}
	if err := yaml.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Examples) < 32 {
		t.Fatalf("%d examples", len(file.Examples))
	}
	l := library(t)
	data, err = assets.Fingerings.ReadFile("fingerings/cost.yaml")
	if err != nil {
		t.Fatal(err)
	}
	costs, err := fingers.ReadCosts("cost.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	// As they are, and with each of the costs a tenth less or more.
	tried := []fingers.Costs{costs}
	for term := range costs.Weight {
		for _, by := range []float64{0.9, 1.1} {
			moved := costs
			moved.Weight[term] *= by
			tried = append(tried, moved)
		}
	}
	for _, e := range file.Examples {
		for i, costs := range tried {
			c, ok := l.For(e.Instrument)
			if !ok {
				t.Fatalf("there is no chart of the %s", e.Instrument)
			}
			got := c.WithCosts(costs).Choose(passageOf(t, strings.Fields(e.Notes)...), false)
			if !fits(got, e.Want) && !fits(got, e.Or) {
				t.Errorf("%d, %s: %s comes out as %s, want %s (costs %d)", e.ID, e.What, e.Notes, said(got), e.Want, i)
			}
		}
	}
}

// fits compares a choice with what is wanted of each note: "-" for anything, "L",
// "R" or "R>L", or a word of the fingering's use.
func fits(got *fingers.Choice, want string) bool {
	words := strings.Fields(want)
	if len(words) != len(got.Notes) {
		return false
	}
	for i, w := range words {
		n := got.Notes[i]
		switch {
		case w == "-":
		case strings.Trim(w, "LR>") == "":
			if n.Side() != w {
				return false
			}
		case !strings.Contains(n.Fingering.Use, w):
			return false
		}
	}
	return true
}

func said(c *fingers.Choice) string {
	var out []string
	for _, n := range c.Notes {
		text := n.Fingering.Name
		if n.Then != nil {
			text += ">" + n.Then.Name
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

// The changes of a semitone that players name as the hard ones are among the dearest
// of their instrument. Common practice, no source.
func TestHardSemitones(t *testing.T) {
	for instrument, want := range map[string][]string{
		"clarinet": {"Bb4 B4", "C6 C#6"}, "saxophone": {"Bb3 B3", "C#5 D5"}, "oboe": {"C4 C#4"}, "flute": {"C4 C#4"}, "bassoon": {"F3 F#3"},
	} {
		c := chart(t, instrument)
		var all []fingers.Change
		names := map[int]string{}
		for m := c.Low.Cents() / 100; m < c.Top.Cents()/100; m++ {
			a, b := c.Of(pitch(m))[0], c.Of(pitch(m + 1))[0]
			got := c.Choose([]fingers.Note{{Pitch: a.Pitch}, {Pitch: b.Pitch}}, false).Changes()
			got[0].From = m
			names[m] = a.Pitch.String() + " " + b.Pitch.String()
			all = append(all, got...)
		}
		var dear []string
		for _, change := range fingers.Hardest(all)[:4] {
			dear = append(dear, names[change.From])
		}
		for _, w := range want {
			if !slices.Contains(dear, w) {
				t.Errorf("%s: %s is not among the dearest: %v", instrument, w, dear)
			}
		}
	}
}

// pitch is a MIDI number spelled with sharps.
func pitch(midi int) passage.Pitch {
	letter := []passage.Letter{0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6}[midi%12]
	p := passage.Pitch{Letter: letter, Octave: int8(midi/12 - 1)}
	p.Alter = passage.Alter(100*midi - p.Cents())
	return p
}

// On a note that is not long enough no finger takes another's place, unless the
// player says so.
func TestShortNotesKeepTheirFinger(t *testing.T) {
	c := chart(t, "clarinet")
	notes := passageOf(t, "C#5", "B4", "D#5")
	for i := range notes {
		notes[i].Long = false
	}
	if got := c.Choose(notes, false); got.Notes[1].Then != nil {
		t.Errorf("comes out as %s", said(got))
	}
	notes[1].Pin = "R>L"
	got := c.Choose(notes, false)
	if !fits(got, "- R>L R") || !got.Notes[1].Pinned {
		t.Errorf("pinned comes out as %s", said(got))
	}
	notes[1].Pin = "flick"
	if got := c.Choose(notes, false); got.Notes[1].Pinned {
		t.Error("what is no fingering of the note has pinned it")
	}
}

// A loop minds its seam: from D sharp, right only, back to C sharp.
func TestALoopMindsItsSeam(t *testing.T) {
	c := chart(t, "clarinet")
	notes := passageOf(t, "C#5", "E5", "D#5")
	if got := c.Choose(notes, true); !fits(got, "L - R") || len(got.Changes()) != 3 {
		t.Errorf("comes out as %s", said(got))
	}
	notes[0].Apart = true
	if got := c.Choose(notes, true); len(got.Changes()) != 2 {
		t.Errorf("%d changes with a rest at the seam", len(got.Changes()))
	}
}

// Teachers differ on the hand of F sharp 3 and C sharp 5 (bandencyclopedia.com left,
// juliealinder.com right): alone they are either.
func TestEither(t *testing.T) {
	c := chart(t, "clarinet")
	for note, want := range map[string]bool{"C#5": true, "F#3": true, "B4": false, "C5": false, "D5": false} {
		if got := c.Choose(passageOf(t, note), false).Notes[0]; got.Either() != want {
			t.Errorf("%s: either is %v", note, got.Either())
		}
	}
}

func TestReasons(t *testing.T) {
	c := chart(t, "clarinet")
	notes := passageOf(t, "C#5", "D#5")
	notes[0].Pin = "R"
	for _, tt := range []struct {
		notes []fingers.Note
		want  string
	}{
		{passageOf(t, "E4", "F4"), "one finger"},
		{passageOf(t, "D5", "D5"), "nothing moves"},
		{notes, "one finger, the right little finger slides from the right F sharp/C sharp key to the A-flat/E-flat key (nothing better is charted)"},
	} {
		if got := c.Choose(tt.notes, false).Changes()[0].Sentence(); got != tt.want {
			t.Errorf("%s, want %s", got, tt.want)
		}
	}
}

func TestHolds(t *testing.T) {
	c := chart(t, "clarinet")
	got := c.Choose(passageOf(t, "A4", "B4", "C5", "D5"), false).Holds()
	var ids []string
	for _, h := range got {
		ids = append(ids, fmt.Sprint(h.Key.ID, " ", h.From, "-", h.To))
	}
	// The right hand goes down early, and the right C key under B (bretpimentel.com).
	if want := []string{"4 0-3", "5 0-3", "6 0-3", "rF 1-2"}; !slices.Equal(ids, want) {
		t.Errorf("%v, want %v", ids, want)
	}
}

// What a mark may name: a fingering, all that sound with one hand, a part of a name,
// or a change on the note.
func TestPins(t *testing.T) {
	c := chart(t, "clarinet")
	for _, tt := range []struct {
		note, pin   string
		first, then int // how many rows
		ok          bool
	}{
		{"B4", "L", 3, 0, true}, {"B4", "l", 3, 0, true}, {"B4", "L+rF", 1, 0, true}, {"B4", "R>L", 3, 3, true}, {"B4", "R>L+rF", 3, 1, true},
		{"B4", "", 0, 0, false}, {"B4", "flick", 0, 0, false}, {"B4", "R>", 0, 0, false}, {"B4", ">L", 0, 0, false}, {"B4", "R>side", 0, 0, false},
		{"Eb4", "side", 1, 0, true}, {"Eb4", "1-1", 1, 0, true}, {"Eb4", "1", 2, 0, true}, {"C9", "L", 0, 0, false}, {"D5", "standard", 1, 0, true},
	} {
		first, then, ok := c.Pinned(passageOf(t, tt.note)[0].Pitch, tt.pin)
		if len(first) != tt.first || len(then) != tt.then || ok != tt.ok {
			t.Errorf("%s, %q: %v %v %v", tt.note, tt.pin, first, then, ok)
		}
	}
}

// What a change between two fingerings counts, term by term.
func TestTerms(t *testing.T) {
	type count map[fingers.Term]float64
	for _, tt := range []struct {
		instrument, from, with, to, as string
		want                           count
	}{
		{"flute", "Bb4", "thumb", "B4", "standard", count{fingers.SlideThumb: 1}},
		{"flute", "Eb4", "standard", "C4", "standard", count{fingers.SlideLittle: 1}},
		{"oboe", "D5", "standard", "D4", "standard", count{fingers.Roll: 1}},
		{"oboe", "A5", "standard", "A4", "standard", count{fingers.Roll: 1}},
		{"saxophone", "Bb4", "bis", "B4", "standard", count{fingers.SlideBis: 1}},
		{"saxophone", "D6", "palm", "Eb6", "palm", count{fingers.Roll: 1}},
		{"bassoon", "F2", "standard", "F#2", "little", count{fingers.Roll: 1}},
		{"bassoon", "D2", "standard", "C2", "standard", count{fingers.SlideThumb: 1}},
		{"clarinet", "Bb4", "standard", "A4", "standard", count{fingers.Group: 1}},
		{"clarinet", "Bb4", "standard", "C6", "standard", count{fingers.Group: 1, fingers.Roll: 1}},
		{"clarinet", "A4", "standard", "E4", "standard", count{fingers.Group: 1, fingers.SlideOther: 1}},
		{"clarinet", "E4", "standard", "F#4", "standard", count{fingers.Group: 1}},
		{"clarinet", "F4", "standard", "F#4", "standard", count{fingers.Group: 2, fingers.Contrary: 1}},
		{"clarinet", "F5", "standard", "F#5", "standard", count{fingers.Group: 2, fingers.Contrary: 1, fingers.Flip: 1}},
		{"clarinet", "B4", "L", "E5", "standard", count{fingers.Group: 2, fingers.Hands: 1}},
		{"clarinet", "C#4", "left", "D4", "standard", count{fingers.Group: 1, fingers.More: 1}},
		{"clarinet", "E4", "standard", "B5", "standard", count{fingers.Roll: 1}},
		{"clarinet", "G4", "open", "B4", "L", count{fingers.Group: 2, fingers.More: 6, fingers.Hands: 1, fingers.Break: 1}},
		{"bassoon", "G#2", "little", "A2", "standard", count{fingers.Group: 1, fingers.More: 1}},
		{"flute", "E4", "standard", "D4", "standard", count{fingers.Group: 2, fingers.Contrary: 1, fingers.Flip: 1, fingers.Weak: 1}},
		{"flute", "Eb4", "standard", "E4", "standard", count{fingers.Group: 1, fingers.Weak: 1}},
	} {
		c := chart(t, tt.instrument)
		notes := passageOf(t, tt.from, tt.to)
		notes[0].Pin, notes[1].Pin = tt.with, tt.as
		got := c.Choose(notes, false)
		change := got.Changes()[0]
		for _, term := range fingers.Terms() {
			if change.Count[term] != tt.want[term] {
				t.Errorf("%s, %s %s to %s %s: %s counts %v, want %v", tt.instrument, tt.from, said(got), tt.to, tt.as, term, change.Count[term], tt.want[term])
			}
		}
	}
}

// A flute's thumb is not slid between B flat and B natural: beside B natural, B flat
// is the lever's or one-and-one (common practice, no source).
func TestTheFlutesThumbIsNotSlid(t *testing.T) {
	c, ok := library(t).For("flute")
	if !ok {
		t.Fatal("there is no chart of the flute")
	}
	for _, notes := range []string{"A4 Bb4 B4 C5", "C5 B4 Bb4 A4", "G#5 A#5 B5 C#6"} {
		got := c.Choose(passageOf(t, strings.Fields(notes)...), false)
		for _, n := range got.Notes {
			if strings.HasPrefix(n.Fingering.Use, "thumb") {
				t.Errorf("%s comes out as %s", notes, said(got))
			}
		}
	}
}
