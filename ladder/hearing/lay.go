package hearing

import (
	"math"
	"slices"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/stat"
)

// Laid is a rung laid under a take.
type Laid struct {
	// Grid holds the reps that were played, counted from 1. It has no places
	// where none was found.
	Grid judge.Grid
	// First is where the first note of rep 1 lies, in seconds of the take.
	First float64
	// Reps that were played.
	Reps int
	// Tempo is what the reps were played at, usually, in beats a minute; 0 for the
	// rung's own. Last is that of the last reps where the take climbs, else 0.
	Tempo, Last float64
	// From and To bound the onsets that belong to the reps: onsets[From:To].
	From, To int
}

// Bounds of the search, so that its time stays within a second for any take.
const (
	maxAnchors = 2000 // onsets that are tried as a note of the first rep
	maxTries   = 12   // notes of a rep that they are tried as
	maxPlaces  = 600  // places that a try is judged by
	near       = 0.35 // of the least distance of two notes: a note belongs to the place
	wellPlayed = 0.5  // of a rep's full score
)

// Lay finds where in the take the reps begin, by trying every note of the take
// as every note of a rep and keeping what explains the most notes, and how many
// reps there are: as many before and after as follow on in time, whether the
// session would play fewer or more. The take is expected to keep the tempo, as
// one does who plays to the click. Onsets are in order of time.
func (r Rung) Lay(onsets []hear.Onset) Laid {
	if len(onsets) == 0 || len(r.notes) == 0 {
		return Laid{}
	}
	m := r.matcher(onsets)
	in := Laid{}
	if first, ok := m.search(); ok {
		in = m.laid(m.back(first))
	}
	return m.freely(in, math.Inf(-1))
}

// LayFrom lays the rung with the first note of rep 1 at first seconds.
func (r Rung) LayFrom(onsets []hear.Onset, first float64) Laid {
	if len(r.notes) == 0 {
		return Laid{}
	}
	m := r.matcher(onsets)
	return m.freely(m.laid(first), first-2*m.within)
}

// When reps that are looked for one by one, each with its own start and tempo,
// explain so many times the notes, and a few more, the take did not keep to the
// click.
const (
	freelyBetter = 1.05
	freelyMore   = 2
	// As many as fewLaid reps with wellLaid of their notes follow each other in time
	// for certain; and there must be otherRungs times as many notes in all to
	// leave that for other rungs.
	fewLaid    = 3
	wellLaid   = 0.9
	otherRungs = 1.3
	// sameTempo is how near, as a share, a rep's tempo is to the rung's to be it.
	sameTempo = 0.015
)

// freely returns the reps that are found one by one from a time on, where they
// explain more than those that follow each other in time.
func (m *matcher) freely(in Laid, from float64) Laid {
	k := 0
	for k < len(m.onsets) && m.onsets[k].Seconds < from {
		k++
	}
	held := float64(m.held(in))
	better := freelyBetter
	if in.Reps >= fewLaid && held >= wellLaid*float64(in.Reps*len(m.rep)) {
		// They did keep to the click. What else was played may be on other rungs,
		// which count as well where no rung was asked for.
		if better = otherRungs; m.rung.asked {
			return in
		}
	}
	if float64(len(m.onsets)-k) <= better*held+freelyMore {
		return in // not so many notes are left
	}
	var rungs []float64
	for _, t := range m.rung.step.Tempo.Rungs() {
		rungs = append(rungs, m.rung.Tempo.BPM()/t.BPM())
	}
	starts := judge.Starts(m.onsets[k:], m.rep, rungs...)
	notes := 0
	for _, s := range starts {
		notes += s.Notes
	}
	if len(starts) == 0 || float64(notes) <= better*held+freelyMore {
		return in
	}
	g := m.rung.Grid(0, 0)
	var stretch []float64
	for rep, s := range starts {
		stretch = append(stretch, s.Stretch)
		for i, at := range m.rep {
			g.Places = append(g.Places, judge.Place{Seconds: s.Seconds + s.Stretch*at, Slot: i + 1, Rep: rep + 1})
		}
	}
	out := Laid{
		Grid: g, First: starts[0].Seconds, Reps: len(starts),
		From: m.after(g.Places[0].Seconds - 2*m.within), To: m.after(g.Places[len(g.Places)-1].Seconds + 2*m.within),
	}
	if usual := stat.Median(stretch); math.Abs(usual-1) > sameTempo {
		out.Tempo = m.rung.Tempo.BPM() / usual
		out.Grid.BPM = out.Tempo
	}
	if n := len(stretch) / 3; n > 0 {
		early, late := stat.Median(stretch[:n]), stat.Median(stretch[len(stretch)-n:])
		if math.Abs(late/early-1) > 2*sameTempo {
			out.Tempo, out.Last = m.rung.Tempo.BPM()/early, m.rung.Tempo.BPM()/late
		}
	}
	return out
}

