package judge

import (
	"math"
	"sort"

	"footing/audio/hear"
	"footing/audio/stat"
)

const (
	// fewNotes are too few to find a grid in.
	fewNotes = 6
	// slowestBeat and fastestBeat bound the tempos proposed, in beats a minute.
	slowestBeat, fastestBeat = 40.0, 208.0
	// nearlyAsGood is the share of the best score from which another candidate
	// is a rival; no more than mostRivals are named.
	nearlyAsGood = 0.8
	mostRivals   = 3
	// brokenBeat is what a beat is worth of which what is played over and over does
	// not fill whole ones.
	brokenBeat = 0.75
	// fewSlots or fewer notes that are played over and over are taken for one beat.
	fewSlots = 4
)

// FindGrid lays a grid under the onsets, using what the hint knows. It never
// fails: without enough notes the finding has no candidates and says why. The
// slot's length is where the onsets' phases agree best (the Rayleigh statistic
// of circular data; Mardia & Jupp 2000, Directional Statistics); how many slots
// make a beat cannot be heard from onsets alone, so several candidates remain
// and the finding names the rivals of the first.
func FindGrid(onsets []hear.Onset, hint Hint) Finding {
	t := seconds(onsets)
	if len(t) == 0 {
		return Finding{Search: NoNotes}
	}
	if g := (Grid{BPM: hint.BPM, SlotsPerBeat: hint.SlotsPerBeat}); g.usable() {
		told := g
		g.heard(t)
		g.Cycle = hint.Cycle * g.SlotsPerBeat / hint.SlotsPerBeat
		score := g.settle(t, hint)
		return Finding{Search: Given, Candidates: []Candidate{{g, score}}, Told: told}
	}
	if len(t) < fewNotes {
		return Finding{Search: TooFewNotes}
	}
	list := propose(onsets, hint)
	if len(list) == 0 {
		return Finding{Search: NoPace}
	}
	f := Finding{Search: Found, Candidates: list}
	for _, c := range list[1:min(len(list), 1+mostRivals)] {
		if c.Score >= nearlyAsGood*list[0].Score {
			f.Rivals = append(f.Rivals, c)
		}
	}
	return f
}

// The tempo told is not always the one that was played. Another is taken, from
// fastestHeard to slowestHeard of its slots, when the distances of neighbouring
// notes keep to it by heardWell, of 1, and are others by more than asTold, as a
// share, and by surelyOther of their own standard errors. Slots half as long must
// hold them better by muchBetter.
const (
	fastestHeard, slowestHeard = 0.75, 1.35
	asTold, surelyOther        = 0.025, 4
	muchBetter, heardWell      = 0.12, 0.5
	// Half slots are played when the notes between the slots told are more than
	// leastBetween of those on them; fewer are notes that were never played.
	leastBetween = 0.5
	// Notes on every second slot only, in mostHeard of the distances, are of slots
	// twice as long; and where twice as many would hold them, half as long.
	mostHeard = 0.85
)

