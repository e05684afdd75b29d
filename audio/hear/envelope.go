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
	sound    []float64    // scratch: what is looked at
	sums     [][2]float64 // scratch: a harmonic's demodulated sums, by block
	levels   []float64    // scratch: its amplitudes, by row
	cos, sin []float64    // scratch: one block of its oscillation
	turn     [2]float64   // scratch: the sine and cosine of what it turns by in a block
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
	c.sound = c.widened(c.sound[:0], first, blocks)
	up := make(onsetEnvelope, envRows)
	for h := range envHarmonics {
		f := float64(h+1) * frequency
		if f > min(envHighest, 0.45*c.hz) {
			break
		}
		c.swing(2 * math.Pi * f / c.hz)
		levels := c.amplitudes(c.demodulate(c.sound), rows)
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

// widened appends so many blocks of the sound from a sample on, with silence where it
// is not held.
func (c *envelopes) widened(out []float64, first, blocks int) []float64 {
	x, start := c.fine.span(first, first+blocks*c.block)
	end := len(out) + blocks*c.block
	for range min(start-first, blocks*c.block) {
		out = append(out, 0)
	}
	for _, v := range x {
		out = append(out, float64(v))
	}
	for len(out) < end {
		out = append(out, 0)
	}
	return out
}

// swing sets the oscillation that is demodulated by, in radians a sample.
func (c *envelopes) swing(radians float64) {
	for i := range c.cos {
		c.sin[i], c.cos[i] = math.Sincos(radians * float64(i))
	}
	c.turn[0], c.turn[1] = math.Sincos(radians * float64(c.block))
}

// demodulate sums up the blocks of x times the oscillation. The sums hold until the
// next call.
func (c *envelopes) demodulate(x []float64) [][2]float64 {
	n := c.block
	c.sums = c.sums[:0]
	cos := c.cos[:n]
	sin := c.sin[:n]
	for len(x) >= 4*n {
		// Four blocks at a time share the oscillation and keep the adders busy.
		var r0, r1, r2, r3, i0, i1, i2, i3 float64
		a, b, d, e := x[:n], x[n:][:n], x[2*n:][:n], x[3*n:][:n]
		for i, u := range cos {
			v := sin[i]
			r0 += a[i] * u
			i0 += a[i] * v
			r1 += b[i] * u
			i1 += b[i] * v
			r2 += d[i] * u
			i2 += d[i] * v
			r3 += e[i] * u
			i3 += e[i] * v
		}
		c.sums = append(c.sums, [2]float64{r0, i0}, [2]float64{r1, i1}, [2]float64{r2, i2}, [2]float64{r3, i3})
		x = x[4*n:]
	}
	for ; len(x) >= n; x = x[n:] {
		re, im := 0.0, 0.0
		for i, v := range x[:n] {
			re += v * cos[i]
			im += v * sin[i]
		}
		c.sums = append(c.sums, [2]float64{re, im})
	}
	s, o := 0.0, 1.0 // of the block's first sample
	for k, v := range c.sums {
		c.sums[k] = [2]float64{v[0]*o - v[1]*s, v[0]*s + v[1]*o}
		s, o = s*c.turn[1]+o*c.turn[0], o*c.turn[1]-s*c.turn[0]
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
	for k := 0; k < len(c); k += alongside {
		both, own := ref.along(n[k:], min(alongside, len(c)-k))
		for i := range min(alongside, len(c)-k) {
			s := k + i
			c[s] = both[i] / math.Sqrt(power*own[i]+1e-30)
			if c[s] > c[best] {
				best = s
			}
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

// alongside is how many places two envelopes are compared at together.
const alongside = 4

// along is what times says of n and as much of another, and of that with itself, from
// each of its first rows on.
func (n onsetEnvelope) along(other onsetEnvelope, rows int) (both, own [alongside]float64) {
	if rows < alongside {
		for i := range rows {
			at := other[i : i+len(n)]
			both[i], own[i] = n.times(at), at.times(at)
		}
		return both, own
	}
	var b0, b1, b2, b3, o0, o1, o2, o3 float64
	for k := range n {
		a := &n[k]
		row := other[k:][:alongside]
		p0, p1, p2, p3 := &row[0], &row[1], &row[2], &row[3]
		for h, v := range a {
			b0 += v * p0[h]
			b1 += v * p1[h]
			b2 += v * p2[h]
			b3 += v * p3[h]
			o0 += p0[h] * p0[h]
			o1 += p1[h] * p1[h]
			o2 += p2[h] * p2[h]
			o3 += p3[h] * p3[h]
		}
	}
	return [alongside]float64{b0, b1, b2, b3}, [alongside]float64{o0, o1, o2, o3}
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
