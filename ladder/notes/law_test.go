package notes_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
)

// drawn is a step with notes of its own: typed, a random row of lengths with
// ties, rests and triplets, or a pattern.
func drawn(t *rapid.T) ladder.Step {
	num := func(low, high int, label string) int { return rapid.IntRange(low, high).Draw(t, label) }
	s := march.Step(nil)
	s.Meter, _ = click.ParseMeter(rapid.SampledFrom([]string{"4/4", "3/4", "6/8", "3+2/8", "2/2"}).Draw(t, "meter"))
	s.Unit = s.Meter.Unit()
	bars := num(1, 3, "bars")
	s.Passage = ladder.Passage{From: num(1, 30, "from")}
	s.Passage.To = s.Passage.From + bars - 1
	s.Slots = click.EvenSlots(num(1, 6, "slots"))
	if num(0, 4, "swung") == 0 {
		s.Slots = click.Swing(2, 1)
	}
	s.Chunk = ladder.Chunk{Bar: s.Passage.From, Length: click.Whole(1), Landing: rapid.Bool().Draw(t, "landing")}
	s.Notes.Instrument.Name = rapid.SampledFrom([]string{"", "bassoon", "alto saxophone"}).Draw(t, "instrument")
	if rapid.Bool().Draw(t, "pattern") {
		s.Passage.To = s.Passage.From + 40
		s.Notes.Pattern = pattern.Words{Key: rapid.SampledFrom([]string{"C", "E flat major", "F# minor"}).Draw(t, "key"), Figure: "thirds up", Octaves: 1}
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		s.Passage.To = s.Passage.From + n.Last
		return s
	}
	s.Notes.Typed = ladder.TypedNotes{Unit: "1/16"}
	tied := false
	for range bars {
		left := passage.FromClick(s.Meter).Length().Times(4).Floor()
		for left > 0 {
			kind := num(0, 9, "kind")
			switch {
			case kind == 0 && !tied && s.Notes.Typed.Text != "": // not rests alone
				s.Notes.Typed.Text += "z "
				left--
			case kind == 1 && left >= 2 && !tied:
				s.Notes.Typed.Text += "(3efg "
				left -= 2
			case kind == 2 && left >= 1 && !tied:
				s.Notes.Typed.Text += "{d}"
				fallthrough
			default:
				length := rapid.SampledFrom([]int{1, 1, 1, 2, 3, 4}).Draw(t, "length")
				length = min(length, left)
				s.Notes.Typed.Text += "G" + strconv.Itoa(length)
				left -= length
				if tied = num(0, 4, "tie") == 0; tied {
					s.Notes.Typed.Text += "-"
				}
				s.Notes.Typed.Text += " "
			}
		}
		s.Notes.Typed.Text += "| "
	}
	if tied {
		s.Notes.Typed.Text = s.Notes.Typed.Text[:len(s.Notes.Typed.Text)-2] + "| G |"
		s.Passage.To++
	}
	s.Notes.Typed.Text = strings.TrimSpace(s.Notes.Typed.Text)
	return s
}

func found(t *rapid.T) (ladder.Step, *notes.Notes) {
	s := drawn(t)
	n, _, err := notes.Of(s, nil)
	if err != nil {
		t.Fatalf("%v in %+v", err, s.Notes)
	}
	m, _ := s.Measures()
	start := click.Frac(int64(rapid.IntRange(0, 12*m.Length().Floor()-1).Draw(t, "chunk start")), 12)
	s.Chunk.Bar, s.Chunk.At = m.Where(start)
	s.Chunk.Length = click.Frac(int64(rapid.IntRange(1, m.End().Sub(start).Times(12).Floor()).Draw(t, "chunk length")), 12)
	if faults := s.Check(); len(faults) > 0 {
		t.Fatalf("%+v", faults)
	}
	return s, n
}

// The notes are those of the line as the score has them: in order, at their exact
// places, and together as long as what is written.
func TestNotesLieWhereTheyAreWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := found(t)
		m, _ := s.Measures()
		var sum, written click.Beats
		for i, note := range n.All {
			if i > 0 && note.From.Less(n.All[i-1].To) {
				t.Fatalf("note %d begins before the one before it ends", i)
			}
			if note.From.Less(m.Start()) || m.End().Less(note.To) {
				t.Fatalf("note %d lies outside the passage", i)
			}
			l := n.Line.Notes[note.First]
			bar := n.Part.Bars[l.Bar]
			if want := m.Place(s.Passage.From+bar.Index, passage.InBeats(l.At, s.Unit)); note.From != want || n.At(l) != want {
				t.Fatalf("note %d begins at %s, and is written at %s", i, note.From, want)
			}
			if note.Sounds != note.Pitch.Up(notes.Instrument(s).Transpose.Interval()) || note.Pitch != l.Pitch {
				t.Fatalf("note %d is %s and sounds %s", i, note.Pitch, note.Sounds)
			}
			sum = sum.Add(note.To.Sub(note.From))
		}
		for _, l := range n.Line.Notes {
			if l.Kind == passage.Pitched {
				written = written.Add(passage.InBeats(l.Duration, s.Unit))
			}
		}
		if sum != written {
			t.Fatalf("%s beats sound, and %s are written", sum, written)
		}
	})
}

