package engrave_test

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/sample"
)

// This file reads drawings as a player does: from the places of signs on the
// staff, with nothing of the code that drew them.

// read is a note or rest as read.
type read struct {
	system int
	x      float64
	pitch  passage.Pitch
	rest   bool
	cross  bool
	length passage.Quarters // of its value and dots, outside tuplets
	grace  bool
	tuplet int // the product of the numbers over it, 0 for none
}

var readClefs = map[engrave.Glyph]passage.Clef{
	0xE050: {Sign: "G"}, 0xE053: {Sign: "G", Octave: 1}, 0xE052: {Sign: "G", Octave: -1},
	0xE05C: {Sign: "C"}, 0xE062: {Sign: "F"}, 0xE065: {Sign: "F", Octave: 1}, 0xE064: {Sign: "F", Octave: -1},
}

var readAlters = map[engrave.Glyph]passage.Alter{
	0xE260: -100, 0xE261: 0, 0xE262: 100, 0xE263: 200, 0xE264: -200, 0xE280: -50, 0xE281: -150, 0xE282: 50, 0xE283: 150,
	0xE269: 200, 0xE267: -100, 0xE268: 100, 0xE265: 300, 0xE266: -300,
}

// middles is the steps from C0 of the middle line.
func middleSteps(c passage.Clef) int {
	line := map[string]int{"G": 32, "F": 24, "C": 28}[c.Sign]
	return line + 2*(3-c.Line) + 7*c.Octave
}

// reader carries what a reader has in mind from line to line.
type reader struct {
	clef  passage.Clef
	key   map[int]passage.Alter // by letter
	state map[int]passage.Alter // by steps
	out   []read
	tied  map[int]passage.Alter // by steps: ties that leave the line before
}

// token is something that a reader comes to on the way from left to right.
type token struct {
	x    float64
	kind int // in the order in which those at one place are read
	s    engrave.Shape
}

const (
	tokenBar = iota
	tokenClef
	tokenKey
	tokenRest
	tokenHead
)

func readBack(d *engrave.Drawing) []read {
	r := &reader{state: map[int]passage.Alter{}, key: map[int]passage.Alter{}, tied: map[int]passage.Alter{}}
	for i, s := range d.Systems {
		r.line(i, d.Shapes[s.First:s.End])
	}
	return r.out
}

func (r *reader) line(system int, shapes []engrave.Shape) {
	var staff []float64
	for _, s := range shapes {
		if s.Role == engrave.StaffLine {
			staff = append(staff, s.Y)
		}
	}
	slices.Sort(staff)
	middle := staff[2]
	pos := func(s engrave.Shape) int { return int(math.Round((middle - s.Y) * 2)) }
	var tokens []token
	for _, s := range shapes {
		switch {
		case s.Role == engrave.BarLine && s.Kind == engrave.Bar:
			tokens = append(tokens, token{s.X, tokenBar, s})
		case s.Role == engrave.ClefSign:
			tokens = append(tokens, token{s.X, tokenClef, s})
		case s.Role == engrave.KeySign:
			tokens = append(tokens, token{s.X, tokenKey, s})
		case s.Role == engrave.Rest:
			tokens = append(tokens, token{s.X, tokenRest, s})
		case s.Role == engrave.Head:
			tokens = append(tokens, token{s.X, tokenHead, s})
		}
	}
	slices.SortStableFunc(tokens, func(a, b token) int {
		// Heads of one chord stand on both sides of its stem.
		return cmp.Compare(a.x, b.x)
	})
	inKey, begun, clefX := false, false, math.Inf(-1)
	leaving := map[int]passage.Alter{}
	alters := map[float64]map[int]passage.Alter{} // by x of a head: what it was read as
	for _, t := range tokens {
		if t.kind != tokenKey {
			inKey = false
		}
		begun = begun || t.kind == tokenBar || t.kind == tokenRest || t.kind == tokenHead
		switch t.kind {
		case tokenBar:
			r.state = map[int]passage.Alter{}
		case tokenClef:
			if c, ok := readClefs[t.s.Glyph]; ok {
				c.Line = 3 + pos(t.s)/2
				r.clef, clefX = c, t.x
			} else if digit := int(t.s.Glyph - 0xE880); t.x-clefX < 3 && r.clef.Octave == 0 { // an 8 or 15 above or below
				switch octaves := map[int]int{8: 1, 1: 2, 2: 3}[digit]; {
				case t.s.Y > middle:
					r.clef.Octave -= octaves
				default:
					r.clef.Octave += octaves
				}
			}
		case tokenKey:
			if !inKey {
				r.key = map[int]passage.Alter{}
				if begun { // else it is the old key, in a bar that may have been broken
					r.state = map[int]passage.Alter{}
				}
			}
			inKey = true
			r.key[(middleSteps(r.clef)+pos(t.s)+70)%7] = readAlters[t.s.Glyph]
		case tokenRest:
			r.out = append(r.out, read{system: system, x: t.x, rest: true, length: restLength(t.s.Glyph, dots(shapes, t.s, pos))})
		case tokenHead:
			steps := middleSteps(r.clef) + pos(t.s) + octaveSign(shapes, t.s, middle)
			alter, ok := r.state[steps]
			if !ok {
				alter = r.key[(steps+70)%7]
			}
			if a, ok := accidentalOf(shapes, t.s); ok {
				alter = readAlters[a]
				r.state[steps] = alter
			} else if a, ok := tieInto(shapes, t.s, alters, r.tied, steps); ok {
				alter = a
			}
			if alters[t.x] == nil {
				alters[t.x] = map[int]passage.Alter{}
			}
			alters[t.x][pos(t.s)] = alter
			if tieLeaves(shapes, t.s) {
				leaving[steps] = alter
			}
			r.out = append(r.out, read{system: system, x: t.x, cross: t.s.Glyph == 0xE0A9,
				pitch:  passage.Pitch{Letter: passage.Letter(steps % 7), Octave: int8(steps / 7), Alter: alter},
				length: headLength(shapes, t.s, pos), grace: t.s.Size < 0.7, tuplet: tupletOver(shapes, t.s)})
		}
	}
	r.tied = leaving
}

