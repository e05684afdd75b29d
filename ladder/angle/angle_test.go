package angle

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// sixteenths are those of so many beats from the start of a bar.
func sixteenths(beats int) Over {
	return OverSlots(click.Chunk{Length: click.Whole(beats)}, click.EvenSlots(4))
}

// The twelve rhythms of a published column, cell by cell, over a bar of sixteenths
// (B. Pimentel, "12(+) ways to practice a technical passage", bretpimentel.com; the
// column names them, how long is long is common practice, no source). Lengths are in
// parts of a beat; the last three have their long note on the beat.
func TestTheTwelveRhythms(t *testing.T) {
	tests := []struct {
		words, lengths, lead string
	}{
		{"long short", "3/8 1/8 3/8 1/8", "0"},
		{"short long", "1/8 3/8 1/8 3/8", "0"},
		{"long short short", "3/8 3/16 3/16", "0"},
		{"short long short", "3/16 3/8 3/16", "0"},
		{"short short long", "3/16 3/16 3/8", "0"},
		{"long short short short", "1/2 1/6 1/6 1/6", "0"},
		{"short long short short", "1/6 1/2 1/6 1/6", "0"},
		{"short short long short", "1/6 1/6 1/2 1/6", "0"},
		{"short short short long", "1/6 1/6 1/6 1/2", "0"},
		{"short long short short, long on the beat", "1/6 1/2 1/6 1/6", "5/6"},
		{"short short long short, long on the beat", "1/6 1/6 1/2 1/6", "2/3"},
		{"short short short long, long on the beat", "1/6 1/6 1/6 1/2", "1/2"},
	}
	bar := sixteenths(4)
	var found []string
	for _, a := range All(bar) {
		if a.Kind == Rhythm {
			found = append(found, a.String())
		}
	}
	for i, tt := range tests {
		t.Run(tt.words, func(t *testing.T) {
			if i >= len(found) || found[i] != tt.words {
				t.Fatalf("rhythm %d of %d is another", i+1, len(found))
			}
			a, err := Parse(tt.words)
			if err != nil {
				t.Fatal(err)
			}
			p := a.Path(bar)
			var lengths []string
			for _, c := range p.Cells[:len(strings.Fields(tt.lengths))] {
				lengths = append(lengths, c.Length.String())
			}
			if got := strings.Join(lengths, " "); got != tt.lengths || p.Lead.String() != tt.lead {
				t.Errorf("%s after %s, want %s after %s", got, p.Lead, tt.lengths, tt.lead)
			}
		})
	}
	if len(found) != len(tests) {
		t.Errorf("%d rhythms, want %d", len(found), len(tests))
	}
}