// held is how many notes lie near a place of what is laid.
func (m *matcher) held(in Laid) (notes int) {
	i := 0
	for _, p := range in.Grid.Places {
		for i < len(m.onsets) && m.onsets[i].Seconds < p.Seconds-m.within {
			i++
		}
		if i < len(m.onsets) && m.onsets[i].Seconds <= p.Seconds+m.within {
			notes++
			i++
		}
	}
	return notes
}

// matcher compares a rung with the onsets of a take.
type matcher struct {
	rung   Rung
	onsets []hear.Onset
	within float64 // seconds
	period float64 // from rep to rep
	rep    []float64
}

func (r Rung) matcher(onsets []hear.Onset) *matcher {
	m := &matcher{rung: r, onsets: onsets}
	two := r.Grid(2, 0).Places
	n := len(r.notes)
	m.period = two[n].Seconds
	least := m.period
	for i, p := range two {
		if i > 0 {
			least = min(least, p.Seconds-two[i-1].Seconds)
		}
		if i < n {
			m.rep = append(m.rep, p.Seconds)
		}
	}
	m.within = near * least
	return m
}

// score says how well reps fit that begin at first: 1 for each note that lies
// exactly on its place, less the farther off it is. It returns the mean
// distance of those notes as well. Two places never share a note, since they
// lie farther apart than two notes of theirs can.
func (m *matcher) score(first float64, reps int) (score, off float64) {
	count := 0
	i := m.after(first - m.within)
	for rep := range reps {
		for _, s := range m.rep {
			at := first + float64(rep)*m.period + s
			for i < len(m.onsets) && m.onsets[i].Seconds < at-m.within {
				i++
			}
			best := m.within
			for k := i; k < len(m.onsets) && m.onsets[k].Seconds <= at+m.within; k++ {
				if d := m.onsets[k].Seconds - at; math.Abs(d) < math.Abs(best) {
					best = d
				}
			}
			if q := best / m.within; math.Abs(q) < 1 {
				score += 1 - q*q
				off += best
				count++
			}
		}
	}
	if count > 0 {
		off /= float64(count)
	}
	return score, off
}

// after is the first onset at or after a time.
func (m *matcher) after(t float64) int {
	i, _ := slices.BinarySearchFunc(m.onsets, t, func(o hear.Onset, t float64) int {
		if o.Seconds < t {
			return -1
		}
		return 1
	})
	return i
}

// search returns the beginning of a rep from which on the most is explained.
func (m *matcher) search() (float64, bool) {
	reps := max(1, min(m.rung.Reps, maxPlaces/len(m.rep)))
	every := (len(m.onsets) + maxAnchors - 1) / maxAnchors
	slot := (len(m.rep) + maxTries - 1) / maxTries
	first, best := 0.0, 0.0
	for i := 0; i < len(m.onsets); i += every {
		for j := 0; j < len(m.rep); j += slot {
			at := m.onsets[i].Seconds - m.rep[j]
			if score, _ := m.score(at, reps); score > best {
				first, best = at, score
			}
		}
	}
	for range 3 {
		_, off := m.score(first, reps)
		first += off
	}
	return first, best > 0
}

// back goes to the first rep before which nothing fits. A single rep that does
// not fit, a false start say, is passed over.
func (m *matcher) back(first float64) float64 {
	for at := first; at > m.onsets[0].Seconds-m.period; {
		at -= m.period
		if m.well(at) {
			first = at
		} else if first-at > 1.5*m.period {
			break
		}
	}
	// And the other way: the window may have begun before the first note.
	for !m.some(first) && first < m.onsets[len(m.onsets)-1].Seconds {
		first += m.period
	}
	return first
}

func (m *matcher) well(at float64) bool {
	score, _ := m.score(at, 1)
	return score >= wellPlayed*float64(len(m.rep))
}

func (m *matcher) some(at float64) bool {
	score, _ := m.score(at, 1)
	return score >= min(1, wellPlayed*float64(len(m.rep)))
}

// laid counts the reps from first on: those that the session plays as far as
// the take goes, and more where they follow on.
func (m *matcher) laid(first float64) Laid {
	last := 0 // reps up to the last one played
	for rep := 0; ; rep++ {
		at := first + float64(rep)*m.period
		if len(m.onsets) == 0 || at-m.within > m.onsets[len(m.onsets)-1].Seconds {
			break
		}
		switch {
		case rep < m.rung.Reps && m.some(at), m.well(at):
			last = rep + 1
			continue
		case rep < m.rung.Reps || rep == last:
			continue // not played, or badly: what follows decides
		}
		break
	}
	if last == 0 {
		return Laid{}
	}
	end := first + float64(last-1)*m.period + m.rep[len(m.rep)-1]
	return Laid{
		Grid: m.rung.Grid(last, first), First: first, Reps: last,
		From: m.after(first - 2*m.within), To: m.after(end + 2*m.within),
	}
}
