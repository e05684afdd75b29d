package fingers

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
)

// drawPassage draws notes of a chart, with rests, pins and short notes.
func drawPassage(rt *rapid.T, c *Chart, most int) []Note {
	rows := c.Rows()
	var out []Note
	at := rapid.IntRange(0, len(rows)-1).Draw(rt, "first")
	for range rapid.IntRange(1, most).Draw(rt, "notes") {
		n := Note{Pitch: rows[at].Pitch, Apart: rapid.IntRange(0, 9).Draw(rt, "apart") == 0, Long: rapid.Bool().Draw(rt, "long")}
		if rapid.IntRange(0, 4).Draw(rt, "pin") == 0 {
			n.Pin = rows[at].Name
			if rapid.Bool().Draw(rt, "change") {
				n.Pin = rapid.SampledFrom([]string{"L>R", "R>L", "L", "R", "nothing"}).Draw(rt, "pinned")
			}
		}
		out = append(out, n)
		at = min(max(at+rapid.IntRange(-9, 9).Draw(rt, "step"), 0), len(rows)-1)
	}
	return out
}

// brute is the least cost of all ways that cost less than a bound, by trying them;
// of those in which a note begins with a fingering, where one is given.
func brute(c *Chart, notes []Note, loop bool, at int, with *Fingering, bound float64) float64 {
	cols := make([]column, len(notes))
	for i, n := range notes {
		cols[i] = c.column(n)
	}
	step := func(i, k int, a, b place) float64 {
		if notes[k].Apart || !cols[i].judged || !cols[k].judged {
			return 0
		}
		row := func(i, r int) *Fingering { return &cols[i].all[r] }
		slides := func(a, b *Fingering) bool { _, n, _ := c.change(a, b); return n[SlideLittle] > 0 }
		if a.in != a.out && !cols[i].pinned && !slides(row(i, a.in), row(k, b.in)) ||
			b.in != b.out && !cols[k].pinned && !slides(row(i, a.out), row(k, b.out)) {
			return math.Inf(1)
		}
		_, _, cost := c.change(row(i, a.out), row(k, b.in))
		return cost
	}
	best := bound
	way := make([]place, len(notes))
	var walk func(i int, cost float64)
	walk = func(i int, cost float64) {
		switch {
		case cost >= best:
		case i == len(notes):
			if loop {
				cost += step(i-1, 0, way[i-1], way[0])
			}
			best = min(best, cost)
		default:
			for p, is := range cols[i].places {
				if i == at && &cols[i].all[is.in] != with {
					continue
				}
				way[i] = is
				here := cost + cols[i].own[p]
				if i > 0 {
					here += step(i-1, i, way[i-1], is)
				}
				walk(i+1, here)
			}
		}
	}
	walk(0, 0)
	return best
}

// sum is what a choice costs, note by note.
func sum(c *Choice) float64 {
	total := 0.0
	for _, change := range c.Changes() {
		total += change.Cost
	}
	for _, n := range c.Notes {
		if n.Fingering != nil {
			total += c.Chart.own(n.Fingering)
		}
		if n.Then != nil {
			total += exchange + c.Chart.own(n.Then)
		}
	}
	return total
}

// The way that is found costs what the best of all ways does, in passages and loops,
// and every pin is kept.
func TestTheCheapestWay(t *testing.T) {
	l := held(t)
	seen := 0
	rapid.Check(t, func(rt *rapid.T) {
		c, _ := l.For(rapid.SampledFrom([]string{"clarinet", "clarinet", "saxophone", "flute", "oboe", "bassoon"}).Draw(rt, "instrument"))
		loop := rapid.Bool().Draw(rt, "loop")
		for range 10 {
			notes := drawPassage(rt, c, 8)
			got := c.Choose(notes, loop)
			seen++
			if want := brute(c, notes, loop, -1, nil, got.Cost+1e-3); math.Abs(got.Cost-want) > 1e-6 || math.Abs(sum(got)-want) > 1e-6 {
				rt.Fatalf("costs %v, its notes %v, the best of all %v", got.Cost, sum(got), want)
			}
			keepsPins(rt, got)
		}
	})
	if seen < 1000 {
		t.Errorf("%d passages", seen)
	}
}

func keepsPins(rt *rapid.T, got *Choice) {
	rt.Helper()
	for i, n := range got.Notes {
		first, then, ok := got.Chart.Pinned(n.Pitch, n.Pin)
		if !ok || !n.Pinned {
			continue
		}
		rows := got.Chart.Of(n.Pitch)
		in := slices.ContainsFunc(first, func(i int) bool { return &rows[i] == n.Fingering })
		out := then == nil || slices.ContainsFunc(then, func(i int) bool { return &rows[i] == n.Leaves() })
		if !in || !out {
			rt.Fatalf("note %d, pinned to %s, has %s and leaves with %s", i, n.Pin, n.Fingering.Name, n.Leaves().Name)
		}
	}
}