// show writes a path: its lead, and each cell's slot and length with what it is
// marked with.
func show(p click.Path) string {
	var out []string
	if p.Lead.Sign() > 0 {
		out = append(out, "+"+p.Lead.String())
	}
	for _, c := range p.Cells {
		text := fmt.Sprint(c.Slot)
		if c.Slot < 0 {
			text = "-"
		}
		if c.Length != click.Frac(1, 4) {
			text += "=" + c.Length.String()
		}
		if c.Accent {
			text += ">"
		}
		if c.Slurred {
			text = "~" + text
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

func TestWhatAnAngleDoes(t *testing.T) {
	for _, tt := range []struct {
		words string
		chunk click.Chunk
		want  string
	}{
		{"accents every 3", click.Chunk{Length: click.Whole(2)}, "0> 1 2 3> 4 5 6> 7"},
		{"begin on slot 2", click.Chunk{Length: click.Whole(1)}, "+1/4 0 1 2 3"},
		{"begin on slot 4", click.Chunk{At: click.Frac(1, 2), Length: click.Whole(1)}, "+1/4 0 1 2 3"},
		{"begin on slot 2", click.Chunk{At: click.Frac(1, 2), Length: click.Whole(1)}, "+3/4 0 1 2 3"},
		{"stop on each beat", click.Chunk{Length: click.Whole(2)}, "0=5/4 1 2 3 4=5/4 5 6 7"},
		{"stop every 2 beats", click.Chunk{Length: click.Whole(3)}, "0=5/4 1 2 3 4 5 6 7 8=5/4 9 10 11"},
		{"first 2 notes", click.Chunk{Length: click.Whole(1)}, "0 1 - -"},
		{"notes 2 and 3 to and fro", click.Chunk{Length: click.Whole(1)}, "1 2 1 2"},
		{"slur all", click.Chunk{Length: click.Whole(1)}, "0 ~1 ~2 ~3"},
		{"slur two and two", click.Chunk{Length: click.Whole(1)}, "0 ~1 2 ~3"},
		{"slur two tongue two", click.Chunk{Length: click.Whole(2)}, "0 ~1 2 3 4 ~5 6 7"},
		{"tongue one slur two tongue one", click.Chunk{Length: click.Whole(1)}, "0 1 ~2 3"},
		{"tongue two slur two", click.Chunk{Length: click.Whole(1)}, "0 1 2 ~3"},
		{"slur over the beat", click.Chunk{Length: click.Whole(2)}, "0 1 2 3 ~4 5 6 7"},
		{"slur three tongue one", click.Chunk{At: click.Frac(3, 4), Length: click.Frac(5, 4)}, "0 1 ~2 ~3 4"},
		{"long short", click.Chunk{At: click.Frac(1, 4), Length: click.Frac(3, 4)}, "0 1=3/8 2=1/8"},
		{"long short short short", click.Chunk{At: click.Frac(1, 2), Length: click.Frac(7, 4)}, "0 1 2=1/2 3=1/6 4=1/6 5=1/6 6"},
		{"short long short short, long on the beat", click.Chunk{Length: click.Whole(1)}, "+5/6 0=1/6 1=1/2> 2=1/6 3=1/6"},
		{"long short short", click.Chunk{At: click.Frac(1, 4), Length: click.Whole(1)}, "0=3/8 1=3/16 2=3/16 3"},
		{"first 4 notes", click.Chunk{Length: click.Whole(1)}, ""},
		{"accents every 4", click.Chunk{Length: click.Whole(2)}, ""},
		{"as written", click.Chunk{Length: click.Whole(1)}, ""},
	} {
		t.Run(tt.words, func(t *testing.T) {
			a, err := Parse(tt.words)
			if err != nil {
				t.Fatal(err)
			}
			if got := show(a.Path(OverSlots(tt.chunk, click.EvenSlots(4)))); got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
		})
	}
}

// Of every angle that is offered for any chunk, by its slots or its notes: it is
// another way than as written, its words are read back, it takes what it promises to
// keep, each slot or note once and in order, in the same time exactly; and a shifted
// one begins on its slot.
func TestLawsOfAngles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := click.EvenSlots(rapid.IntRange(1, 12).Draw(t, "slots"))
		if rapid.Bool().Draw(t, "swung") {
			slots = click.Swing(rapid.IntRange(1, 5).Draw(t, "first"), rapid.IntRange(1, 5).Draw(t, "then"))
		}
		n := int64(slots.Count())
		c := click.Chunk{
			At:     click.Frac(rapid.Int64Range(0, 4*n).Draw(t, "at"), n),
			Length: click.Frac(rapid.Int64Range(1, 8*n).Draw(t, "length"), n),
		}
		lawful(t, OverSlots(c, slots), c)
		line := rapid.IntRange(-3, 3).Draw(t, "bar") // where its bar begins
		var begins []click.Beats
		at := click.Whole(line)
		for end := at.Add(c.At).Add(c.Length).Add(click.Whole(1)); at.Less(end); {
			if rapid.IntRange(0, 5).Draw(t, "sounds") > 0 {
				begins = append(begins, at)
			}
			at = at.Add(click.Frac(rapid.Int64Range(1, 4).Draw(t, "parts"), rapid.SampledFrom([]int64{1, 2, 3, 4, 6, 8}).Draw(t, "of")))
		}
		o, ok := OverNotes(c, slots, click.Whole(line).Add(c.At), begins)
		start := click.Whole(line).Add(c.At)
		in := 0
		for _, b := range begins {
			if !b.Less(start) && b.Less(start.Add(c.Length)) {
				in++
			}
		}
		if ok != (in > 0) {
			t.Fatalf("%d notes begin in the chunk, and it goes by them: %v", in, ok)
		}
		if !ok {
			return
		}
		at = click.Beats{}
		for i, s := range o.Shares() {
			if s.At != at || s.Length.Sign() <= 0 || i > 0 && search(begins, start.Add(at)) == len(begins) {
				t.Fatalf("share %d is %+v, want one at %s", i, s, at)
			}
			if place := start.Add(at); i > 0 && (s.Slot == 0) != (place.Floor() != start.Add(o.Shares()[i-1].At).Floor()) {
				t.Fatalf("share %d is number %d of its beat", i, s.Slot)
			}
			at = at.Add(s.Length)
		}
		if at != c.Length || len(o.Shares())-in > 1 {
			t.Fatalf("%d shares of %d notes last %s of %s", len(o.Shares()), in, at, c.Length)
		}
		lawful(t, o, c)
		steadfast(t, o)
	})
}

