package engrave_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/sample"
)

var clefs = []passage.Clef{sample.Treble, sample.Bass, sample.Tenor, sample.Alto}

// rhythms fill a quarter, triples a dotted quarter.
var (
	rhythms = []string{"4", "8 8", "16 16 16 16", "8. 16", "16 8.", "16 8 16", "8 16 16", "16 16 8", "8t3:2 8t3:2 8t3:2", "32 32 32 32 16 16", "r8 8", "8 r8", "16 r16 8"}
	triples = []string{"4.", "8 8 8", "4 8", "16 16 16 16 16 16", "8. 16 8", "8 16 16 8", "r8 8 8"}
)

// drawWords draws the words of a line's bars, of positions from low to high.
func drawWords(t *rapid.T, clef passage.Clef, meter string, low, high, alters int) []string {
	middle, _ := clef.Middle()
	groups := map[string][]string{"4/4": {"q", "q", "q", "q"}, "3/4": {"q", "q", "q"}, "6/8": {"d", "d"}, "3+2/8": {"d", "q"}}[meter]
	bars := make([]string, rapid.IntRange(1, 6).Draw(t, "bars"))
	for i := range bars {
		var words []string
		for _, g := range groups {
			list := rhythms
			if g == "d" {
				list = triples
			}
			for _, v := range strings.Fields(rapid.SampledFrom(list).Draw(t, "rhythm")) {
				if rest, ok := strings.CutPrefix(v, "r"); ok {
					words = append(words, "r:"+rest)
					continue
				}
				steps := middle.Steps() + rapid.IntRange(low, high).Draw(t, "position")
				p := passage.Pitch{Letter: passage.Letter(steps % 7), Octave: int8(steps / 7), Alter: 100 * passage.Alter(rapid.IntRange(-alters, alters).Draw(t, "alter"))}
				words = append(words, p.String()+":"+v)
			}
		}
		bars[i] = strings.Join(words, " ")
	}
	return bars
}

func drawLine(t *rapid.T) passage.Line {
	clef := rapid.SampledFrom(clefs).Draw(t, "clef")
	meter := rapid.SampledFrom([]string{"4/4", "3/4", "6/8", "3+2/8"}).Draw(t, "meter")
	l, err := sample.Line(clef, rapid.IntRange(-7, 7).Draw(t, "fifths"), meter, drawWords(t, clef, meter, -9, 9, 1)...)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func all(l passage.Line) engrave.Excerpt { return engrave.Bars(l, 0, len(l.Part.Bars)-1) }

func layout(t interface{ Fatal(...any) }, l passage.Line, o engrave.Options) *engrave.Drawing {
	d, err := engrave.Layout(all(l), o)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestLawsOfLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLine(t)
		width := rapid.SampledFrom([]float64{0, 45, 60, 90}).Draw(t, "width")
		d := layout(t, l, engrave.Options{Width: width, Even: rapid.Bool().Draw(t, "even")})
		faults, _ := compare(l, readBack(d))
		for _, f := range faults {
			t.Error("read back: " + f)
		}
		onwards(t, d)
		fullLines(t, d, width)
		stems(t, d)
		if !d.Crowded {
			apart(t, d)
		}
		pointing(t, d)
	})
}

// onwards: a later onset stands further right.
func onwards(t *rapid.T, d *engrave.Drawing) {
	for i := 1; i < len(d.Notes); i++ {
		a, b := d.Notes[i-1], d.Notes[i]
		if a.System == b.System && a.Onset.Less(b.Onset) && a.Head.X0 >= b.Head.X0 {
			t.Errorf("note %d at %v stands at %.2f, note %d at %v at %.2f", a.Note, a.Onset, a.Head.X0, b.Note, b.Onset, b.Head.X0)
		}
	}
}

// fullLines: every line but the last ends exactly at the width, and none beyond it.
func fullLines(t *rapid.T, d *engrave.Drawing, width float64) {
	if width == 0 {
		return
	}
	for i, s := range d.Systems {
		end := 0.0
		for _, shape := range d.Shapes[s.First:s.End] {
			if shape.Role == engrave.BarLine {
				end = max(end, shape.Ink().X1)
			}
		}
		switch {
		case d.Crowded:
		case s.Right > width+1e-6:
			t.Errorf("line %d ends at %.3f of %.0f", i, s.Right, width)
		case end > 0 && math.Abs(end-s.Right) > 1e-6 && l0(d, i):
			t.Errorf("line %d: the staff ends at %.3f, its last bar line at %.3f", i, s.Right, end)
		case i < len(d.Systems)-1 && math.Abs(s.Right-width) > 1e-6:
			t.Errorf("line %d ends at %.3f, want %.0f", i, s.Right, width)
		}
	}
}