// The slots of a chunk follow each other from its start to its end, and each note
// that begins in the chunk begins in exactly one of them.
func TestSlotsHoldTheChunk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := found(t)
		all := n.Struck(s.Slots).All
		m, _ := s.Measures()
		from := m.Place(s.Chunk.Bar, s.Chunk.At)
		to := from.Add(s.Chunk.Length)
		var want []int
		for i, note := range all {
			if !note.From.Less(from) && note.From.Less(to) {
				want = append(want, i)
			}
		}
		chunk := n.Chunk(s)
		if !slices.Equal(chunk.Begin, want) {
			t.Fatalf("%v begin in the chunk, want %v", chunk.Begin, want)
		}
		for _, i := range chunk.Held {
			if !all[i].From.Less(from) || !from.Less(all[i].To) {
				t.Fatalf("note %d is not held", i)
			}
		}
		for _, i := range chunk.Landing {
			if at := all[i].From; !s.Chunk.Landing || at.Less(click.Whole(to.Ceil())) || !at.Less(click.Whole(to.Ceil()+1)) {
				t.Fatalf("the landing is at %s, after a chunk to %s", at, to)
			}
		}
		at, got := from, []int(nil)
		for _, slot := range n.Slots(s) {
			if slot.From != at || !slot.From.Less(slot.To) {
				t.Fatalf("a slot from %s to %s where one begins at %s", slot.From, slot.To, at)
			}
			at, got = slot.To, append(got, slot.Begin...)
			for _, i := range slot.Begin {
				if all[i].From.Less(slot.From) || !all[i].From.Less(slot.To) {
					t.Fatalf("note %d does not begin in its slot", i)
				}
			}
		}
		if at != to || !slices.Equal(got, want) {
			t.Fatalf("slots to %s with %v, want to %s with %v", at, got, to, want)
		}
	})
}

// An edit by notes leaves a step that is right, cut where notes begin; each undoes
// the other.
func TestEditsByNotes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, n := found(t)
		all := n.Struck(s.Slots).All
		same := func(what string, got, want ladder.Step) {
			if got.Chunk != want.Chunk {
				t.Fatalf("%s: the chunk is %+v, want %+v", what, got.Chunk, want.Chunk)
			}
		}
		right := func(what string, got ladder.Step) []int {
			m, _ := got.Measures()
			begin := n.Chunk(got).Begin
			if faults := got.Check(); len(faults) > 0 || len(begin) == 0 || all[begin[0]].From != m.Place(got.Chunk.Bar, got.Chunk.At) {
				t.Fatalf("%s leaves %+v with notes %v, %v", what, got.Chunk, begin, faults)
			}
			return begin
		}
		first := rapid.IntRange(0, len(all)-1).Draw(t, "first")
		whole := n.ToNextGroup(s, first)
		begin := right("to the next group", whole)
		if begin[0] != first {
			t.Fatalf("the group begins with note %d, want %d", begin[0], first)
		}
		if last := begin[len(begin)-1] + 1; last < len(all) && all[last].From.Den() == 1 {
			if landing := n.Chunk(whole).Landing; len(landing) == 0 || landing[0] != last {
				t.Fatalf("it lands on %v, want %d", landing, last)
			}
		}
		for _, i := range begin[1:] {
			if all[i].From.Den() == 1 {
				t.Fatalf("note %d begins a group within one", i)
			}
		}
		wider := n.Wider(whole)
		if more := right("wider", wider); wider.Chunk != whole.Chunk {
			if len(more) != len(begin)+1 {
				t.Fatalf("wider has %d notes for %d", len(more), len(begin))
			}
			same("wider and narrower", n.Narrower(wider), whole)
		}
		if narrow := n.Narrower(whole); len(begin) > 1 {
			if len(right("narrower", narrow)) != len(begin)-1 {
				t.Fatal("narrower has not one note less")
			}
		} else {
			same("one note narrower", narrow, whole)
		}
		moved := n.Moved(whole, 1)
		if after := right("moved", moved); moved.Chunk != whole.Chunk {
			if after[0] != begin[0]+1 || len(after) != len(begin) {
				t.Fatalf("moved from %v to %v", begin, after)
			}
			same("there and back", n.Moved(moved, -1), whole)
		}
		last := rapid.IntRange(first, len(all)-1).Draw(t, "last")
		both := right("from note to note", n.FromTo(s, first, last))
		if both[0] != first || both[len(both)-1] != last {
			t.Fatalf("from %d to %d is from %d to %d", first, last, both[0], both[len(both)-1])
		}
		same("from note to note backwards", n.FromTo(s, last, first), n.FromTo(s, first, last))
		same("from note to no note", n.FromTo(s, first, len(all)), s)
		// Wherever the chunk lies, an edit leaves notes in it.
		for what, edit := range map[string]func(ladder.Step) ladder.Step{"wider": n.Wider, "narrower": n.Narrower} {
			if got := edit(s); got.Chunk != s.Chunk {
				right(what, got)
			}
		}
	})
}

