package engrave_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/sample"
)

func made(t *testing.T, clef passage.Clef, fifths int, meter string, bars ...string) passage.Line {
	t.Helper()
	l, err := sample.Line(clef, fifths, meter, bars...)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// Beams by beat, in simple, compound and additive meters (Open University, An
// introduction to music theory, 3.6 and 3.9; 5/8 and 7/8 without terms are ours).
// Each beam is written as the first and last note that it joins, outer beams first.
func TestBeamsByBeat(t *testing.T) {
	eighths := func(n int) string { return strings.TrimSpace(strings.Repeat("A4:8 ", n)) }
	for _, tt := range []struct{ name, meter, bar, want string }{
		{"quarters", "4/4", eighths(8), "0-1 2-3 4-5 6-7"},
		{"waltz", "3/4", eighths(6), "0-1 2-3 4-5"},
		{"half notes", "2/2", eighths(8), "0-3 4-7"},
		{"half notes with sixteenths", "2/2", "A4:8 A4:8 A4:16 A4:16 A4:8 A4:2", "0-1 2-4 2-3"},
		{"dotted beats", "6/8", eighths(6), "0-2 3-5"},
		{"three dotted beats", "9/8", eighths(9), "0-2 3-5 6-8"},
		{"one", "3/8", eighths(3), "0-2"},
		{"three and two", "3+2/8", eighths(5), "0-2 3-4"},
		{"two and three", "2+3/8", eighths(5), "0-1 2-4"},
		{"five", "5/8", eighths(5), "0-2 3-4"},
		{"seven", "7/8", eighths(7), "0-1 2-3 4-6"},
		{"over the beat", "2/4", "A4:8 A4:4 A4:8", ""},
		{"rest", "2/4", "A4:8 r:8 A4:16 r:16 A4:8", ""},
		{"dotted", "2/4", "A4:8. A4:16 A4:16 A4:8.", "0-1 1-1< 2-3 2-2>"},
		{"inner sixteenth", "2/4", "A4:16 A4:8 A4:16 A4:4", "0-2 0-0> 2-2<"},
		{"sixteenths", "2/4", "A4:16 A4:16 A4:16 A4:16 A4:8 A4:16 A4:16", "0-3 0-3 4-6 5-6"},
		{"thirty-seconds", "1/4", strings.TrimSpace(strings.Repeat("A4:32 ", 8)), "0-7 0-3 4-7 0-3 4-7"},
		{"triplets", "2/4", "A4:8t3:2 A4:8t3:2 A4:8t3:2 A4:8 A4:8", "0-2 3-4"},
		{"five over two beats", "2/4", "A4:8t5:4 A4:8t5:4 A4:8t5:4 A4:8t5:4 A4:8t5:4", "0-4"},
		{"grace notes", "1/4", "gA4:16 gA4:16 A4:8 A4:8", "0-1 0-1 2-3"},
	} {
		d := layout(t, made(t, sample.Treble, 0, tt.meter, tt.bar), engrave.Options{})
		var got []string
		for _, s := range d.Shapes {
			if s.Role != engrave.Beam {
				continue
			}
			word := fmt.Sprintf("%d-%d", s.Note, s.Last)
			if s.Note == s.Last {
				stem := d.Shapes[slices.IndexFunc(d.Shapes, func(o engrave.Shape) bool { return o.Role == engrave.Stem && o.Note == s.Note })]
				word += map[bool]string{true: "<", false: ">"}[s.X < stem.X-0.5]
			}
			got = append(got, word)
		}
		if g := strings.Join(got, " "); g != tt.want {
			t.Errorf("%s: beams %q, want %q", tt.name, g, tt.want)
		}
	}
}

// Signs hold for the bar in their octave, over a bar line on the tied note only;
// the next bar is reminded of what it takes back (a handbook of notation's rules).
func TestAccidentals(t *testing.T) {
	for _, tt := range []struct {
		name   string
		fifths int
		bars   []string
		want   string // sign of each note: s f n x b for sharp, flat, natural, double sharp and flat, - for none
	}{
		{"hold for the bar", 0, []string{"F#4:4 G4:4 F#4:4 F4:4"}, "s--n"},
		{"in their octave", 0, []string{"F#4:4 F#5:4 F5:4 F4:4"}, "ssnn"},
		{"not beyond it", 0, []string{"F#4:1", "F4:2 F4:2"}, "sn-"},
		{"remind in another octave", 0, []string{"F#4:1", "F5:2 F5:2"}, "sn-"},
		{"remind within the bar", 0, []string{"F#4:2 F5:2"}, "sn"},
		{"only of what was left", 0, []string{"F#4:2 F4:2", "F4:1"}, "sn-"},
		{"only in the next bar", 0, []string{"F#4:1", "G4:1", "F4:1"}, "s--"},
		{"over a tie", 0, []string{"F#4:1~", "F#4:2 F#4:2"}, "s-s"},
		{"are the key's", 2, []string{"F#4:4 C#5:4 F4:4 F#4:4"}, "--ns"},
		{"double and back", 7, []string{"F##4:2 F#4:2"}, "xs"},
		{"double flat", -1, []string{"Bbb4:2 Bb4:2"}, "bf"},
	} {
		l := made(t, sample.Treble, tt.fifths, "4/4", tt.bars...)
		d := layout(t, l, engrave.Options{})
		got := []byte(strings.Repeat("-", len(l.Notes)))
		for _, s := range d.Shapes {
			if s.Role == engrave.Accidental {
				got[s.Note] = map[engrave.Glyph]byte{0xE262: 's', 0xE260: 'f', 0xE261: 'n', 0xE263: 'x', 0xE264: 'b'}[s.Glyph]
			}
		}
		if string(got) != tt.want {
			t.Errorf("signs %s: %s, want %s", tt.name, got, tt.want)
		}
	}
}

// Where the signs of keys stand (common practice, no source: the tables of a
// handbook), F C G D A E B and B E A D G C F.
func TestKeySignatures(t *testing.T) {
	for _, tt := range []struct {
		clef          passage.Clef
		sharps, flats []int
	}{
		{sample.Treble, []int{4, 1, 5, 2, -1, 3, 0}, []int{0, 3, -1, 2, -2, 1, -3}},
		{sample.Bass, []int{2, -1, 3, 0, -3, 1, -2}, []int{-2, 1, -3, 0, -4, -1, -5}},
		{sample.Alto, []int{3, 0, 4, 1, -2, 2, -1}, []int{-1, 2, -2, 1, -3, 0, -4}},
		{sample.Tenor, []int{-2, 2, -1, 3, 0, 4, 1}, []int{1, 4, 0, 3, -1, 2, -2}},
	} {
		for fifths, want := range map[int][]int{7: tt.sharps, -7: tt.flats} {
			d := layout(t, made(t, tt.clef, fifths, "4/4", "R"), engrave.Options{})
			var got []int
			for _, s := range d.Shapes {
				if s.Role == engrave.KeySign {
					got = append(got, int(math.Round((d.Systems[0].Middle-s.Y)*2)))
				}
			}
			if !slices.Equal(got, want) {
				t.Errorf("%v with %d: %v, want %v", tt.clef, fifths, got, want)
			}
		}
	}
}

// changed is a line whose key and meter change with a bar.
func changed(t *testing.T, bar, fifths int) passage.Line {
	bars := make([]string, 8)
	for i := range bars {
		bars[i] = "A4:16 B4:16 A4:16 B4:16 A4:16 B4:16 A4:16 B4:16"
	}
	l := made(t, sample.Treble, 3, "2/4", bars...)
	key, meter := passage.Key{Fifths: fifths}, l.Part.Bars[0].Meter
	l.Part.Changes = append(l.Part.Changes, passage.Change{Bar: bar, Key: &key}, passage.Change{Bar: bar, Meter: &meter})
	return l
}

// A change of key and meter with a new line is announced at the end of the line
// before, in its right order; naturals only where a kind or all of it goes.
func TestChangesAreAnnounced(t *testing.T) {
	for fifths, want := range map[int]string{-2: "nnnff", 0: "nnn", 1: "s", 5: "sssss"} {
		seen := 0
		for bar := 1; bar < 8; bar++ {
			d := layout(t, changed(t, bar, fifths), engrave.Options{Width: 50})
			i := slices.IndexFunc(d.Notes, func(p engrave.Place) bool { return p.Bar == bar })
			if sys := d.Notes[i].System; d.Notes[i-1].System == sys-1 {
				seen++
				announced(t, d, sys-1, want)
				announced(t, d, sys, want)
			}
		}
		if seen == 0 {
			t.Errorf("to %d: no change falls on a new line", fifths)
		}
	}
}

// announced checks the key signs and the meter behind a line's last bar line, or,
// where there are none, those before its first note.
func announced(t *testing.T, d *engrave.Drawing, sys int, want string) {
	t.Helper()
	s := d.Systems[sys]
	before, behind, meter, line := "", "", false, 0.0
	for _, shape := range d.Shapes[s.First:s.End] {
		switch {
		case shape.Role == engrave.BarLine:
			line, behind, meter = shape.X, "", false
		case shape.Role == engrave.KeySign:
			sign := map[engrave.Glyph]string{0xE262: "s", 0xE260: "f", 0xE261: "n"}[shape.Glyph]
			if line == 0 {
				before += sign
			}
			behind += sign
		case shape.Role == engrave.MeterSign:
			meter = true
		}
	}
	if behind == want && meter || behind == "" && before == want {
		return
	}
	t.Errorf("line %d begins with the key signs %q and ends with %q (meter: %v), want %q", sys, before, behind, meter, want)
}

// The chunk is not broken where it fits a line.
func TestTheChunkStaysTogether(t *testing.T) {
	l := changed(t, 1, 3)
	for bar := range 7 {
		from, to := click.Whole(2*bar), click.Whole(2*bar+4)
		d := layout(t, l, engrave.Options{Width: 50, KeepFrom: from, KeepTo: to})
		systems := map[int]bool{}
		for _, p := range d.Notes {
			if !p.Onset.Less(from) && p.Onset.Less(to) {
				systems[p.System] = true
			}
		}
		if len(systems) != 1 {
			t.Errorf("the chunk of bars %d and %d stands on %d lines", bar+1, bar+2, len(systems))
		}
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	with := func(c passage.Change) passage.Line {
		l := made(t, sample.Treble, 0, "4/4", "C5:1", "D5:1")
		l.Part.Changes = append(l.Part.Changes, c)
		return l
	}
	long := made(t, sample.Treble, 0, "4/4", "C5:1")
	long.Notes[0].Value = passage.Long
	for want, l := range map[string]passage.Line{
		"bar 2: a percussion clef gives no pitches":             with(passage.Change{Bar: 1, Clef: &passage.Clef{Sign: "percussion"}}),
		"bar 1: a key of 9 signs cannot be drawn":               with(passage.Change{Key: &passage.Key{Fifths: -9}}),
		"bar 1: a note of the value long is not drawn; the lon": long,
	} {
		if _, err := engrave.Layout(all(l), engrave.Options{}); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %s…", err, want)
		}
	}
	if _, err := engrave.Layout(engrave.Excerpt{Line: long, From: click.Whole(3), To: click.Whole(3)}, engrave.Options{}); err == nil {
		t.Error("an excerpt of no length is drawn")
	}
	if _, err := engrave.Layout(engrave.Excerpt{Line: long, From: click.Whole(9), To: click.Whole(12)}, engrave.Options{}); err == nil {
		t.Error("bars that are not there are drawn")
	}
}

// Tuplets that the file does not mark end where their time is full; the number
// stands alone where one beam is exactly the tuplet, else in a bracket.
func TestTuplets(t *testing.T) {
	for _, tt := range []struct{ bar, want string }{
		{"A4:8t3:2 A4:8t3:2 A4:8t3:2 A4:8t3:2 A4:8t3:2 A4:8t3:2", "3 0-2, 3 3-5"},
		{"A4:8t3:2 A4:16t3:2 A4:16t3:2 A4:8t3:2 A4:4", "3 0-3"},
		{"A4:4t3:2 A4:8t3:2 A4:4", "3 0-1 bracket"},
		{"r:8t3:2 A4:8t3:2 A4:8t3:2 A4:4", "3 0-2 bracket"},
		{"A4:4t3:2 A4:4t3:2 A4:4t3:2", "3 0-2 bracket"},
		{"A4:16t6:4 A4:16t6:4 A4:16t6:4 A4:16t6:4 A4:16t6:4 A4:16t6:4 A4:4", "6 0-5"},
		{"A4:8t5:4 A4:8t5:4 A4:8t5:4 A4:8t5:4 A4:8t5:4", "5 0-4"},
		{"A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:32t11:8 A4:4", "11 0-10"},
	} {
		d := layout(t, made(t, sample.Treble, 0, "2/4", tt.bar), engrave.Options{})
		var order []string
		numbers, brackets := map[string]string{}, map[string]string{}
		for _, s := range d.Shapes {
			if s.Role != engrave.Tuplet {
				continue
			}
			k := fmt.Sprintf("%d-%d", s.Note, s.Last)
			if s.Kind != engrave.Sign {
				brackets[k] = " bracket"
				continue
			}
			if numbers[k] == "" {
				order = append(order, k)
			}
			numbers[k] += fmt.Sprint(int(s.Glyph) - 0xE880)
		}
		for i, k := range order {
			order[i] = numbers[k] + " " + k + brackets[k]
		}
		if got := strings.Join(order, ", "); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.bar, got, tt.want)
		}
	}
}