func inkOf(s engrave.Shape) engrave.Box { return s.Ink() }

// accidentalOf is the sign before a head, at its height, with no other head
// between.
func accidentalOf(shapes []engrave.Shape, head engrave.Shape) (engrave.Glyph, bool) {
	best, found := engrave.Shape{X: math.Inf(-1)}, false
	for _, s := range shapes {
		if s.Role != engrave.Accidental || s.Y != head.Y || s.X > head.X || s.Glyph == 0xE26A || s.Glyph == 0xE26B {
			continue
		}
		if s.X > best.X {
			best, found = s, true
		}
	}
	if !found {
		return 0, false
	}
	for _, s := range shapes { // another head at that height has it
		if s.Role == engrave.Head && s.Y == head.Y && s.X > best.X && s.X < head.X-1e-9 {
			return 0, false
		}
	}
	return best.Glyph, true
}

// tieInto is what a head is by the tie that ends at it.
func tieInto(shapes []engrave.Shape, head engrave.Shape, before map[float64]map[int]passage.Alter, tied map[int]passage.Alter, steps int) (passage.Alter, bool) {
	for _, s := range shapes {
		if s.Role != engrave.Tie || math.Abs(s.Y-head.Y) > 0.75 || s.X2 > inkOf(head).X1 || s.X2 < head.X-2.5 || nearer(shapes, s, head) {
			continue
		}
		// Its other end is at a head of the same height, or at none: on the line before.
		var from *engrave.Shape
		for i := range shapes {
			h := &shapes[i]
			if h.Role == engrave.Head && h.Y == head.Y && h.X < head.X && s.X >= h.X && s.X <= inkOf(*h).X1+0.5 {
				from = h
			}
		}
		if from != nil {
			if a, ok := before[from.X][posAt(shapes, *from)]; ok {
				return a, true
			}
			continue
		}
		if a, ok := tied[steps]; ok {
			return a, true
		}
	}
	return 0, false
}

// nearer reports whether the tie s ends nearer another head of that height.
func nearer(shapes []engrave.Shape, s, head engrave.Shape) bool {
	for _, h := range shapes {
		if h.Role == engrave.Head && h.Y == head.Y && h.X < head.X && s.X2 <= inkOf(h).X1 && s.X < h.X {
			return true
		}
	}
	return false
}

func posAt(shapes []engrave.Shape, h engrave.Shape) int {
	var staff []float64
	for _, s := range shapes {
		if s.Role == engrave.StaffLine {
			staff = append(staff, s.Y)
		}
	}
	slices.Sort(staff)
	return int(math.Round((staff[2] - h.Y) * 2))
}

// tieLeaves reports whether a tie begins at a head and ends at none.
func tieLeaves(shapes []engrave.Shape, head engrave.Shape) bool {
	for _, s := range shapes {
		if s.Role == engrave.Tie && math.Abs(s.Y-head.Y) <= 0.75 && s.X >= head.X && s.X <= inkOf(head).X1+0.5 {
			return true
		}
	}
	return false
}

