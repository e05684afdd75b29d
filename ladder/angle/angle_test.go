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
func sixteenths(beats int) ([]click.Share, click.Slots) {
	slots := click.EvenSlots(4)
	return click.Chunk{Length: click.Whole(beats)}.Shares(slots), slots
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
	shares, slots := sixteenths(4)
	var found []string
	for _, a := range All(shares, slots) {
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
			p := a.Path(click.Beats{}, shares, slots)
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
		{"first 4 notes", click.Chunk{Length: click.Whole(1)}, ""},
		{"accents every 4", click.Chunk{Length: click.Whole(2)}, ""},
		{"as written", click.Chunk{Length: click.Whole(1)}, ""},
	} {
		t.Run(tt.words, func(t *testing.T) {
			a, err := Parse(tt.words)
			if err != nil {
				t.Fatal(err)
			}
			slots := click.EvenSlots(4)
			if got := show(a.Path(tt.chunk.At, tt.chunk.Shares(slots), slots)); got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
		})
	}
}

// Of every angle that is offered for any chunk: it is another way than as written,
// its words are read back, it takes what it promises to keep, each slot once and in
// order, in the same time exactly; and a shifted one begins on its slot.
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
		shares := c.Shares(slots)
		all := All(shares, slots)
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
			p := a.Path(c.At, shares, slots)
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
			if at := c.At.Add(p.Lead); a.Kind == Shifted && at.Sub(click.Whole(at.Floor())) != slots.At(a.N-1) {
				t.Fatalf("%s begins at %s", a, at)
			}
			if p.Lead.Sign() < 0 || p.Lead.Cmp(click.Whole(1)) >= 0 {
				t.Fatalf("%s leads in for %s", a, p.Lead)
			}
		}
	})
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
