package engrave

import "math"

// The shortest stem under so many beams, and the least from a head to the nearest
// of them, in spaces (after Ross, as LilyPond's defaults have it).
var (
	beamStem = [...]float64{3.26, 3.5, 3.6}
	beamFree = [...]float64{1.83, 1.5, 1.25}
)

// shortest is how far the outer beam is at least from a head with so many flags.
func shortest(flags int) float64 {
	i := min(flags, len(beamStem)) - 1
	extra := beamStep * float64(flags-1-i)
	return max(beamStem[i]+extra, beamFree[i]+beamThick+beamStep*float64(flags-1))
}

// mostRise is how far a beam rises at most, by the interval from its first note
// to its last, in letters, and by its width; 0 for a unison.
func mostRise(letters int, width float64) float64 {
	if letters < 0 {
		letters = -letters
	}
	rise := math.Min(float64(letters), 7) / 4
	for i, w := range [...]float64{3, 5, 7.5, 10, 15, 20} {
		if width < w {
			return math.Min(rise, float64(i+1)/4)
		}
	}
	return rise
}

// slant finds where a group's beam lies, once its stems' places are known.
// Heights are counted in the stems' direction, so that both directions are treated
// alike; lines of the staff are whole numbers in it.
func (g *group) slant() {
	first, last := g.evs[0], g.evs[len(g.evs)-1]
	high := func(e *event) float64 { // of the head nearest the beam
		if g.up {
			return float64(e.near()) / 2
		}
		return -float64(e.near()) / 2
	}
	width := last.stemX() - first.stemX()
	most := mostRise(last.near()-first.near(), width) * g.size
	direction := 1.0
	if high(last) < high(first) {
		direction = -1
	}
	for _, e := range g.evs[1 : len(g.evs)-1] {
		if high(e) > math.Max(high(first), high(last)) {
			most = 0
		}
	}
	best, bestY, bestRise := math.Inf(1), 0.0, 0.0
	for rise := most; rise >= 0; rise -= 0.25 {
		slope := direction * rise / width
		low := math.Inf(-1)
		for _, e := range g.evs {
			run := slope * (e.stemX() - first.stemX())
			low = math.Max(low, high(e)+shortest(e.flags())*g.size-run)
			if g.size == 1 {
				low = math.Max(low, -run) // to the middle line
			}
		}
		for i := range 4 {
			y := math.Ceil(low*4-1e-9)/4 + float64(i)/4
			if g.size < 1 {
				y = low
			}
			end := y + direction*rise
			if g.size == 1 && (wedged(y) || wedged(end)) {
				continue
			}
			if cost := y - low + 0.8*(most-rise); cost < best-1e-9 {
				best, bestY, bestRise = cost, y, direction*rise
			}
		}
	}
	g.y1, g.slope = -bestY, -bestRise/width
	if !g.up {
		g.y1, g.slope = bestY, bestRise/width
	}
	for _, e := range g.evs {
		e.tip = g.edge(e.stemX())
	}
}

// wedged reports whether a beam's outer edge in the staff neither hangs from,
// straddles nor sits on a line: it would leave a sliver of white.
func wedged(y float64) bool {
	return y > -2 && y < 2.5 && math.Abs(y-math.Floor(y)-0.75) < 0.01
}

// farthest is how far the group's stems reach at most, before their places are
// known: with half of the steepest rise, and what a beam is moved to sit well.
func (g *group) farthest() float64 {
	const slack = 1.25
	out := math.Inf(-1)
	for _, e := range g.evs {
		if g.up {
			out = math.Max(out, -yOf(e.near())+shortest(e.flags())*g.size)
		} else {
			out = math.Max(out, yOf(e.near())+shortest(e.flags())*g.size)
		}
	}
	out += slack * g.size
	if g.up {
		return -out
	}
	return out
}

// edge is y of the beam's outer edge at x.
func (g *group) edge(x float64) float64 { return g.y1 + g.slope*(x-g.evs[0].stemX()) }

// stub is how long a beam of one stem is.
const stub = 1.1

// shapes are the group's beams.
func (g *group) shapes() []Shape {
	inwards := 1.0
	if !g.up {
		inwards = -1
	}
	var out []Shape
	for level := 1; ; level++ {
		strands := g.strands(level)
		if len(strands) == 0 {
			return out
		}
		off := inwards * (beamThick/2 + beamStep*float64(level-1)) * g.size
		for _, s := range strands {
			from, to := g.evs[s.from], g.evs[s.to]
			x1, x2 := from.stemX()-stemThick/2, to.stemX()+stemThick/2
			if s.from == s.to {
				if g.stubLeft(s.from) {
					x1 = max(x2-stub*g.size-stemThick, g.evs[max(s.from-1, 0)].stemX()+stemThick)
				} else {
					x2 = min(x1+stub*g.size+stemThick, g.evs[min(s.from+1, len(g.evs)-1)].stemX()-stemThick)
				}
			}
			out = append(out, Shape{Kind: Slant, Role: Beam, Note: from.first(), Last: to.first(),
				X: x1, Y: g.edge(x1) + off, X2: x2, Y2: g.edge(x2) + off, Thick: beamThick * g.size})
		}
	}
}