func dots(shapes []engrave.Shape, head engrave.Shape, pos func(engrave.Shape) int) int {
	next := math.Inf(1) // the next head or rest to the right
	ink := inkOf(head)
	for _, s := range shapes {
		if (s.Role == engrave.Head || s.Role == engrave.Rest) && s.X > head.X+1.25 {
			next = min(next, s.X)
		}
	}
	xs := map[float64]bool{}
	for _, s := range shapes {
		if s.Role == engrave.Dot && s.X > ink.X1 && s.X < min(next, ink.X1+3.6) && math.Abs(s.Y-head.Y) < 1.3 {
			xs[math.Round(s.X*100)] = true
		}
	}
	return len(xs)
}

func dotted(n passage.Quarters, dots int) passage.Quarters {
	sum := n
	for range dots {
		n = click.Frac(n.Num(), 2*n.Den())
		sum = sum.Add(n)
	}
	return sum
}

func restLength(g engrave.Glyph, dots int) passage.Quarters {
	if g < 0xE4E3 {
		return dotted(click.Whole(8<<(0xE4E2-g)), dots)
	}
	return dotted(click.Frac(4, 1<<(g-0xE4E3)), dots)
}

// headLength is what a head with its stem's flags or beams, and its dots, lasts.
func headLength(shapes []engrave.Shape, head engrave.Shape, pos func(engrave.Shape) int) passage.Quarters {
	n := dots(shapes, head, pos)
	switch head.Glyph {
	case 0xE0A0:
		return dotted(click.Whole(8), n)
	case 0xE0A2:
		return dotted(click.Whole(4), n)
	case 0xE0A3:
		return dotted(click.Whole(2), n)
	}
	ink := inkOf(head)
	stem, found := engrave.Shape{}, false
	for _, s := range shapes {
		if s.Role != engrave.Stem || s.Kind != engrave.Bar || s.X < ink.X0-0.1 || s.X > ink.X1+0.1 {
			continue
		}
		if top, bottom := min(s.Y, s.Y2), max(s.Y, s.Y2); head.Y > top-0.6 && head.Y < bottom+0.6 {
			stem, found = s, true
		}
	}
	if !found {
		return click.Whole(4)
	}
	hooks := 0
	for _, s := range shapes {
		switch {
		case s.Role == engrave.Flag && math.Abs(s.X-stem.X) < 0.1 && math.Abs(s.Y-stem.Y2) < 0.1:
			hooks = int(s.Glyph-0xE240)/2 + 1
		case s.Role == engrave.Beam && s.X <= stem.X && stem.X <= s.X2:
			y := s.Y + (s.Y2-s.Y)*(stem.X-s.X)/(s.X2-s.X)
			if y > min(stem.Y, stem.Y2)-0.5 && y < max(stem.Y, stem.Y2)+0.5 {
				hooks++
			}
		}
	}
	return dotted(click.Frac(1, 1<<hooks), n)
}

// tupletOver is the product of the numbers whose bracket, or beam, is over a head.
func tupletOver(shapes []engrave.Shape, head engrave.Shape) int {
	type span struct{ first, last int }
	numbers := map[span]string{}
	for _, s := range shapes {
		if s.Role == engrave.Tuplet && s.Kind == engrave.Sign && s.Note <= head.Note && head.Note <= s.Last {
			k := span{s.Note, s.Last}
			if s.Glyph == 0xE88A {
				numbers[k] += ":"
			} else {
				numbers[k] += fmt.Sprint(s.Glyph - 0xE880)
			}
		}
	}
	product := 0
	for _, text := range numbers {
		var n int
		fmt.Sscanf(text, "%d", &n)
		product = max(product, 1) * n
	}
	return product
}

// octaveSign is how many steps higher a head is meant than written, under 8va.
func octaveSign(shapes []engrave.Shape, head engrave.Shape, middle float64) int {
	for _, s := range shapes {
		if s.Role != engrave.Words || s.Kind != engrave.Sign || s.Glyph != 0xE510 && s.Glyph != 0xE514 && s.Glyph != 0xE517 {
			continue
		}
		end := math.Inf(1)
		for _, b := range shapes {
			if b.Role == engrave.Words && b.Kind == engrave.Bar && b.X == b.X2 && b.X > s.X && math.Abs(b.Y-s.Y) < 1.5 {
				end = min(end, b.X)
			}
		}
		if head.X < s.X-1e-9 || head.X > end {
			continue
		}
		steps := 7
		if s.Glyph == 0xE514 {
			steps = 14
		}
		if s.Glyph == 0xE517 {
			steps = 21
		}
		if s.Y > middle {
			return -steps
		}
		return steps
	}
	return 0
}

