package hear

import "math"

// contender is a period that a note may have, and what speaks for it.
type contender struct {
	candidate
	evidence evidence
}

// evidence is what tells which of its peaks is the period of a note. What is
// not known is 0.
type evidence struct {
	here   fit     // to the sound
	alone  fit     // to what is left of it without the old note
	unlike fit     // how far here lies from the notes before: an instrument keeps its sound
	less   float64 // by how much half the period does worse than with those
	leap   float64 // how far it leaps from the old note, in octaves
}

// weights come from a logistic regression (one peak against the others of its
// note) over some 88 000 notes of some thirty sampled instruments of two sets
// of samples, tongued and slurred, with and without noise, a room and clicks.
// Fitted without a fifth of the instruments, they name 98.6 of 100 notes of
// that fifth. The takes of the table in audio/takes are among them.
var weights = evidence{
	here:   fit{whole: 1.62, halves: 0.37, thirds: 1.31, double: -1.56, between: 0.94, quarters: 1.46, fifths: 1.37},
	alone:  fit{whole: 0.43, halves: -0.29, thirds: 1.01, double: -1.13, between: 0.84, quarters: 0.73, fifths: 0.63},
	unlike: fit{halves: -0.15, thirds: 0.76, between: -0.79, quarters: -0.80},
	less:   -0.82,
	leap:   -2.31,
}

const (
	// sameLeap is the leap of a period that is the old note's, though what was
	// heard first is another; chosen by hand.
	sameLeap = 0.5
	// leastShare of the highest peak makes a contender.
	leastShare = 0.6
)

// sum of the products with the weights.
func (e evidence) sum(w evidence) float64 {
	return e.here.sum(w.here) + e.alone.sum(w.alone) + e.unlike.sum(w.unlike) + e.less*w.less + e.leap*w.leap
}

// likeliest is the contender that the evidence speaks for most; nil when there
// is none.
func likeliest(list []contender) (best *contender) {
	most := math.Inf(-1)
	for i := range list {
		if s := list[i].evidence.sum(weights); s > most {
			best, most = &list[i], s
		}
	}
	return best
}

// contenders appends the periods that a sound with a normalised correlation, and
// these peaks of it, may have, heard as about guess after a note of pitch old (0:
// none), of an instrument that usually fits so.
func (c *correlator) contenders(into []contender, norm []float64, peaks []candidate, guess, old float64, usual fit) []contender {
	c.here = finely(c.here[:0], norm)
	c.alone = c.alone[:0]
	moved := old > 0 && math.Abs(old-guess) > notePitch
	if moved {
		c.alone = c.here.without(c.alone, c.rate/frequency(old))
	}
	best := highest(peaks)
	for _, p := range peaks {
		if p.height < leastShare*best {
			continue
		}
		at := p.lag * fineSteps
		e := evidence{here: c.here.fit(at)}
		if c.alone.reaches(at) {
			e.alone = c.alone.fit(at)
		}
		if usual != (fit{}) {
			e.unlike = e.here.unlike(usual)
			e.less = min(mostUnlike, e.here.halves-usual.halves)
		}
		if old > 0 {
			d := math.Abs(noteNumber(c.rate/p.lag) - old)
			e.leap = d / 12
			if moved && d < notePitch {
				e.leap = sameLeap
			}
		}
		into = append(into, contender{p, e})
	}
	return into
}
