package engrave

import (
	"sort"

	"footing/audio/click"
	"footing/ladder/passage"
)

// group is events under one beam.
type group struct {
	evs   []*event
	up    bool
	at    []passage.Quarters // where its beats begin, for the finer beams
	size  float64
	y1    float64 // of the outer edge at the first stem
	slope float64
}

// groups puts events under beams: neighbours in time of one beat, with nothing
// but notes under a quarter. Whatever stands in a tuplet stays together.
func (l *layout) groups() {
	var run []*event
	var last struct{ bar, beat int }
	flush := func() {
		l.beam(run)
		run = nil
	}
	var edges []passage.Quarters
	bar := -1
	var tupletEnd passage.Quarters
	for i := 0; i < len(l.evs); i++ {
		e := l.evs[i]
		if e.grace != passage.NoGrace {
			continue
		}
		b := l.line.Part.Bars[e.bar]
		if e.bar != bar {
			flush()
			bar, edges, tupletEnd = e.bar, beats(b.Meter, b.Offset.Add(b.Length)), passage.Quarters{}
		}
		place := b.Offset.Add(e.at)
		beat := sort.Search(len(edges), func(i int) bool { return place.Less(edges[i]) })
		if e.at.Less(tupletEnd) {
			beat = last.beat
		} else if e.tuplet.Normal > 0 {
			tupletEnd = l.tupletEnd(i)
		}
		joins := len(run) > 0 && beat == last.beat && run[len(run)-1].at.Add(run[len(run)-1].duration) == e.at
		if len(run) > 0 && run[0].size != e.size {
			joins = false
		}
		if e.rest || e.flags() == 0 {
			flush()
		} else {
			if !joins {
				flush()
			}
			run = append(run, e)
		}
		last.bar, last.beat = e.bar, beat
	}
	flush()
	l.graceGroups()
}

// graceGroups puts the grace notes before a note under a beam of their own.
func (l *layout) graceGroups() {
	var run []*event
	for i, e := range l.evs {
		if e.grace != passage.NoGrace && !e.rest && e.flags() > 0 {
			run = append(run, e)
		}
		next := i+1 < len(l.evs) && l.evs[i+1].grace != passage.NoGrace && l.evs[i+1].flags() > 0 && l.evs[i+1].bar == e.bar && l.evs[i+1].at == e.at
		if !next {
			l.beam(run)
			run = nil
		}
	}
}

// tupletEnd is where the tuplet that an event begins ends: as marked, else where
// events of its ratio have filled whole notes of the larger value.
func (l *layout) tupletEnd(i int) passage.Quarters {
	if t, ok := l.tupletFrom[l.evs[i]]; ok {
		last := t.evs[len(t.evs)-1]
		return last.at.Add(last.duration)
	}
	return l.evs[i].at
}

// beam puts events under a beam, by halves and quarters where a long beat holds
// sixteenths.
func (l *layout) beam(run []*event) {
	if len(run) < 2 {
		return
	}
	b := l.line.Part.Bars[run[0].bar]
	plain := run[0].grace == passage.NoGrace
	if plain && b.Meter.Below() < 4 && l.tupletFrom[run[0]] == nil {
		fine := false
		for _, e := range run {
			fine = fine || e.flags() > 1
		}
		quarter := func(e *event) int { return b.Offset.Add(e.at).Floor() }
		if fine && quarter(run[0]) != quarter(run[len(run)-1]) {
			k := sort.Search(len(run), func(i int) bool { return quarter(run[i]) > quarter(run[0]) })
			l.beam(run[:k:k])
			l.beam(run[k:])
			return
		}
	}
	g := &group{evs: run, size: run[0].size}
	high, low := run[0].pos[len(run[0].pos)-1], run[0].pos[0]
	for _, e := range run {
		e.group = g
		low, high = min(low, e.pos[0]), max(high, e.pos[len(e.pos)-1])
		g.at = append(g.at, b.Offset.Add(e.at))
	}
	g.up = low+high < 0 || !plain
	for _, e := range run {
		e.up = g.up
	}
}

// strand is a run of a group's stems that one finer beam joins.
type strand struct{ from, to int }

// strands are the beams of a level, 1 for the one that all stems share. The
// beams of 32nds are parted at every eighth.
func (g *group) strands(level int) []strand {
	if level == 1 {
		return []strand{{0, len(g.evs) - 1}}
	}
	most := 0
	for _, e := range g.evs {
		most = max(most, e.flags())
	}
	half := click.Frac(1, 2)
	cell := func(i int) int { return click.Frac(g.at[i].Num()*half.Den(), g.at[i].Den()*half.Num()).Floor() }
	inTuplet := g.evs[0].tuplet.Normal > 0
	var out []strand
	for i, e := range g.evs {
		if e.flags() < level {
			continue
		}
		parted := most > 2 && !inTuplet && i > 0 && cell(i) != cell(i-1)
		if n := len(out); n > 0 && out[n-1].to == i-1 && !parted {
			out[n-1].to = i
		} else {
			out = append(out, strand{i, i})
		}
	}
	return out
}

// stubLeft reports whether a beam of one stem points left: towards the note that
// it makes a beat with.
func (g *group) stubLeft(i int) bool {
	switch i {
	case 0:
		return false
	case len(g.evs) - 1:
		return true
	}
	e := g.evs[i]
	v := e.value.Length(0)
	steps := click.Frac(g.at[i].Num()*v.Den(), g.at[i].Den()*v.Num())
	return steps.Floor()%2 == 1
}