// heard takes the tempo that was played, and slots twice or half as long where
// the notes keep to those.
func (g *Grid) heard(t []float64) {
	if len(t) < fewNotes {
		return
	}
	p := g.slotSeconds()
	keeps := func(f float64) float64 {
		sum, n := 0.0, 0.0
		for i := 1; i < len(t); i++ {
			if d := (t[i] - t[i-1]) / (p * f); d > 0.3 && d < 6 {
				sum += math.Cos(2 * math.Pi * d)
				n++
			}
		}
		return sum / max(1, n)
	}
	told, best, stretch := -1.0, -1.0, 1.0
	for f := fastestHeard; f <= slowestHeard; f += 0.0025 {
		v := keeps(f)
		if math.Abs(f-1) < asTold {
			told = max(told, v)
		}
		if v > best {
			best, stretch = v, f
		}
	}
	if half := keeps(0.5); half > heardWell && half > best+muchBetter && 2*g.SlotsPerBeat <= 12 && between(t, p) > leastBetween {
		g.SlotsPerBeat *= 2
		return
	}
	if best > told && best > heardWell {
		// How long a slot is by each distance, and so how surely another.
		var slot []float64
		for i := 1; i < len(t); i++ {
			d := t[i] - t[i-1]
			if k := math.Round(d / (p * stretch)); k >= 1 && k < 6 {
				slot = append(slot, d/k/p)
			}
		}
		usual := stat.Median(slot)
		unsure := 1.25 * stat.Middle(slot) / math.Sqrt(float64(len(slot)))
		if math.Abs(usual-1) > max(asTold, surelyOther*unsure) {
			// A line through all of them tells it more finely than the search did.
			if fine := refine(t, p*stretch) / p; math.Abs(fine/stretch-1) < asTold {
				stretch = fine
			}
			g.BPM /= stretch
			p *= stretch
		}
	}
	twos, n := 0.0, 0.0
	for i := 1; i < len(t); i++ {
		if d := (t[i] - t[i-1]) / p; d > 0.3 && d < 6 {
			n++
			if math.Abs(d-2*math.Round(d/2)) < 0.3 && d > 1.5 {
				twos++
			}
		}
	}
	if n > 0 && twos > mostHeard*n {
		if g.SlotsPerBeat%2 == 0 {
			g.SlotsPerBeat /= 2
		} else {
			g.BPM /= 2
		}
	}
}

// between is how many notes lie half way between slots of p seconds for each on
// one, or the other way round where that is less.
func between(t []float64, p float64) float64 {
	index, _, _ := track(t, t[0], p/2)
	var n [2]float64
	for _, i := range index {
		n[mod(i, 2)]++
	}
	return min(n[0], n[1]) / max(1, n[0], n[1])
}

// settle places slot 1 of rep 1 and returns how well the grid fits.
func (g *Grid) settle(t []float64, hint Hint) float64 {
	p := g.slotSeconds()
	if hint.FirstKnown {
		g.First = hint.First
	} else {
		g.First = startOf(t, p)
	}
	_, jumps, fit := track(t, g.First, p)
	re, im := 0.0, 0.0
	for i, v := range t {
		u := 2 * math.Pi * (v - jumps[i] - fit.offset - g.First*(1+fit.rate)) / (p * (1 + fit.rate))
		re, im = re+math.Cos(u), im+math.Sin(u)
	}
	return math.Hypot(re, im) / float64(len(t))
}

// startOf is the time of the slot of the first note: the phase on which the
// first notes agree, nearest to the first one.
func startOf(t []float64, p float64) float64 {
	re, im := 0.0, 0.0
	for _, v := range t[:min(len(t), 16)] {
		u := 2 * math.Pi * (v - t[0]) / p
		re, im = re+math.Cos(u), im+math.Sin(u)
	}
	return t[0] + math.Atan2(im, re)/(2*math.Pi)*p
}

// propose finds the slot's length and lists the beats it could make.
func propose(onsets []hear.Onset, hint Hint) []Candidate {
	t := seconds(onsets)
	var list []Candidate
	add := func(p, score float64, slots int, prior float64) {
		g := Grid{BPM: 60 / (p * float64(slots)), SlotsPerBeat: slots}
		if hint.BPM > 0 {
			g.BPM = hint.BPM
		}
		if g.BPM < slowestBeat*0.98 || g.BPM > fastestBeat*1.02 {
			return
		}
		g.settle(t, hint)
		score *= prior
		// A habit that comes back in every beat tells how long the beat is, but one
		// that comes back with a figure of several beats does not. A figure is of
		// whole beats, if anything.
		turn := slots
		back := comesBack(onsets, p)
		switch {
		case back == 0:
		case back%slots == 0 && back > fewSlots:
			turn = back
		case back%slots != 0 && slots%back != 0:
			score *= brokenBeat
		}
		own := g.habit(t, turn)
		if turn%2 == 0 {
			// What comes back in half of it already is not its own.
			own = max(0, own-g.habit(t, turn/2))
		}
		score = min(1, score*(1+own)/2)
		list = append(list, Candidate{Grid: g, Score: score})
	}
	if hint.BPM > 0 {
		// The beat is known: which number of slots holds every note?
		for _, slots := range []int{1, 2, 3, 4, 5, 6, 7, 8, 12} {
			p := 60 / hint.BPM / float64(slots)
			add(p, filled(t, p)*agreement(t, p), slots, 1)
		}
	} else {
		p, score := slotLength(onsets)
		if p == 0 {
			return nil
		}
		for _, c := range []struct {
			slots int
			prior float64
		}{{4, 1}, {3, 0.9}, {2, 0.85}, {6, 0.75}, {1, 0.7}, {8, 0.5}} {
			if hint.SlotsPerBeat > 0 && c.slots != hint.SlotsPerBeat {
				continue
			}
			// Tempos about 96 are the likeliest; an octave to either side
			// weighs little less than half.
			bpm := 60 / (p * float64(c.slots))
			d := math.Log2(bpm / 96)
			add(p, score, c.slots, c.prior*math.Exp(-0.8*d*d))
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Score > list[j].Score })
	return list
}

