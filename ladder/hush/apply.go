package hush

import (
	"math/rand/v2"
	"slices"

	"footing/audio/click"
)

// Place is where in a session a rep stands.
type Place struct {
	Rung, Rungs int // the rung's index, and how many there are
	Rep         int // counted from 0 through the session
	Unit        click.Unit
	Slots       click.Slots
}

// Rep is a rep with its clicks hushed, and what is counted on them. Its landing sounds
// whatever was hushed before: there it is heard whether one came back in time.
//
// Bars are counted on from rep to rep, so that of reps of one bar every other is
// silent; the first of a session sounds under every hush but a share by chance.
func (h Hush) Rep(p click.Phrase, at Place) click.Phrase {
	n := h.count()
	if n == 0 || len(p.Strokes) == 0 {
		return p
	}
	stage := h.Stages[min(at.Rung*n/max(at.Rungs, 1), n-1)]
	first := p.Strokes[0].Bar
	bars := 1
	for _, s := range p.Strokes {
		if s.Part == click.InChunk {
			bars = s.Bar - first + 1
		}
	}
	p.Strokes = slices.Clone(p.Strokes)
	for i := range p.Strokes {
		s := &p.Strokes[i]
		if s.Part != click.InChunk && s.Part != click.InLead || stage.sounds(*s, at.Rep*bars+s.Bar-first, at) {
			continue
		}
		s.Hushed = true
		if h.Seen {
			s.Meant = s.Dynamics
		} else {
			s.Syllable = ""
		}
		s.Dynamics = click.Silent
	}
	return p
}

// sounds reports whether a stroke sounds, in a bar counted from 0 through the session.
func (s Stage) sounds(stroke click.Stroke, bar int, at Place) bool {
	switch s.Kind {
	case EveryBar:
		return bar%s.N != s.N-1
	case SomeBars:
		return rand.New(rand.NewPCG(uint64(s.Seed), uint64(bar))).IntN(100) >= s.N
	case Thinning:
		levels := []Kind{Nothing, Beats, Halves, Downbeats}
		if at.Slots.Count() == 1 {
			levels = levels[1:]
		}
		return Stage{Kind: levels[at.Rung*(len(levels)-1)/max(at.Rungs-1, 1)]}.sounds(stroke, bar, at)
	case Nothing:
		return true
	}
	stride := 1
	switch s.Kind {
	case Halves:
		stride = halves(at.Unit)
	case Downbeats:
		return stroke.Slot == 0 && stroke.Beat == 0
	}
	return stroke.Slot == 0 && stroke.Beat%stride == 0
}

// halves is how many beats a half note has; where beats are dotted it is a dotted one.
func halves(u click.Unit) int {
	if u.Dotted() {
		return 2
	}
	return max(u.Den/(2*u.Num), 1)
}
