package pattern_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
	"footing/ladder/passage/tonality"

	"pgregory.net/rapid"
)

func anyKey(t *rapid.T) tonality.Key {
	return tonality.Key{
		Letter: passage.Letter(rapid.IntRange(0, 6).Draw(t, "letter")),
		Alter:  passage.Alter(100 * rapid.IntRange(-1, 1).Draw(t, "alter")),
		Mode:   tonality.Mode(rapid.IntRange(0, int(tonality.Locrian)).Draw(t, "mode")),
	}
}

func anyPattern(t *rapid.T) pattern.Pattern {
	p := pattern.Pattern{
		Key: anyKey(t),
		Figure: pattern.Figure{
			Shape: pattern.Shape(rapid.IntRange(0, int(pattern.WholeToneFlattened)).Draw(t, "shape")),
			Way:   pattern.Way(rapid.IntRange(0, 2).Draw(t, "way")),
		},
		Octaves:      rapid.IntRange(0, 3).Draw(t, "octaves"),
		Group:        rapid.SampledFrom([]int{0, 2, 3, 4, 6}).Draw(t, "group"),
		Articulation: pattern.Articulation(rapid.IntRange(0, int(pattern.AccentedOnBeats)).Draw(t, "articulation")),
	}
	if rapid.Bool().Draw(t, "within a range") {
		low := rapid.IntRange(14, 36).Draw(t, "low")
		p.Range.Low = passage.Pitch{}.Up(passage.Interval{Steps: low})
		p.Range.Low.Alter = 0
		p.Range.High = passage.Pitch{}.Up(passage.Interval{Steps: low + rapid.IntRange(5, 24).Draw(t, "wide")})
		p.Range.High.Alter = 0
	}
	return p
}

// pitches are the pattern's notes; one that has none says why in an Error, and is
// changed as that advises until it has some.
func pitches(t *rapid.T, p *pattern.Pattern) []passage.Pitch {
	for range 5 {
		notes, err := p.Pitches()
		if err == nil {
			return notes
		}
		var e *pattern.Error
		if !errors.As(err, &e) || e.What == "" || e.Want == "" {
			t.Fatalf("%v: %v", p, err)
		}
		switch {
		case e.Of == pattern.InKey:
			name, _, _ := strings.Cut(strings.TrimPrefix(e.Want, "write "), ",")
			var err error
			if p.Key, err = tonality.Parse(name); err != nil {
				t.Fatalf("%v: %v", e, err)
			}
		case e.Of == pattern.InOctaves && p.Octaves > 1:
			p.Octaves--
		default: // the range
			p.Range = pattern.Range{}
		}
	}
	t.Fatalf("%v has no notes, whatever is done to it", p)
	return nil
}

// A figure is the same in every key: that of another tonic is the first moved by
// the interval between the tonics, letters and semitones.
func TestFiguresMoveWithTheirKey(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPattern(t)
		p.Range = pattern.Range{}
		notes := pitches(t, &p)
		q := p
		q.Key = tonality.Key{Mode: p.Key.Mode}
		plain := pitches(t, &q)
		for i, got := range notes {
			from, to := tonality.Key{}.Tonic(4), p.Key.Tonic(4)
			want := plain[i].Up(from.To(to))
			// A chord on another degree begins in octave 4, whatever its tonic's.
			if d := got.Steps() - want.Steps(); d%7 == 0 {
				want.Octave += int8(d / 7)
			}
			if got != want {
				t.Fatalf("%v has %v, C %v", p, got, plain[i])
			}
		}
	})
}

func TestRangeIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPattern(t)
		notes := pitches(t, &p)
		if from := notes[0]; p.Figure.Way != pattern.Down {
			p.From = from // the first note is what it says
			if again, err := p.Pitches(); err != nil || !slices.Equal(again, notes) {
				t.Fatalf("%v begins on %v; from there it is %v, %v", p, from, again, err)
			}
		}
		for i, n := range notes {
			if p.Range != (pattern.Range{}) && (n.Cents() < p.Range.Low.Cents() || n.Cents() > p.Range.High.Cents()) {
				t.Fatalf("%v within %v has %v", p, p.Range, n)
			}
			if !n.Signed() {
				t.Fatalf("%v has %v", p, n)
			}
			if i > 0 && n.Cents() == notes[i-1].Cents() {
				t.Fatalf("%v stays on %v", p, n)
			}
		}
	})
}