// l0 reports whether a line ends with a bar.
func l0(d *engrave.Drawing, i int) bool {
	last := -1
	for _, p := range d.Notes {
		if p.System == i {
			last = p.Bar
		}
	}
	for _, p := range d.Notes {
		if p.System == i+1 && p.Bar == last {
			return false
		}
	}
	return true
}

// stems are 2.5 long or longer, begin at their heads' anchors and end at a beam's
// edge or bare; beams rise as the table allows.
func stems(t *rapid.T, d *engrave.Drawing) {
	for _, s := range d.Shapes {
		if s.Role != engrave.Stem || s.Kind != engrave.Bar {
			continue
		}
		if long := math.Abs(s.Y2 - s.Y); long < 2.5 {
			t.Errorf("the stem of note %d is %.2f long", s.Note, long)
		}
		p, _ := d.Place(s.Note)
		y := (p.Head.Y0 + p.Head.Y1) / 2
		up := s.Y2 < s.Y
		edge, at := p.Head.X0+0.06, y+0.168
		if up {
			edge, at = p.Head.X1-0.06, y-0.168
		}
		if math.Abs(s.X-edge) > 0.01 || math.Abs(s.Y-at) > 0.01 {
			t.Errorf("the stem of note %d begins at %.3f, %.3f; its head's anchor is at %.3f, %.3f", s.Note, s.X, s.Y, edge, at)
		}
	}
	for _, b := range d.Shapes {
		if b.Role != engrave.Beam || b.Note == b.Last {
			continue
		}
		from, _ := d.Place(b.Note)
		to, _ := d.Place(b.Last)
		letters := math.Abs(from.Head.Y0-to.Head.Y0) * 2
		rise, width := math.Abs(b.Y2-b.Y), b.X2-b.X-0.12
		slope := rise / (b.X2 - b.X)
		if most := mostByTable(letters, width); slope*width > most+0.01 && outer(d, b) {
			t.Errorf("the beam of notes %d to %d rises %.2f, want at most %.2f", b.Note, b.Last, rise, most)
		}
		touches := false
		for _, s := range d.Shapes {
			if s.Role == engrave.Stem && s.Note == b.Note && s.X >= b.X && s.X <= b.X2 {
				touches = math.Abs(s.Y2-(b.Y+(b.Y2-b.Y)*(s.X-b.X)/(b.X2-b.X))) < 2.6
			}
		}
		if !touches {
			t.Errorf("the beam of notes %d to %d does not touch its first stem", b.Note, b.Last)
		}
	}
}

// outer reports whether a beam spans its whole group: no other that is longer
// covers it.
func outer(d *engrave.Drawing, b engrave.Shape) bool {
	for _, o := range d.Shapes {
		if o.Role == engrave.Beam && o.Note <= b.Note && o.Last >= b.Last && o.Last-o.Note > b.Last-b.Note {
			return false
		}
	}
	return true
}

// mostByTable is the table of the most that a beam rises, as the treatises have
// it: by the interval, and by the width.
func mostByTable(letters, width float64) float64 {
	byInterval := []float64{0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75}[int(math.Min(math.Round(letters), 7))]
	byWidth := 1.75
	for _, row := range [][2]float64{{20, 1.5}, {15, 1.25}, {10, 1}, {7.5, 0.75}, {5, 0.5}, {3, 0.25}} {
		if width < row[0] {
			byWidth = row[1]
		}
	}
	return math.Min(byInterval, byWidth)
}

