package hear

import (
	"math"
	"slices"
)

// onsetEnvelope is how a note comes up: for each of its harmonics, in steps of
// envStep, by how much its amplitude has grown (a spectral flux by harmonic).
// Only what grows counts, so an old note that dies away meanwhile hardly shows.
type onsetEnvelope [][envHarmonics]float64

const (
	envStep      = 0.0025 // seconds
	envHarmonics = 8
	// envWindow steps are the length of a Hann window that parts the note's
	// harmonics from those of the note before.
	envWindow = 16
	// envGrowth steps lie between the amplitudes whose difference is taken.
	envGrowth = 2
	// envHighest is the highest harmonic looked at, in Hz.
	envHighest = 8000.0
	// Two envelopes are compared from envBefore steps before the place of a note to
	// envAfter after it, up to envEarlier steps before where it was found and
	// envLater after: soft beginnings are found late rather than early. With the
	// window that is 110 ms of sound after it, which are there when a note is told.
	envBefore  = 8
	envAfter   = 24
	envEarlier = 20
	envLater   = 12
)

// envSpan is the number of steps that two notes are compared over, envRows
// those that are known of a note.
const (
	envSpan = envBefore + 1 + envAfter
	envRows = envEarlier + envSpan + envLater
)

// envelopes takes notes' onset envelopes from the sound.
type envelopes struct {
	fine     *ring
	hz       float64
	block    int          // samples a step
	sums     [][2]float64 // scratch: a harmonic's demodulated sums, by block
	levels   []float64    // scratch: its amplitudes, by row
	cos, sin []float64    // scratch: one block of its oscillation
	window   []float64
}

// newEnvelopes looks through windows of so many steps.
func newEnvelopes(fine *ring, hz float64, steps int) *envelopes {
	c := &envelopes{fine: fine, hz: hz, block: int(math.Round(envStep * hz))}
	c.cos, c.sin = make([]float64, c.block), make([]float64, c.block)
	c.window = make([]float64, steps)
	for i := range c.window {
		c.window[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(steps))
	}
	return c
}

// step is the exact time between two rows, in seconds.
func (c *envelopes) step() float64 { return float64(c.block) / c.hz }

// hear returns the onset envelope of a note of a frequency in Hz around a place
// in seconds. What the ring does not hold is heard as silence.
func (c *envelopes) hear(at, frequency float64) onsetEnvelope {
	rows := envRows + envGrowth
	blocks := rows + envWindow - 1
	// Row k of the amplitudes is centred on the window's middle.
	first := int(math.Round(at*c.hz)) - (envBefore+envEarlier+envGrowth)*c.block - envWindow*c.block/2
	x, start := c.fine.span(first, first+blocks*c.block)
	up := make(onsetEnvelope, envRows)
	for h := range envHarmonics {
		f := float64(h+1) * frequency
		if f > min(envHighest, 0.45*c.hz) {
			break
		}
		levels := c.amplitudes(c.demodulate(x, start-first, blocks, 2*math.Pi*f/c.hz), rows)
		most := slices.Max(levels)
		if most == 0 {
			continue
		}
		// Weak harmonics say as much as strong ones, but for their noise: the
		// root of the amplitude lies between.
		scale := 1 / math.Sqrt(most)
		for k := range up {
			up[k][h] = max(0, levels[k+envGrowth]-levels[k]) * scale
		}
	}
	return up
}

// amplitudes are those of a harmonic, row by row, from its demodulated sums. They
// hold until the next call.
func (c *envelopes) amplitudes(sums [][2]float64, rows int) []float64 {
	c.levels = c.levels[:0]
	for k := range rows {
		re, im := 0.0, 0.0
		for j, w := range c.window {
			re += w * sums[k+j][0]
			im += w * sums[k+j][1]
		}
		c.levels = append(c.levels, math.Hypot(re, im))
	}
	return c.levels
}

// demodulate sums up blocks of x times an oscillation of so many radians a
// sample; x begins skip samples after the first block does. The sums hold until
// the next call.
func (c *envelopes) demodulate(x []float32, skip, blocks int, radians float64) [][2]float64 {
	for i := range c.cos {
		c.sin[i], c.cos[i] = math.Sincos(radians * float64(i))
	}
	turnSin, turnCos := math.Sincos(radians * float64(c.block))
	s, o := 0.0, 1.0 // of the block's first sample
	c.sums = c.sums[:0]
	for b := range blocks {
		re, im := 0.0, 0.0
		from := b*c.block - skip
		for i := max(0, -from); i < min(c.block, len(x)-from); i++ {
			v := float64(x[from+i])
			re += v * c.cos[i]
			im += v * c.sin[i]
		}
		c.sums = append(c.sums, [2]float64{re*o - im*s, re*s + im*o})
		s, o = s*turnCos+o*turnSin, o*turnCos-s*turnSin
	}
	return c.sums
}

// alignment is how a note's onset envelope lies against another's.
type alignment struct {
	steps float64 // by how many the note comes up later
	like  float64 // their correlation there, -1 to 1
	sharp float64 // the curvature of the correlation, per square step
}

// against aligns a note's envelope with another's where they correlate most.
func (n onsetEnvelope) against(other onsetEnvelope) alignment {
	var c [envEarlier + 1 + envLater]float64
	best := 0
	ref := other[envEarlier : envEarlier+envSpan]
	power := ref.times(ref)
	for s := range c {
		own := n[s : s+envSpan]
		c[s] = ref.times(own) / math.Sqrt(power*own.times(own)+1e-30)
		if c[s] > c[best] {
			best = s
		}
	}
	a := alignment{steps: float64(best - envEarlier), like: c[best]}
	if best > 0 && best < len(c)-1 {
		// The top of the parabola through three values.
		bend := c[best-1] - 2*c[best] + c[best+1]
		if bend < 0 {
			a.steps += 0.5 * (c[best-1] - c[best+1]) / bend
			a.sharp = -bend
		}
	}
	return a
}

// times is the sum of the products of two.
func (n onsetEnvelope) times(other onsetEnvelope) (sum float64) {
	for k := range n {
		a, b := &n[k], &other[k]
		for h := range a {
			sum += a[h] * b[h]
		}
	}
	return sum
}

// mix moves n by a share, 0 to 1, towards a note that comes up some steps later.
func (n onsetEnvelope) mix(share float64, note onsetEnvelope, steps float64) {
	whole := int(math.Floor(steps))
	part := steps - float64(whole)
	for k := range n {
		for h := range n[k] {
			v := 0.0
			if j := k + whole; j >= 0 && j < len(note) {
				v += (1 - part) * note[j][h]
			}
			if j := k + whole + 1; j >= 0 && j < len(note) {
				v += part * note[j][h]
			}
			n[k][h] += share * (v - n[k][h])
		}
	}
}
