package hear

import "math"

// frame is what is heard around one moment.
type frame struct {
	pitch   float64 // note number with its fraction; 0 when unpitched
	clarity float64 // of the best period, 0 to 1
	level   float64 // of the pitch window, dB re full scale
	beneath bool    // the octave below is what sounds
}

// silenceDB is the level below which nothing is heard, dB re full scale.
const silenceDB = -75

// clearEnough is the clarity from which a frame counts as pitched. White noise
// reaches about 0.3 in such a window, an instrument 20 dB above noise 0.98.
const clearEnough = 0.7

type frameRing struct {
	frames [keptBlocks]frame
}

func (r *frameRing) put(k int, f frame) { r.frames[k%keptBlocks] = f }
func (r *frameRing) at(k int) frame     { return r.frames[k%keptBlocks] }

// frame analyses the window centred on the beginning of block k; a note of
// pitch expect (0: none) was sounding just before.
func (l *Listener) frame(k int, expect float64) frame {
	c := l.coarse
	from, to := k-windowBlocks/2, k+windowBlocks/2
	e := c.energyBetween(from*c.block, to*c.block) / float64(windowBlocks*c.block)
	f := frame{level: decibels(e)}
	if f.level < silenceDB {
		return f
	}
	list := c.peaks(c.clarity(from, to))
	best := highest(list)
	p := fundamental(list, best)
	// A note that goes on is followed through the ringing of another one, which
	// makes a common subharmonic of the two the highest peak; and through a
	// moment in which one of its harmonics drowns the others.
	if expect > 0 {
		for _, q := range list {
			if math.Abs(noteNumber(c.rate/q.lag)-expect) > runPitch {
				continue
			}
			if q.lag < p.lag && q.height > 0.75*best || q.lag > p.lag && q.lag < 3.2*p.lag && q.height > p.height+0.05 {
				p = q
			}
		}
	}
	f.clarity = p.height
	if low, sure := beneath(p, list); sure {
		if math.Abs(noteNumber(c.rate/low.lag)-expect) < runPitch {
			p = low
		} else {
			f.beneath = true
		}
	}
	if p.lag > 0 && p.height >= clearEnough {
		f.pitch = noteNumber(c.rate / p.lag)
	}
	return f
}

func decibels(power float64) float64 { return 10 * math.Log10(power+1e-30) }

// noteNumber of a frequency in Hz: 69 at 440 Hz, 12 to the octave (MIDI tuning).
func noteNumber(hz float64) float64 { return 69 + 12*math.Log2(hz/440) }

// frequency in Hz of a note number.
func frequency(note float64) float64 { return 440 * math.Exp2((note-69)/12) }