// plain reports whether a note's sign says what it sounds, in common signs.
func plain(n passage.Note) bool {
	names := map[string]passage.Alter{"": n.Pitch.Alter, "sharp": 100, "flat": -100, "natural": 0, "double-sharp": 200, "sharp-sharp": 200, "flat-flat": -200,
		"natural-sharp": 100, "natural-flat": -100, "quarter-flat": -50, "quarter-sharp": 50, "three-quarters-flat": -150, "three-quarters-sharp": 150}
	a, ok := names[n.Accidental]
	return ok && a == n.Pitch.Alter && n.Pitch.Alter%50 == 0 && n.Pitch.Alter <= 200 && n.Pitch.Alter >= -200
}

// compare says where a drawing does not read as its line. unsure is how many
// pitches were not compared, because their signs have no common meaning.
func compare(l passage.Line, got []read) (faults []string, unsure int) {
	var want []passage.Note
	for _, n := range l.Notes {
		if !n.Hidden {
			want = append(want, n)
		}
	}
	// Chords are compared from the lowest note up.
	for i := 0; i < len(want); {
		j := i + 1
		for j < len(want) && want[j].Chord && want[j].At == want[i].At && want[j].Bar == want[i].Bar {
			j++
		}
		slices.SortStableFunc(want[i:j], func(a, b passage.Note) int { return cmp.Compare(a.Pitch.Steps(), b.Pitch.Steps()) })
		if j-i > 1 && i+j-i <= len(got) {
			slices.SortStableFunc(got[i:j], func(a, b read) int { return cmp.Compare(a.pitch.Steps(), b.pitch.Steps()) })
		}
		i = j
	}
	if len(want) != len(got) {
		return []string{fmt.Sprintf("%d notes are read, want %d", len(got), len(want))}, 0
	}
	odd := map[string]bool{} // bar and steps: a sign there has no common meaning
	for i, n := range want {
		r := got[i]
		where := fmt.Sprintf("bar %d at %v (%v)", n.Bar, n.At, n.Pitch)
		if r.rest != (n.Kind == passage.Rest) {
			faults = append(faults, where+": a rest for a note or a note for a rest")
			continue
		}
		if n.WholeBar {
			if r.length != click.Whole(4) {
				faults = append(faults, where+": not a whole rest")
			}
			continue
		}
		if n.Kind == passage.Pitched {
			key := fmt.Sprint(n.Bar, n.Pitch.Steps())
			odd[key] = odd[key] || !plain(n)
			switch {
			case odd[key]:
				unsure++
			case r.pitch != n.Pitch:
				faults = append(faults, fmt.Sprintf("%s: reads as %v", where, r.pitch))
			}
		}
		if r.grace != (n.Grace != passage.NoGrace) {
			faults = append(faults, where+": grace note or not")
		}
		wantLength := n.Value.Length(n.Dots)
		if n.Value == passage.NoValue {
			wantLength = r.length
		}
		if r.length != wantLength {
			faults = append(faults, fmt.Sprintf("%s: lasts %v as drawn, want %v", where, r.length, wantLength))
		}
		if n.Tuplet.Normal > 0 && !r.rest && r.tuplet > 0 && n.Grace == passage.NoGrace && r.tuplet != n.Tuplet.Actual {
			faults = append(faults, fmt.Sprintf("%s: stands under %d, want %v", where, r.tuplet, n.Tuplet))
		}
		if n.Tuplet.Normal == 0 && r.tuplet > 0 {
			faults = append(faults, fmt.Sprintf("%s: stands under %d", where, r.tuplet))
		}
	}
	return faults, unsure
}

func TestOwnMusicReadsBack(t *testing.T) {
	for name, l := range ownLines(t) {
		for _, width := range []float64{0, 40, 70, 100} {
			d, err := engrave.Layout(engrave.Bars(l, 0, len(l.Part.Bars)-1), engrave.Options{Width: width})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			faults, _ := compare(l, readBack(d))
			for _, f := range faults {
				t.Errorf("%s, %v wide: %s", name, width, f)
			}
		}
	}
}