// A scale takes each letter in turn, turns once at the top and once at the
// bottom, and ends where it began. Within a range nothing of the scale is left
// beyond the turns, but degrees 6 and 7 of melodic minor.
func TestScalesStepByLetters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPattern(t)
		p.Figure = pattern.Figure{}
		notes := pitches(t, &p)
		turns := 0
		for i := 1; i < len(notes); i++ {
			step := notes[i].Steps() - notes[i-1].Steps()
			if step != 1 && step != -1 {
				t.Fatalf("%v goes from %v to %v", p, notes[i-1], notes[i])
			}
			if i > 1 && notes[i-1].Steps()-notes[i-2].Steps() != step {
				turns++
			}
		}
		if notes[0] != notes[len(notes)-1] || turns > 2 || p.Range == (pattern.Range{}) && turns != 1 {
			t.Fatalf("%v begins on %v, turns %d times, ends on %v", p, notes[0], turns, notes[len(notes)-1])
		}
		if p.Range == (pattern.Range{}) || p.Octaves > 0 || p.Key.Mode == tonality.MelodicMinor {
			return
		}
		lowest, top := slices.MinFunc(notes, higher), slices.MaxFunc(notes, higher)
		for _, beyond := range []passage.Pitch{scaleNote(p.Key, lowest.Steps()-1), scaleNote(p.Key, top.Steps()+1)} {
			if beyond.Cents() >= p.Range.Low.Cents() && beyond.Cents() <= p.Range.High.Cents() {
				t.Fatalf("%v within %v leaves out %v", p, p.Range, beyond)
			}
		}
	})
}

func higher(a, b passage.Pitch) int { return a.Cents() - b.Cents() }

// scaleNote is the scale's note on a line or space of the staff.
func scaleNote(k tonality.Key, steps int) passage.Pitch {
	return k.Degree(0, steps-k.Tonic(0).Steps(), true)
}

// What goes down by octaves is what goes up turned around, but in melodic minor
// and what is spelled otherwise going down; up and down is both.
func TestUpAndDownMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPattern(t)
		p.Range = pattern.Range{}
		p.Figure.Shape = rapid.SampledFrom([]pattern.Shape{pattern.Scale, pattern.Arpeggio, pattern.DominantSeventh, pattern.DiminishedSeventh,
			pattern.HalfDiminished, pattern.MajorSeventh, pattern.MinorSeventh, pattern.AugmentedTriad, pattern.WholeToneSharpened, pattern.WholeToneFlattened}).Draw(t, "mirrored")
		if p.Figure.Shape == pattern.Scale && p.Key.Mode == tonality.MelodicMinor {
			p.Key.Mode = tonality.HarmonicMinor
		}
		ways := map[pattern.Way][]passage.Pitch{}
		for _, way := range []pattern.Way{pattern.UpAndDown, pattern.Up, pattern.Down} {
			p.Figure.Way = way
			ways[way] = pitches(t, &p)
		}
		up, down := ways[pattern.Up], ways[pattern.Down]
		if !slices.Equal(append(slices.Clone(up), down[1:]...), ways[pattern.UpAndDown]) {
			t.Fatalf("%v: up %v and down %v, but both are %v", p, up, down, ways[pattern.UpAndDown])
		}
		slices.Reverse(down)
		if !slices.Equal(up, down) {
			t.Fatalf("%v: up %v, turned around down %v", p, up, down)
		}
	})
}

// Groups over a scale keep the intervals of letters that they are named for.
func TestGroupsKeepTheirLetters(t *testing.T) {
	for shape, offsets := range map[pattern.Shape][]int{
		pattern.Thirds: {0, 2}, pattern.Fourths: {0, 3}, pattern.Fifths: {0, 4}, pattern.Sixths: {0, 5}, pattern.Octaves: {0, 7},
		pattern.BrokenTriads: {0, 2, 4}, pattern.BrokenSevenths: {0, 2, 4, 6},
	} {
		rapid.Check(t, func(t *rapid.T) {
			p := anyPattern(t)
			p.Figure.Shape = shape
			sign := 1
			if p.Figure.Way == pattern.Down {
				sign = -1
			} else {
				p.Figure.Way = pattern.Up
			}
			notes := pitches(t, &p)
			for i := 0; i+len(offsets) <= len(notes); i += len(offsets) {
				for j, o := range offsets {
					if got := notes[i+j].Steps() - notes[i].Steps(); got != sign*o {
						t.Fatalf("%v: %v stands %d letters from %v", p, notes[i+j], got, notes[i])
					}
				}
				if before := i - len(offsets); i > 0 && notes[i].Steps()-notes[before].Steps() != sign {
					t.Fatalf("%v: the group on %v follows that on %v", p, notes[i], notes[before])
				}
			}
		})
	}
}