// lawful holds the angles over a chunk to what they promise.
func lawful(t *rapid.T, o Over, c click.Chunk) {
	all := All(o)
	for i, a := range all {
		if b, err := Parse(a.String()); err != nil || b != a {
			t.Fatalf("%s is read as %v, %v", a, b, err)
		}
		if slices.Contains(all[:i], a) {
			t.Fatalf("%s is offered twice", a)
		}
		if a.Next(all, 1).Next(all, -1) != a {
			t.Fatalf("the one after %s does not lead back to it", a)
		}
		p := a.Path(o)
		if p.None() != (a.Kind == None) {
			t.Fatalf("%s is %s", a, show(p))
		}
		if p.None() || !a.Keeps() {
			continue
		}
		if p.Length() != c.Length {
			t.Fatalf("%s lasts %s of %s", a, p.Length(), c.Length)
		}
		for i, cell := range p.Cells {
			if cell.Slot != i || cell.Length.Sign() <= 0 {
				t.Fatalf("cell %d of %s is %+v", i, a, cell)
			}
		}
		if at := c.At.Add(p.Lead); a.Kind == Shifted && at.Sub(click.Whole(at.Floor())) != o.slots.At(a.N-1) {
			t.Fatalf("%s begins at %s", a, at)
		}
		if p.Lead.Sign() < 0 || p.Lead.Cmp(click.Whole(1)) >= 0 {
			t.Fatalf("%s leads in for %s", a, p.Lead)
		}
	}
}

// steadfast: under a rhythm of notes, what is in no group, and the first of each, is
// where it was, and a group is of notes of one length.
func steadfast(t *rapid.T, o Over) {
	for k, r := range rhythms {
		p := Angle{Rhythm, k}.Path(o)
		if p.None() {
			continue
		}
		n, in := len(r.lengths), map[int]bool{}
		for _, first := range o.groups(n) {
			for i := first; i < first+n; i++ {
				if o.shares[i].Length != o.shares[first].Length || in[i] {
					t.Fatalf("%s takes note %d into the group of note %d", r.words, i, first)
				}
				in[i] = i > first
			}
		}
		at := click.Beats{}
		for i, cell := range p.Cells {
			if !in[i] && at != o.shares[i].At {
				t.Fatalf("%s moves note %d from %s to %s", r.words, i, o.shares[i].At, at)
			}
			at = at.Add(cell.Length)
		}
	}
}