// Spaced by time a cursor glides evenly; where a sign leaves no room for that, by
// the root of the time.
func TestEvenSpacing(t *testing.T) {
	bar := "C4:4 D4:8 E4:8 F4:16 G4:16 A4:16 F4:16 G4:4"
	d := layout(t, made(t, sample.Alto, 0, "4/4", bar), engrave.Options{Even: true})
	each := (d.Notes[1].X() - d.Notes[0].X()) / d.Notes[1].Onset.Sub(d.Notes[0].Onset).Float()
	for i := 1; i < len(d.Notes); i++ {
		a, b := d.Notes[i-1], d.Notes[i]
		if want := each * b.Onset.Sub(a.Onset).Float(); math.Abs(b.X()-a.X()-want) > 0.01 {
			t.Errorf("from note %d to the next: %.3f, want %.3f", a.Note, b.X()-a.X(), want)
		}
	}
	if each < 6.9 || each > 7.1 { // a sixteenth takes what it takes otherwise, 1.75
		t.Errorf("a quarter takes %.2f", each)
	}
	narrow := made(t, sample.Alto, 0, "4/4", strings.Replace(bar, "G4:16", "G#4:16", 1))
	one, two := layout(t, narrow, engrave.Options{Even: true}), layout(t, narrow, engrave.Options{})
	for i, p := range one.Notes {
		if math.Abs(p.X()-two.Notes[i].X()) > 1e-9 {
			t.Errorf("note %d stands at %.2f, want %.2f", i, p.X(), two.Notes[i].X())
		}
	}
}