// apart: heads, signs, rests, dots and flags of different notes do not touch, nor
// do stems touch other notes' heads and signs.
func apart(t *rapid.T, d *engrave.Drawing) {
	solid := map[engrave.Role]bool{engrave.Head: true, engrave.Accidental: true, engrave.Rest: true, engrave.Dot: true, engrave.Flag: true,
		engrave.ClefSign: true, engrave.KeySign: true, engrave.MeterSign: true, engrave.BarLine: true, engrave.Stem: true}
	for _, sys := range d.Systems {
		var list []engrave.Shape
		for _, s := range d.Shapes[sys.First:sys.End] {
			if solid[s.Role] {
				list = append(list, s)
			}
		}
		for i, a := range list {
			for _, b := range list[i+1:] {
				x, y := a.Ink(), b.Ink()
				if a.Note >= 0 && a.Note == b.Note || a.Role == engrave.KeySign && b.Role == engrave.KeySign || a.Role == engrave.ClefSign && b.Role == engrave.ClefSign {
					continue
				}
				if a.Role == engrave.MeterSign && b.Role == engrave.MeterSign || a.Role == engrave.BarLine && b.Role == engrave.BarLine {
					continue
				}
				if x.X0 < y.X1-0.02 && y.X0 < x.X1-0.02 && x.Y0 < y.Y1-0.05 && y.Y0 < x.Y1-0.05 {
					t.Errorf("%s and %s touch", describe(a), describe(b))
				}
			}
		}
	}
}

func describe(s engrave.Shape) string {
	i := s.Ink()
	return fmt.Sprintf("role %d of note %d (%.2f…%.2f, %.2f…%.2f)", s.Role, s.Note, i.X0, i.X1, i.Y0, i.Y1)
}

// pointing at a note means it, and the cursor is over each at its onset.
func pointing(t *rapid.T, d *engrave.Drawing) {
	for _, p := range d.Notes {
		if got := d.At(p.X(), (p.Head.Y0+p.Head.Y1)/2); got != p.Note {
			t.Errorf("pointing at note %d means note %d", p.Note, got)
		}
		if x, sys, ok := d.XOf(p.Onset); !ok || sys != p.System || math.Abs(x-p.X()) > 0.01 {
			t.Errorf("at note %d's onset the cursor is at %.2f on line %d, want %.2f on %d", p.Note, x, sys, p.X(), p.System)
		}
	}
}

// Turning the page upside down mirrors stems and beams: a line of positions and
// the same with every position negated. Where both directions are as good, down is
// taken, so that lines with such a place are left out.
func TestLawOfMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var there, back []string
		for range rapid.IntRange(1, 4).Draw(t, "beats") {
			var a, b []string
			for _, v := range strings.Fields(rapid.SampledFrom([]string{"4", "8 8", "16 16 16 16", "8. 16", "8 16 16", "32 32 32 32 16 16"}).Draw(t, "rhythm")) {
				pos := rapid.IntRange(-9, 9).Draw(t, "position")
				steps := 34 // the middle line of the treble clef, B4
				name := func(s int) string {
					return passage.Pitch{Letter: passage.Letter(s % 7), Octave: int8(s / 7)}.String() + ":" + v
				}
				a, b = append(a, name(steps+pos)), append(b, name(steps-pos))
			}
			there, back = append(there, strings.Join(a, " ")), append(back, strings.Join(b, " "))
		}
		one, err := sample.Line(sample.Treble, 0, "4/4", strings.Join(there, " "))
		two, err2 := sample.Line(sample.Treble, 0, "4/4", strings.Join(back, " "))
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		d, e := layout(t, one, engrave.Options{}), layout(t, two, engrave.Options{})
		pick := func(d *engrave.Drawing) (out []engrave.Shape) {
			for _, s := range d.Shapes {
				if s.Role == engrave.Stem || s.Role == engrave.Beam {
					s.Y, s.Y2 = s.Y-d.Systems[0].Middle, s.Y2-d.Systems[0].Middle
					out = append(out, s)
				}
			}
			return out
		}
		p, q := pick(d), pick(e)
		if len(p) != len(q) {
			t.Fatalf("%d stems and beams, turned %d", len(p), len(q))
		}
		for i := range p {
			if same := p[i].Role == engrave.Stem && (p[i].Y2 < p[i].Y) == (q[i].Y2 < q[i].Y); same {
				return // both directions are as good
			}
		}
		for i := range p {
			// A stem's x changes sides, so a beam is a head's width off at most; its rise
			// and how far it is from the staff are not.
			if math.Abs(p[i].Y+q[i].Y) > 0.02 || math.Abs(p[i].Y2+q[i].Y2) > 0.02 {
				t.Errorf("%d: %.3f…%.3f, turned %.3f…%.3f", i, p[i].Y, p[i].Y2, q[i].Y, q[i].Y2)
			}
		}
	})
}