// Each bar of the made scores that the click can count is found as a passage of
// its own and with the one after it, with the notes that the listing has in it.
func TestPassagesOfScores(t *testing.T) {
	paths, err := filepath.Glob("../passage/testdata/made/*.musicxml")
	if err != nil || len(paths) < 10 {
		t.Fatal(paths, err)
	}
	tried := 0
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		score, _, err := passage.Read(context.Background(), bytes.NewReader(data), passage.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		for p := range score.Parts {
			part := &score.Parts[p]
			for first := range part.Bars {
				for last := first; last < min(first+2, len(part.Bars)); last++ {
					tried += passageOf(t, fmt.Sprint(filepath.Base(path), " bars ", first, last), score, part, first, last)
				}
			}
		}
	}
	if tried < 60 {
		t.Errorf("%d passages were tried", tried)
	}
}

func passageOf(t *testing.T, name string, score *passage.Score, part *passage.Part, first, last int) int {
	t.Helper()
	m, unit, err := part.Measures(first, last, click.Unit{})
	number, bad := strconv.Atoi(part.Bars[first].Number)
	if err != nil || bad != nil || number < 1 || part.Bars[first].Offset.Sign() > 0 || part.Bars[last].Length != part.Bars[last].Meter.Length() ||
		slices.IndexFunc(part.Bars, func(b passage.Bar) bool { return b.Number == part.Bars[first].Number }) != first || last+1 < len(part.Bars) && part.Bars[last+1].Offset.Sign() > 0 {
		return 0
	}
	s := march.Step(nil)
	s.Passage.From, s.Passage.To, s.Unit = m.From(), m.To(), unit
	s.Meter, _ = part.Bars[first].Meter.Click()
	if now, _ := part.Bars[last].Meter.Click(); now != s.Meter {
		s.Meters = []click.MeterChange{{Bar: m.To(), Meter: now}}
	}
	s.Chunk = ladder.Chunk{Bar: m.From(), Length: click.Whole(1)}
	s.Notes.Score = ladder.ScoreFile{File: "a.musicxml", Part: part.ID}
	sounding := part.Sounding(part.Lines()[0].Between(first, last))
	n, _, err := notes.Of(s, score)
	if len(sounding) == 0 {
		if err == nil {
			t.Errorf("%s: no notes, and no word of it", name)
		}
		return 0
	}
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return 0
	}
	if len(n.All) != len(sounding) {
		t.Errorf("%s: %d notes, want %d", name, len(n.All), len(sounding))
		return 0
	}
	for i, want := range sounding {
		at := passage.InBeats(want.Onset.Sub(part.Bars[first].Start), unit)
		if n.All[i].From != at || n.All[i].Pitch != want.Pitch || n.All[i].To != at.Add(passage.InBeats(want.Duration, unit)) {
			t.Errorf("%s: note %d is %+v, want %s at %s", name, i, n.All[i], want.Pitch, at)
		}
	}
	return 1
}

// A pickup lies before the first full bar, and the halves of a split bar are one.
func TestPickupAndSplitBar(t *testing.T) {
	for _, tt := range []struct {
		file        string
		meter       string
		pickup      int
		first, last int // indexes of bars
		want        string
	}{
		{"made-08-pickup-of-three-eighths-in-6-8", "6/8", 1, 0, 2, "0:2 0:2+1/3 0:2+2/3 1:1 1:2 1:2+1/3 1:2+2/3 2:1"},
		{"made-08-pickup-of-three-eighths-in-6-8", "6/8", 0, 1, 2, "1:1 1:2 1:2+1/3 1:2+2/3 2:1"},
		{"made-07-pickup-and-repeat-inside-the-bar", "4/4", 1, 0, 3, "0:4 1:1 1:2 1:3 1:4 2:1 2:3 2:4"},
	} {
		data, err := os.ReadFile("../passage/testdata/made/" + tt.file + ".musicxml")
		if err != nil {
			t.Fatal(err)
		}
		score, _, err := passage.Read(context.Background(), bytes.NewReader(data), passage.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		s := from("a.musicxml", "", 1, 2, func(s *ladder.Step) {
			s.Meter, _ = click.ParseMeter(tt.meter)
			s.Unit, s.Pickup = s.Meter.Unit(), click.Whole(tt.pickup)
		})
		n, _, err := notes.Of(s, score)
		if err != nil {
			t.Errorf("%s: %v", tt.file, err)
			continue
		}
		var places []string
		for _, note := range n.All {
			places = append(places, n.Place(note.From))
		}
		if got := strings.Join(places, " "); got != tt.want || n.First != tt.first || n.Last != tt.last {
			t.Errorf("%s: bars %d to %d, notes at %s", tt.file, n.First, n.Last, got)
		}
	}
}
