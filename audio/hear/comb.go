package hear

import (
	"math"
	"slices"
)

// In a room the old note is heard on while the new one is already there, and the
// pitch goes over to the new one late. The new note's own harmonics, those that
// the old one has not, come up when it begins all the same.
const (
	// arrivesFrom to arrivesTo, in seconds from where the pitch is another, the
	// new note is looked for.
	arrivesFrom = -0.150
	arrivesTo   = 0.030
	// It has begun where its harmonics come up by arrivesShare of the most, no
	// more than arrivesWave steps before that.
	arrivesShare = 0.4
	arrivesWave  = 6
	// From arrivesSpan steps before that to half of it after the steepest rise they
	// come up by arrivesRise or more, in amplitude.
	arrivesSpan = 16
	arrivesRise = 2.0
	// ownApart is how far a harmonic lies from those of the old note to be the new
	// one's own, in Hz; half that where a note is lower than lowHz, whose
	// harmonics lie close and are looked at through longer windows.
	ownApart = 60.0
	lowHz    = 220.0
)

// arrives is the sample at which the harmonics of a new note that are its own
// begin to come up, around the sample at which its pitch is heard; false when
// nothing does.
func (p *placer) arrives(to int, old, now float64) (at float64, ok bool) {
	f0, f1 := p.hz/old, p.hz/now
	c, apart := p.parted(f0, f1)
	window := len(c.window)
	rows := int((arrivesTo - arrivesFrom) / envStep)
	blocks := rows + window - 1
	first := to + int(arrivesFrom*p.hz) - window*c.block/2
	c.sound = c.widened(c.sound[:0], first, blocks)
	total, level := make([]float64, rows), make([]float64, rows)
	var all, own []float64
	shared := true
	for h := 1; h <= 2*envHarmonics; h++ {
		f := float64(h) * f1
		if f > min(envHighest, 0.45*c.hz) {
			break
		}
		all = append(all, f)
		d := math.Abs(f - f0*math.Max(1, math.Round(f/f0)))
		if d >= apart {
			own = append(own, f)
		}
		shared = shared && d < 0.02*f
	}
	switch {
	case len(own) >= 2:
	case shared:
		own = all // what grows of them is new all the same
	default:
		return 0, false
	}
	for _, f := range own {
		c.swing(2 * math.Pi * f / c.hz)
		levels := c.amplitudes(c.demodulate(c.sound), rows)
		most := slices.Max(levels)
		if most == 0 {
			continue
		}
		scale := 1 / math.Sqrt(most)
		for k := envGrowth; k < rows; k++ {
			total[k] += max(0, levels[k]-levels[k-envGrowth]) * scale
			level[k] += levels[k] * scale
		}
	}
	// Walls answer in waves: what comes up shortly before the steepest rise is
	// of the same beginning.
	top := 0
	for k, v := range total {
		if v > total[top] {
			top = k
		}
	}
	if total[top] == 0 {
		return 0, false
	}
	edge := top
	for k := top; k >= 0 && edge-k <= arrivesWave; k-- {
		if total[k] >= arrivesShare*total[top] {
			edge = k
		}
	}
	// Two notes that beat come up without a beginning, but not as far.
	least := slices.Min(level[max(envGrowth, edge-arrivesSpan) : edge+1])
	if level[min(rows-1, top+arrivesSpan/2)] < arrivesRise*least {
		return 0, false
	}
	return float64(first + window*c.block/2 + (edge-envGrowth/2)*c.block), true
}

// parted is what two notes' harmonics are looked at with, and how far one of them
// must lie from all of the other note's, in Hz.
func (p *placer) parted(f0, f1 float64) (*envelopes, float64) {
	if anchorOf(f0, f1) == byLow {
		return p.ups[1], ownApart / 2
	}
	return p.ups[0], ownApart
}