// Every pattern in every meter fills its bars; its notes as heard are its
// pitches, so many to a beat; and what is printed is read back to them.
func TestScores(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPattern(t)
		in := pattern.Setting{Transpose: passage.Transposition{Diatonic: -1, Chromatic: -2}}
		in.Meter, _ = click.ParseMeter(rapid.SampledFrom([]string{"4/4", "3/4", "2/4", "5/4", "2/2", "6/8", "9/8", "12/8", "3+2/8", "2+2+3/8", "7/16", "1/4"}).Draw(t, "meter"))
		notes := pitches(t, &p)
		s, err := p.Score(in)
		if err != nil {
			t.Fatal(err)
		}
		part := s.Parts[0]
		heard := part.Sounding(part.Notes)
		if len(heard) != len(notes) {
			t.Fatalf("%v: %d notes, %d heard", p, len(notes), len(heard))
		}
		group := p.Group
		if group == 0 {
			if group = 4; in.Meter.Unit().Dotted() {
				group = 6
			}
		}
		beat := passage.FromBeats(click.Whole(1), in.Meter.Unit())
		for i, h := range heard {
			if h.Pitch != notes[i] || h.Onset != click.Frac(beat.Num()*int64(i), beat.Den()*int64(group)) || h.Pitch.To(h.Sounds) != (passage.Interval{Steps: -1, Cents: -200}) {
				t.Fatalf("%v: note %d is %+v, want %v", p, i, h, notes[i])
			}
		}
		readBack(t, p, part)
		slurs(t, p, part.Notes)
		var at passage.Quarters
		for _, n := range part.Notes {
			if part.Onset(n) != at || n.End().Cmp(part.Bars[n.Bar].Length) > 0 {
				t.Fatalf("%v: %+v does not begin at %v", p, n, at)
			}
			at = at.Add(n.Duration)
			want := n.Value.Length(n.Dots)
			if n.Tuplet != (passage.Ratio{}) {
				want = click.Frac(want.Num()*int64(n.Tuplet.Normal), want.Den()*int64(n.Tuplet.Actual))
			}
			if want != n.Duration {
				t.Fatalf("%v: %+v is printed as %v", p, n, want)
			}
		}
		if last := part.Bars[len(part.Bars)-1]; at != last.Start.Add(last.Length) || last.Length != passage.FromClick(in.Meter).Length() {
			t.Fatalf("%v ends at %v, its last bar %+v", p, at, last)
		}
	})
}

// readBack reads the printed signs as a player does.
func readBack(t *rapid.T, p pattern.Pattern, part passage.Part) {
	signs := map[string]passage.Alter{"sharp": passage.Sharp, "flat": passage.Flat, "natural": passage.Natural, "double-sharp": passage.DoubleSharp, "flat-flat": passage.DoubleFlat}
	type place struct{ bar, steps int }
	before := map[place]passage.Alter{}
	key := part.At(0, passage.Quarters{}, 1).Key
	if key.Fifths < -7 || key.Fifths > 7 {
		t.Fatalf("%v has a signature of %d", p, key.Fifths)
	}
	for _, n := range part.Notes {
		at := place{n.Bar, n.Pitch.Steps()}
		a, known := before[at]
		if !known {
			a = key.Of(n.Pitch.Letter)
		}
		if n.Accidental != "" {
			if signs[n.Accidental] == a {
				t.Fatalf("%v: %v has a sign too many", p, n.Pitch)
			}
			a = signs[n.Accidental]
		}
		if before[at] = a; a != n.Pitch.Alter {
			t.Fatalf("%v: %v is read as %v", p, n.Pitch, a)
		}
	}
}

// slurs and tuplets end where they began something.
func slurs(t *rapid.T, p pattern.Pattern, notes []passage.Note) {
	slur, tuplet, some := false, false, false
	for _, n := range notes {
		for _, m := range n.Marks {
			if m.Name == passage.MarkSlur {
				if slur == (m.Edge == passage.Start) {
					t.Fatalf("%v: a slur does %s on %v", p, m.Edge, n.Pitch)
				}
				slur, some = m.Edge == passage.Start, true
			}
		}
		for _, m := range n.TupletMarks {
			if tuplet == (m.Edge == passage.Start) {
				t.Fatalf("%v: a tuplet does %s on %v", p, m.Edge, n.Pitch)
			}
			tuplet = m.Edge == passage.Start
		}
	}
	if slur || tuplet || some != (p.Articulation >= pattern.Slurred && p.Articulation <= pattern.TongueTwoSlur) && len(notes) > 8 {
		t.Fatalf("%v: slur open %v, tuplet open %v, any slur %v", p, slur, tuplet, some)
	}
}
