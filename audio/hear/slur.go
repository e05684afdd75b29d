package hear

import "math"

// slurredMs is the standard deviation, in milliseconds, that a slur's place is
// known to: so it was on sampled instruments. In a live room that grows by up to
// slurredRoomMs where all turns of a take have told.
const (
	slurredMs     = 1.0
	slurredRoomMs = 2.0
)

// The farther from its change point, beyond slurredApart in milliseconds, anything
// begins, the less is known of a slur's place: by slurredPerMs.
const (
	slurredApart = 5.0
	// In a room as live as changeLive the change point lies within changeNear, in
	// seconds, of where its harmonics come up.
	changeNear   = 0.030
	changeLive   = 0.2
	slurredPerMs = 0.25
	// slurInRoom is by how much more that tells against a slur in a live room.
	slurInRoom = 0.7
)

// change finds the sample at which a sound of one period becomes a sound of
// another: the maximum-likelihood change point, where what does not repeat
// backwards by the old period before it and forwards by the new one after it
// is least.
func (p *placer) change(from, to int, old, now float64) float64 {
	old, now = several(old, p.hz), several(now, p.hz)
	x, start := p.fine.span(from-int(old)-4, to+int(now)+4)
	best, sum := 0.0, 0.0
	where := from
	for n := max(from, start+int(old)+4); n < min(to, start+len(x)-int(now)-4); n++ {
		i := float64(n - start)
		v := float64(x[n-start])
		a := v - between(x, i-old)
		b := v - between(x, i+now)
		sum += a*a - b*b
		if sum < best {
			best, where = sum, n+1
		}
	}
	return float64(where)
}

// mixed is how badly the sound just before a change point repeats by the old
// period, and just after it by the new one, as shares of the power there.
func (p *placer) mixed(where int, old, now float64) float64 {
	old, now = several(old, p.hz), several(now, p.hz)
	w := int(0.008 * p.hz)
	x, start := p.fine.span(where-w-int(old)-4, where+w+int(now)+4)
	share := func(from, to int, lag float64) float64 {
		miss, whole := 0.0, 1e-12
		for n := max(from, start); n < min(to, start+len(x)); n++ {
			v := float64(x[n-start])
			d := v - between(x, float64(n-start)+lag)
			miss += d * d
			whole += v * v
		}
		return miss / whole
	}
	return share(where-w, where, -old) + share(where, where+w, now)
}

// several is the multiple of a period nearest to 5 ms: two notes a semitone
// apart differ little after one period of a high one.
func several(period, hz float64) float64 {
	return period * max(1, math.Round(0.005*hz/period))
}

// between is x at a place between samples, by a cubic through four
// (Catmull & Rom 1974).
func between(x []float32, at float64) float64 {
	i := int(at)
	if i < 1 || i+2 >= len(x) {
		return 0
	}
	f := at - float64(i)
	a, b, c, d := float64(x[i-1]), float64(x[i]), float64(x[i+1]), float64(x[i+2])
	return b + 0.5*f*(c-a+f*(2*a-5*b+4*c-d+f*(3*(b-c)+d-a)))
}