// comesBack is after how many slots of p seconds the pitches come back, 0 when they
// do not, or are but one.
func comesBack(onsets []hear.Onset, p float64) int {
	t := seconds(onsets)
	index, _, _ := track(t, t[0], p)
	midi := map[int]int{}
	for i, o := range onsets {
		midi[index[i]] = o.Midi
	}
	for n := 1; n <= longestFigure; n++ {
		same, pairs := 0, 0
		for i, m := range midi {
			if other, ok := midi[i+n]; ok && m > 0 && other > 0 {
				pairs++
				if m == other {
					same++
				}
			}
		}
		if pairs >= 2*n && float64(same) > samePitch*float64(pairs) {
			if n == 1 {
				break
			}
			return n
		}
	}
	return 0
}

// habit is the share of the notes' unevenness that is the own of each of k slots,
// 0 to 1: the adjusted R² of the deviations on the slot.
func (g *Grid) habit(t []float64, k int) float64 {
	p := g.slotSeconds()
	index, _, fit := track(t, g.First, p)
	sum, count := make([]float64, k), make([]float64, k)
	dev := make([]float64, len(t))
	mean := 0.0
	for i, v := range t {
		at := g.First + float64(index[i])*p
		dev[i] = v - fit.of(at)
		s := mod(index[i], k)
		sum[s] += dev[i]
		count[s]++
		mean += dev[i] / float64(len(t))
	}
	within, whole := 0.0, 0.0
	for i, d := range dev {
		s := mod(index[i], k)
		m := sum[s] / count[s]
		within += (d - m) * (d - m)
		whole += (d - mean) * (d - mean)
	}
	// Differences under a millisecond are no habit.
	whole += 1e-6 * float64(len(t))
	within += 1e-6 * float64(len(t))
	left := len(t) - k
	if left < k {
		return 0
	}
	return max(0, 1-within/float64(left)/(whole/float64(len(t)-1)))
}

// What tells how long a slot is: the distances of each note from the next ones,
// lags of them, as long as no gap of several usual ones parts them. One note that
// comes late in every rep, even by nearly half a slot, spoils half of the distances
// between neighbours, but not those of the others, and of those between notes of one
// pitch, lagsOfPitch notes apart at most, hardly any.
const (
	lags, lagsOfPitch = 8, 16
	gap               = 2.5
	// A slot is so much shorter or longer than the usual distance, as a share, at most.
	mostShorter, mostLonger = 0.28, 0.1
	// Slots that divide the usual distance are shorter than what is played, and no
	// hands play shorter ones than shortestSlot, in seconds (common practice, no
	// source). They must hold the notes better by muchFiner, as a factor.
	shortestSlot = 0.06
	muchFiner    = 1.15
	// Neighbours' distances tell a slot's length when they agree on it by leastPace,
	// of 1. All together may do so by less, from leastOfAll on, but by chance some
	// few notes do too: of those, it is ofFew over their number's fourth root.
	leastPace, leastOfAll, ofFew = 0.55, 0.42, 1.27
	// Of fewer notes than manyNotes only neighbours are asked.
	manyNotes = 16
)