// By notes an angle takes those that are there, whatever slots click: eighths over a
// grid of sixteenths, runs among longer notes, from where they make up a beat.
func TestAnglesOverNotes(t *testing.T) {
	const eighths, mixed = "0 1/2 1 3/2 2 5/2", "0 1 3/2 2 9/4 5/2 11/4 3"
	for _, tt := range []struct {
		words, begins string
		chunk         click.Chunk
		want          string
	}{
		{"long short", eighths, click.Chunk{Length: click.Whole(2)}, "0=3/4 1 2=3/4 3"},
		{"short long", eighths, click.Chunk{Length: click.Whole(2)}, "0 1=3/4 2 3=3/4"},
		{"long short short short", eighths, click.Chunk{Length: click.Whole(2)}, "0=1 1=1/3 2=1/3 3=1/3"},
		{"long short short", eighths, click.Chunk{Length: click.Whole(2)}, "0=3/4 1=3/8 2=3/8 3=1/2"},
		{"long short", eighths, click.Chunk{At: click.Frac(1, 2), Length: click.Frac(3, 2)}, "0=1/2 1=3/4 2"},
		{"short long short short, long on the beat", eighths, click.Chunk{Length: click.Whole(2)}, "+2/3 0=1/3 1=1> 2=1/3 3=1/3"},
		{"accents every 3", eighths, click.Chunk{Length: click.Whole(2)}, "0=1/2> 1=1/2 2=1/2 3=1/2>"},
		{"accents every 2", eighths, click.Chunk{Length: click.Whole(2)}, ""},
		{"slur two and two", eighths, click.Chunk{Length: click.Whole(2)}, "0=1/2 ~1=1/2 2=1/2 ~3=1/2"},
		{"begin on slot 2", eighths, click.Chunk{Length: click.Whole(1)}, "+1/4 0=1/2 1=1/2"},
		{"stop on each beat", eighths, click.Chunk{Length: click.Whole(2)}, "0=3/2 1=1/2 2=3/2 3=1/2"},
		{"first 2 notes", eighths, click.Chunk{Length: click.Whole(2)}, "0=1/2 1=1/2 -=1/2 -=1/2"},
		{"notes 2 and 3 to and fro", eighths, click.Chunk{Length: click.Whole(2)}, "1=1/2 2=1/2 1=1/2 2=1/2"},
		{"long short", mixed, click.Chunk{Length: click.Whole(4)}, "0=1 1=3/4 2 3=3/8 4=1/8 5=3/8 6=1/8 7=1"},
		{"short short long", mixed, click.Chunk{Length: click.Whole(4)}, "0=1 1=1/2 2=1/2 3=3/16 4=3/16 5=3/8 6 7=1"},
		{"stop on each beat", mixed, click.Chunk{At: click.Frac(1, 2), Length: click.Frac(3, 2)}, "0=3/2 1=3/2 2=1/2"}, // a note is held into it
		{"long short", "0", click.Chunk{Length: click.Whole(1)}, ""},
		{"long short", "0 1/4 1/2 3/4", click.Chunk{At: click.Frac(1, 4), Length: click.Frac(3, 4)}, "0 1=3/8 2=1/8"}, // from the half of the beat on
		{"long short short short", eighths, click.Chunk{At: click.Frac(1, 2), Length: click.Frac(5, 2)}, "0=1/2 1=1 2=1/3 3=1/3 4=1/3"},
		{"long short short", eighths, click.Chunk{At: click.Frac(1, 2), Length: click.Frac(3, 2)}, "0=3/4 1=3/8 2=3/8"},
		{"begin on slot 3", eighths, click.Chunk{At: click.Frac(1, 2), Length: click.Whole(1)}, ""}, // it does already
		{"stop on each beat", eighths, click.Chunk{At: click.Frac(1, 2), Length: click.Frac(3, 2)}, "0=1/2 1=3/2 2=1/2"},
		{"stop on each beat", "0 1/4 1", click.Chunk{At: click.Frac(1, 2), Length: click.Frac(3, 2)}, "0=1/2 1=2"}, // the second of its beat is held into it
	} {
		t.Run(tt.words, func(t *testing.T) {
			a, err := Parse(tt.words)
			if err != nil {
				t.Fatal(err)
			}
			var begins []click.Beats
			for _, word := range strings.Fields(tt.begins) {
				at, err := click.ParseBeats(word)
				if err != nil {
					t.Fatal(err)
				}
				begins = append(begins, at)
			}
			o, ok := OverNotes(tt.chunk, click.EvenSlots(4), tt.chunk.At, begins)
			if got := show(a.Path(o)); !ok || got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
		})
	}
}

// A draw gives each angle as often as the others, and none twice running.
func TestADrawIsFairAndNeverTwiceRunning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := make([]Angle, rapid.IntRange(1, 9).Draw(t, "angles"))
		for i := range all {
			all[i] = Angle{First, i + 1}
		}
		seed := rapid.Uint64().Draw(t, "seed")
		times := map[Angle]int{}
		var last Angle
		for rep := range 12 * len(all) {
			a := Draw(all, seed, rep)
			if a == last && len(all) > 1 {
				t.Fatalf("%s twice running at rep %d", a, rep)
			}
			last = a
			times[a]++
		}
		for _, a := range all {
			if times[a] != 12 {
				t.Fatalf("%s was drawn %d times of 12", a, times[a])
			}
		}
	})
	if a := Draw(nil, 1, 3); a != (Angle{}) {
		t.Errorf("of none %s was drawn", a)
	}
}

func TestWhatIsNoAngle(t *testing.T) {
	for text, want := range map[string]string{
		"long shrt":                `"long shrt" is not an angle; did you mean long short?`,
		"accents every 99":         `"accents every 99" is out of range; write a number from 2 to 12`,
		"begin on slot 1":          `"begin on slot 1" is out of range; write a number from 2 to 12`,
		"notes 3 and 5 to and fro": `"notes 3 and 5 to and fro" is not an angle; did you mean notes 3 and 4 to and fro?`,
		"accents every 3rd":        `"accents every 3rd" is not an angle; did you mean accents every 3?`,
		"backwards, with feeling":  `"backwards, with feeling" is not an angle; write such as long short, slur two tongue two, accents every 3 or begin on slot 2`,
	} {
		if _, err := Parse(text); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