// ownLines are lines in every clef, with what is hard to draw.
func ownLines(t testing.TB) map[string]passage.Line {
	t.Helper()
	out := map[string]passage.Line{}
	for _, c := range []struct {
		name   string
		clef   passage.Clef
		fifths int
		meter  string
		bars   []string
	}{
		{"sharps", sample.Tenor, 7, "4/4", []string{
			"C#4:16 D#4:16 E#4:16 F#4:16 G#4:16 A#4:16 B#4:16 C#5:16 B4:16 A##4:16 G#4:16 F##4:16 E#4:16 D#4:16 C#4:16 B#3:16"}},
		{"flats", sample.Bass, -7, "6/8", []string{"Cb3:8 Db3:8 Eb3:8 F3:8 Gb3:8 A3:8", "Ab3:4.~ Ab3:8 Bbb2:4", "B2:2."}},
		{"chords", sample.Alto, 2, "3/4", []string{"D4:4 +E4:4 +F#4:4 G4:8. +A4:8. B4:16 C5:4", "C#4:2.~ +D4:2. +Eb4:2.", "C#4:4 C4:8 C#4:8 r:4"}},
		{"values", sample.Treble, -1, "4/4", []string{"C4:1", "r:2. r:4", "A4:2.. r:8", "B4:32 A4:32 G4:16 F4:64 G4:64 F4:32 E4:16. F4:32 r:8 gF5:16 gE5:16 D5:4 gsC5:8 Bb4:4", "R"}},
		{"ties", sample.Treble, 0, "4/4", []string{"C5:4 F#4:2.~", "F#4:4 F4:4 F#4:2~", "F#4:1~", "F#4:4 F#4:4 C5:4 Cb5:4"}},
		{"tuplets", sample.Treble, 0, "4/4", []string{
			"C5:8t3:2 D5:8t3:2 E5:8t3:2 F5:4t3:2 E5:8t3:2 D5:16t5:4 C5:16t5:4 B4:16t5:4 A4:16t5:4 G4:16t5:4 r:8t3:2 A4:8t3:2 B4:8t3:2", "C5:4t3:2 D5:4t3:2 E5:4t3:2 G5:16t6:4 F5:16t6:4 E5:16t6:4 D5:16t6:4 C5:16t6:4 B4:16t6:4 A4:4"}},
		{"additive", sample.Bass, 0, "3+2/8", []string{"C3:8 D3:8 E3:8 F3:8 G3:8", "C3:16 D3:16 E3:16 F3:16 G3:16 A3:16 B3:8. C4:16"}},
	} {
		l, err := sample.Line(c.clef, c.fifths, c.meter, c.bars...)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		out[c.name] = l
	}
	return out
}

func score(t *testing.T, file string, data []byte) (s *passage.Score, err error) {
	if filepath.Ext(file) == ".mxl" {
		s, _, err = passage.ReadArchive(t.Context(), bytes.NewReader(data), int64(len(data)), passage.Limits{})
	} else {
		s, _, err = passage.Read(t.Context(), bytes.NewReader(data), passage.Limits{})
	}
	return s, err
}

func TestScoresReadBack(t *testing.T) {
	folders := []string{filepath.Join("..", "..", "ladder", "passage", "testdata", "made")}
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		folders = append(folders, filepath.Join(data, "musicxml"), filepath.Join(data, "musicxml", "made"))
	}
	for _, folder := range folders {
		drawn, refused, unread, notes, unsure := 0, 0, 0, 0, 0
		files, _ := filepath.Glob(filepath.Join(folder, "*.*x*ml"))
		packed, _ := filepath.Glob(filepath.Join(folder, "*.mxl"))
		for _, file := range append(files, packed...) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			s, err := score(t, file, data)
			if err != nil {
				unread++
				continue
			}
			lines := 0
			for i := range s.Parts {
				p := &s.Parts[i]
				for _, l := range p.Lines() {
					d, err := engrave.Layout(engrave.Bars(l, 0, len(p.Bars)-1), engrave.Options{Width: 90})
					if err != nil {
						if strings.Contains(err.Error(), "\n") {
							t.Errorf("%s: %q is more than a line", filepath.Base(file), err)
						}
						t.Logf("%s, voice %s, is not drawn: %v", filepath.Base(file), l.Voice, err)
						continue
					}
					lines++
					faults, odd := compare(l, readBack(d))
					unsure += odd
					notes += len(l.Notes)
					for k, f := range faults {
						if k == 4 {
							break
						}
						t.Errorf("%s, part %s, voice %s: %s", filepath.Base(file), p.ID, l.Voice, f)
					}
				}
			}
			if lines > 0 {
				drawn++
			} else {
				refused++
			}
		}
		t.Logf("%s: %d files drawn and read back with %d notes (%d signs of no common meaning), %d cannot be drawn, %d cannot be read", folder, drawn, notes, unsure, refused, unread)
		if drawn == 0 {
			t.Errorf("%s: nothing is drawn", folder)
		}
	}
}
