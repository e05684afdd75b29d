package hear

import "math"

// comeUp is how a note comes up: for each of its harmonics, in steps of
// comeStep, by how much its amplitude has grown. Only what grows counts, so an
// old note that dies away meanwhile hardly shows.
type comeUp [][comeHarmonics]float64

const (
	comeStep      = 0.0025 // seconds
	comeHarmonics = 8
	// comeWindow steps are the length of a Hann window that parts the note's
	// harmonics from those of the note before.
	comeWindow = 16
	// comeGrowth steps lie between the amplitudes whose difference is taken.
	comeGrowth = 2
	// comeHighest is the highest harmonic looked at, in Hz.
	comeHighest = 8000.0
	// From comeBefore steps before the place of a note to comeAfter after it its
	// coming up is compared, up to comeEarlier steps before where it was found and
	// comeLater after: soft beginnings are found late rather than early. With the
	// window that is 110 ms of sound after it, which are there when a note is told.
	comeBefore  = 8
	comeAfter   = 24
	comeEarlier = 20
	comeLater   = 12
)

// comeSpan is the number of steps that two notes are compared over, comeRows
// those that are known of a note.
const (
	comeSpan = comeBefore + 1 + comeAfter
	comeRows = comeEarlier + comeSpan + comeLater
)

// comeUps hears how notes come up.
type comeUps struct {
	fine     *ring
	hz       float64
	block    int          // samples a step
	sums     [][2]float64 // scratch: a harmonic's demodulated sums, by block
	levels   []float64    // scratch: its amplitudes, by row
	cos, sin []float64    // scratch: one block of its oscillation
	window   []float64
}

func newComeUps(fine *ring, hz float64) *comeUps {
	c := &comeUps{fine: fine, hz: hz, block: int(math.Round(comeStep * hz))}
	c.cos, c.sin = make([]float64, c.block), make([]float64, c.block)
	c.window = make([]float64, comeWindow)
	for i := range c.window {
		c.window[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/comeWindow)
	}
	return c
}

// step is the exact time between two rows, in seconds.
func (c *comeUps) step() float64 { return float64(c.block) / c.hz }

// hear returns how a note of a frequency in Hz comes up around a place in
// seconds. What the ring does not hold is heard as silence.
func (c *comeUps) hear(at, frequency float64) comeUp {
	rows := comeRows + comeGrowth
	blocks := rows + comeWindow - 1
	// Row k of the amplitudes is centred on the window's middle.
	first := int(math.Round(at*c.hz)) - (comeBefore+comeEarlier+comeGrowth)*c.block - comeWindow*c.block/2
	x, start := c.fine.span(first, first+blocks*c.block)
	up := make(comeUp, comeRows)
	for h := range comeHarmonics {
		f := float64(h+1) * frequency
		if f > min(comeHighest, 0.45*c.hz) {
			break
		}
		c.demodulate(x, start-first, blocks, 2*math.Pi*f/c.hz)
		c.levels = c.levels[:0]
		most := 0.0
		for k := range rows {
			re, im := 0.0, 0.0
			for j, w := range c.window {
				re += w * c.sums[k+j][0]
				im += w * c.sums[k+j][1]
			}
			v := math.Hypot(re, im)
			c.levels = append(c.levels, v)
			most = max(most, v)
		}
		if most == 0 {
			continue
		}
		// Weak harmonics say as much as strong ones, but for their noise: the
		// root of the amplitude lies between.
		scale := 1 / math.Sqrt(most)
		for k := range up {
			up[k][h] = max(0, c.levels[k+comeGrowth]-c.levels[k]) * scale
		}
	}
	return up
}

// demodulate fills c.sums with the sums over blocks of x times an oscillation of
// so many radians a sample; x begins skip samples after the first block does.
func (c *comeUps) demodulate(x []float32, skip, blocks int, radians float64) {
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
}

// alignment is how a note's coming up lies against another's.
type alignment struct {
	steps float64 // by how many the note comes up later
	like  float64 // their correlation there, -1 to 1
	sharp float64 // the curvature of the correlation, per square step
}

// against aligns a note's coming up with another's where they correlate most.
func (n comeUp) against(other comeUp) alignment {
	var c [comeEarlier + 1 + comeLater]float64
	best := 0
	ref := other[comeEarlier : comeEarlier+comeSpan]
	power := ref.times(ref)
	for s := range c {
		own := n[s : s+comeSpan]
		c[s] = ref.times(own) / math.Sqrt(power*own.times(own)+1e-30)
		if c[s] > c[best] {
			best = s
		}
	}
	a := alignment{steps: float64(best - comeEarlier), like: c[best]}
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
func (n comeUp) times(other comeUp) (sum float64) {
	for k := range n {
		a, b := &n[k], &other[k]
		for h := range a {
			sum += a[h] * b[h]
		}
	}
	return sum
}

// mix moves n by a share, 0 to 1, towards a note that comes up some steps later.
func (n comeUp) mix(share float64, note comeUp, steps float64) {
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