// slotLength is the longest time of which the inter-onset intervals are whole
// multiples, refined over the whole take, and how well they agree on it.
func slotLength(onsets []hear.Onset) (p, score float64) {
	t := seconds(onsets)
	var intervals []float64
	for i := 1; i < len(t); i++ {
		if d := t[i] - t[i-1]; d > 0.03 {
			intervals = append(intervals, d)
		}
	}
	if len(intervals) == 0 {
		return 0, 0
	}
	sort.Float64s(intervals)
	usual := intervals[len(intervals)/2]
	near, same := distances(onsets, gap*usual)
	alike := func(p float64) float64 {
		if 2*len(same) < len(t) {
			return agree(near, p)
		}
		return (2*agree(near, p) + agree(same, p)) / 3
	}
	least := max(leastOfAll, ofFew/math.Sqrt(math.Sqrt(float64(len(t)))))
	for _, k := range []float64{1, 2, 3, 4, 6} {
		if k > 1 && usual/k < shortestSlot {
			break
		}
		q, all := usual/k, 0.0
		if len(t) >= manyNotes {
			q = sharpest(alike, q)
		}
		if fine := refine(t, q); len(t) < manyNotes || alike(fine) > alike(q)-0.05 { // it may lose count
			q = fine
		}
		if len(t) >= manyNotes {
			all = math.Sqrt(max(0, alike(q)))
		}
		neighbours := localAgreement(t, q)
		if a := max(neighbours, all); (neighbours > leastPace || all > least) && a > score*muchFiner {
			p, score = q, a
		}
	}
	return p, score
}

// distances are those of each note from the ones after it, where no two neighbours
// between lie farther apart than a gap in seconds: near ones, and those of one pitch.
func distances(onsets []hear.Onset, gap float64) (near, same []float64) {
	for i, o := range onsets {
		for j := i + 1; j < len(onsets) && j <= i+lagsOfPitch && onsets[j].Seconds-onsets[j-1].Seconds <= gap; j++ {
			d := onsets[j].Seconds - o.Seconds
			if j <= i+lags {
				near = append(near, d)
			}
			if o.Midi > 0 && onsets[j].Midi == o.Midi {
				same = append(same, d)
			}
		}
	}
	return near, same
}

// agree is how well distances are whole multiples of p, at most 1 and about 0
// where they are any.
func agree(distances []float64, p float64) float64 {
	sum := 0.0
	for _, d := range distances {
		sum += math.Cos(2 * math.Pi * d / p)
	}
	return sum / float64(max(1, len(distances)))
}

// sharpest is the length near p of which the distances are multiples most.
func sharpest(alike func(p float64) float64, p float64) float64 {
	const step = 0.0025
	best, most := p, alike(p)
	for f := 1 - mostShorter; f <= 1+mostLonger; f += step {
		if a := alike(p * f); a > most {
			best, most = p*f, a
		}
	}
	return best
}

// refine sharpens a slot's length by a line through the slots' counts.
func refine(t []float64, p float64) float64 {
	for range 3 {
		index, _, fit := track(t, t[0], p)
		if index[len(index)-1] == 0 {
			return p
		}
		p *= 1 + fit.rate
	}
	return p
}

// localAgreement is how well the inter-onset intervals are whole multiples of p.
func localAgreement(t []float64, p float64) float64 {
	sum := 0.0
	for i := 1; i < len(t); i++ {
		sum += math.Cos(2 * math.Pi * (t[i] - t[i-1]) / p)
	}
	return sum / float64(len(t)-1)
}

// agreement is the length of the mean of the notes' phases, 0 to 1, allowing
// for a take that drifts.
func agreement(t []float64, p float64) float64 {
	return max(0, localAgreement(t, p))
}

// filled is the share of the slots between first and last that hold a note.
func filled(t []float64, p float64) float64 {
	slots := math.Round((t[len(t)-1]-t[0])/p) + 1
	return min(1, float64(len(t))/slots)
}