// Equal durations without signs take equal space in a line, and one twice as long
// 1.35 to 1.5 times as much.
func TestLawsOfSpacing(t *testing.T) {
	gaps := func(value string, width float64) []float64 {
		words := strings.Repeat("C4:"+value+" D4:"+value+" ", 8)
		l, err := sample.Line(sample.Alto, 0, "4/4", strings.Fields(words)[0]+" r:2.", strings.Join(strings.Fields(words)[:4], " "))
		if err != nil {
			t.Fatal(err)
		}
		d := layout(t, l, engrave.Options{Width: width})
		var out []float64
		for i := 1; i < len(d.Notes); i++ {
			if a, b := d.Notes[i-1], d.Notes[i]; a.Bar == 1 && b.Bar == 1 {
				out = append(out, b.Head.X0-a.Head.X0)
			}
		}
		return out
	}
	before := 0.0
	for _, value := range []string{"16", "8", "4", "2", "1"} {
		g := gaps(value, 0)
		for _, x := range g {
			if math.Abs(x-g[0]) > 0.01 {
				t.Errorf("notes of the value %s stand %v apart", value, g)
				break
			}
		}
		if ratio := g[0] / before; before > 0 && (ratio < 1.35 || ratio > 1.5) {
			t.Errorf("a note of the value %s takes %.3f times as much as half of it", value, ratio)
		}
		before = g[0]
	}
	rapid.Check(t, func(t *rapid.T) {
		bars := make([]string, rapid.IntRange(2, 8).Draw(t, "bars"))
		for i := range bars {
			words := make([]string, 16)
			for k := range words {
				words[k] = rapid.SampledFrom([]string{"A3", "B3", "C4", "D4", "E4"}).Draw(t, "pitch") + ":16"
			}
			bars[i] = strings.Join(words, " ")
		}
		l, err := sample.Line(sample.Alto, 0, "4/4", bars...)
		if err != nil {
			t.Fatal(err)
		}
		d := layout(t, l, engrave.Options{Width: 70 + 40*rapid.Float64Range(0, 1).Draw(t, "more")})
		space := map[int]float64{}
		for i := 1; i < len(d.Notes); i++ {
			a, b := d.Notes[i-1], d.Notes[i]
			if a.Bar != b.Bar || a.System != b.System {
				continue
			}
			gap := b.Head.X0 - a.Head.X0
			if known, ok := space[a.System]; ok && math.Abs(known-gap) > 0.01 {
				t.Errorf("line %d: %.3f and %.3f from sixteenth to sixteenth", a.System, known, gap)
			}
			space[a.System] = gap
		}
	})
}

// In the lane every head stands over its stroke.
func TestLawOfTheLane(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLine(t)
		each := rapid.Float64Range(9, 16).Draw(t, "spaces a quarter")
		at := func(q passage.Quarters) float64 { return 32 + each*q.Float() }
		bar := l.Part.Bars[0]
		d, err := engrave.Bound(engrave.Excerpt{Line: l, To: bar.Length}, engrave.Lane{Width: at(bar.Length) + 12, At: at, Breath: at(bar.Length) + 6})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range d.Notes {
			if math.Abs(p.X()-at(p.Onset)) > 1e-6 {
				t.Errorf("note %d stands at %.3f, its stroke at %.3f", p.Note, p.X(), at(p.Onset))
			}
		}
		if d.Crowded {
			return
		}
		one := passage.Line{Part: l.Part, Voice: l.Voice, Staff: l.Staff, Notes: l.Between(0, 0)}
		faults, _ := compare(one, readBack(d))
		for _, f := range faults {
			t.Error("read back: " + f)
		}
	})
}

// An excerpt that begins in the middle of a bar is read without what stands before
// it.
func TestLawOfExcerpts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLine(t)
		end := l.Part.Bars[len(l.Part.Bars)-1]
		beats := end.Start.Add(end.Length).Ceil()
		from := rapid.IntRange(0, beats-1).Draw(t, "from")
		e := engrave.Excerpt{Line: l, From: click.Whole(from), To: click.Whole(rapid.IntRange(from+1, beats).Draw(t, "to"))}
		d, err := engrave.Layout(e, engrave.Options{Width: 60})
		if err != nil {
			t.Fatal(err)
		}
		part := l
		part.Notes = nil
		for _, n := range l.Notes {
			if on := l.Part.Onset(n); !on.Less(e.From) && on.Less(e.To) {
				part.Notes = append(part.Notes, n)
			}
		}
		faults, _ := compare(part, readBack(d))
		for _, f := range faults {
			t.Error("read back: " + f)
		}
	})
}