// What is left of a note after another has begun: the power of the harmonics that
// only it has, tailAfter seconds after the change, in dB re the most that it was
// shortly before, when it may have been let go. A dry room leaves less than -30 dB of
// it, a live one -10.
const (
	tailAfter                 = 0.065
	before1, before2, before3 = -0.035, -0.075, -0.115
)

// tail of a note of period old after one of period now began at a sample; false
// when it has no harmonics of its own.
func (p *placer) tail(at float64, old, now float64) (float64, bool) {
	f0, f1 := p.hz/old, p.hz/now
	c, apart := p.parted(f0, f1)
	window := len(c.window)
	// What is looked at, one time after the other.
	times := [...]float64{before1, before2, before3, tailAfter}
	var powers [len(times)]float64
	n := window * c.block
	c.sound = c.sound[:0]
	for _, t := range times {
		c.sound = c.widened(c.sound, int(at+t*c.hz)-n/2, window)
	}
	for h := 1; h <= envHarmonics; h++ {
		f := float64(h) * f0
		if f > min(envHighest, 0.45*c.hz) {
			break
		}
		if math.Abs(f-f1*math.Max(1, math.Round(f/f1))) < apart {
			continue
		}
		c.swing(2 * math.Pi * f / c.hz)
		for i := range powers {
			v := c.amplitudes(c.demodulate(c.sound[i*n:][:n]), 1)[0]
			powers[i] += v * v
		}
	}
	last := len(powers) - 1
	most := slices.Max(powers[:last])
	if most == 0 {
		return 0, false
	}
	return decibels(powers[last]) - decibels(most), true
}

// tails are the last ones and a count of all, by decibels.
type tails struct {
	last  heads
	count [tailBins]int
	n     int
}

// tailBins are from -60 to 0 dB.
const tailBins = 60

func (t *tails) add(db float64) {
	t.last.add(db)
	t.count[max(0, min(tailBins-1, int(db)+tailBins))]++
	t.n++
}

// median of all, in dB; a dry room's where none is known.
func (t *tails) median() float64 {
	n := 0
	for k, c := range t.count {
		if n += c; 2*n > t.n {
			return float64(k - tailBins)
		}
	}
	return dryDB
}

// live says how live the room is by the last notes: 0 dry, 1 when half of a note
// is left where another has begun.
func (t *tails) live() float64 {
	db, known := t.last.median()
	if !known {
		return 0
	}
	return liveness(db)
}

// dryDB is the most that is left of a note in a dry room.
const dryDB = -28.0

func liveness(tail float64) float64 { return max(0, min(1, (tail-dryDB)/(-3-dryDB))) }

// roomMs is by how much, in milliseconds (standard deviation), notes are placed
// wrongly in a live room, as long as their beginnings are seen: its walls answer
// each pitch in their own way, so it comes back with the melody.
const roomMs = 2.5

// clearest looks for an attack where the new note arrives and, when that does not
// show it clearly, farther back too: what is seen to begin farthest under its peak
// is the beginning.
func (p *placer) clearest(from, to int, turned bool, old, now float64) sighting {
	best := p.attack(from, to, max(old, now), old)
	if !turned {
		return best
	}
	for _, back := range []float64{0.025, 0.050, 0.075} {
		if best.level < unclearDB {
			break
		}
		d := int(back * p.hz)
		s := p.attack(min(from, to-d-int(0.040*p.hz)), to-d, max(old, now), old)
		if s.level < best.level-clearerDB {
			best = s
		}
	}
	return best
}

const (
	unclearDB = -18.0
	clearerDB = 3.0
)

// bounds are samples between which a beginning lies, by where its harmonics come
// up: a soft attack begins up to boundBefore seconds before, and no note is let
// go later than boundAfter after it.
type bounds struct{ first, last float64 }

const (
	boundBefore = 0.060
	boundAfter  = 0.012
)

func (p *placer) anywhere() { p.bounds = bounds{math.Inf(-1), math.Inf(1)} }

func (p *placer) within(arrival float64) {
	p.bounds = bounds{arrival - boundBefore*p.hz, arrival + boundAfter*p.hz}
}