// The runner-up costs what the best way does that is forced through another choice.
func TestTheRunnerUp(t *testing.T) {
	c, _ := held(t).For("clarinet")
	rapid.Check(t, func(rt *rapid.T) {
		notes := drawPassage(rt, c, 6)
		got := c.Choose(notes, false)
		at := rapid.IntRange(0, len(notes)-1).Draw(rt, "at")
		n := got.Notes[at]
		if n.Pinned || n.Other == nil {
			return
		}
		least := math.Inf(1)
		rows := c.Of(n.Pitch)
		for i := range rows {
			if rows[i].class != n.Fingering.class {
				least = min(least, brute(c, notes, false, at, &rows[i], least))
			}
		}
		if math.Abs(n.More-(least-got.Cost)) > 1e-6 {
			rt.Fatalf("note %d is %v dearer with %s, by trying %v", at, n.More, n.Other.Name, least-got.Cost)
		}
	})
}

// scales are the major and minor scales of a chart's range and their thirds, in all
// keys, as short notes.
func scales(t testing.TB, c *Chart) [][]Note {
	t.Helper()
	var out [][]Note
	top := c.UsualTop
	if c.Top.Cents() < top.Cents() {
		top = c.Top
	}
	for _, key := range []string{"C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"} {
		for _, mode := range []string{" major", " melodic minor"} {
			for _, figure := range []string{"scale", "thirds"} {
				got, err := pattern.Answer(pattern.Words{Key: key + mode, Figure: figure, Range: c.Low.String() + "-" + top.String()})
				if err != nil {
					t.Fatal(err)
				}
				var notes []Note
				for _, name := range got.Pitches {
					p, err := passage.ParsePitch(name)
					if err != nil {
						t.Fatal(err)
					}
					notes = append(notes, Note{Pitch: p})
				}
				out = append(out, notes)
			}
		}
	}
	return out
}

// The choices do not hang on the exact costs: with any one of them, or with all,
// moved by a tenth, at least 95 of 100 notes of scales and thirds in all keys sound
// with the same keys.
func TestCostsMayBeATenthOff(t *testing.T) {
	l := held(t)
	random := rand.New(rand.NewPCG(1, 2))
	var others []Costs
	for term := range l.costs.Weight {
		for _, by := range []float64{0.9, 1.1} {
			moved := l.costs
			moved.Weight[term] *= by
			others = append(others, moved)
		}
	}
	for range 20 {
		moved := l.costs
		for term := range moved.Weight {
			moved.Weight[term] *= []float64{0.9, 1.1}[random.IntN(2)]
		}
		others = append(others, moved)
	}
	for _, c := range l.charts {
		var all []Note // one after the other, so that each change is priced once
		for _, scale := range scales(t, c) {
			scale[0].Apart = true
			all = append(all, scale...)
		}
		plain, least := c.Choose(all, false), 1.0
		for _, costs := range others {
			moved := c.WithCosts(costs).Choose(all, false)
			notes, same := 0, 0
			for i, n := range plain.Notes {
				if n.Fingering == nil {
					continue
				}
				notes++
				if n.Fingering.class == moved.Notes[i].Fingering.class {
					same++
				}
			}
			least = min(least, float64(same)/float64(notes))
		}
		t.Logf("%s: %.1f of 100 notes keep their choice at least", c.Instrument, 100*least)
		if least < 0.95 {
			t.Errorf("%s: only %.1f of 100 notes keep their choice", c.Instrument, 100*least)
		}
	}
}

// In scales and thirds of all keys no little finger of the clarinet leaves a key for
// another: there is always a way without (Paglialonga 2014, jennyclarinet.com 2021:
// the rule holds without a left E flat lever).
func TestNoLittleFingerSlidesInScales(t *testing.T) {
	c, _ := held(t).For("clarinet")
	for _, s := range scales(t, c) {
		got := c.Choose(s, false)
		for _, change := range got.Changes() {
			if change.Count[SlideLittle] > 0 {
				t.Errorf("%s to %s: %s", s[change.From].Pitch, s[change.To].Pitch, change.Sentence())
			}
		}
	}
}

func longPassage(c *Chart, n int) []Note {
	random := rand.New(rand.NewPCG(3, 4))
	rows := c.Rows()
	out := make([]Note, n)
	for i := range out {
		out[i] = Note{Pitch: rows[random.IntN(len(rows))].Pitch, Long: i%3 == 0}
	}
	return out
}

func BenchmarkTenThousandNotes(b *testing.B) {
	c, _ := held(b).For("clarinet")
	notes := longPassage(c, 10_000)
	for b.Loop() {
		if got := c.Choose(notes, false); strings.TrimSpace(got.Notes[0].Fingering.Name) == "" {
			b.Fatal("nothing is chosen")
		}
	}
}
