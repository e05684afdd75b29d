package hear

import "math"

// Pitches is what pitch sounded from moment to moment of a stream, as heard in
// each moment alone: an octave or another harmonic may stand in for the note. It
// tells of what no onset tells: that a note goes on, or never came. The zero
// Pitches holds nothing. It may be read by several goroutines at once.
type Pitches struct {
	every float64   // seconds from one moment to the next
	note  []float32 // note numbers with their fraction; 0 without a pitch
	level []int8    // dB re full scale, −128 to 0
}

// Moment is what was heard at one moment.
type Moment struct {
	// Note is the note number with its fraction, 69 at 440 Hz; 0 without a pitch.
	Note float64
	// Level is in dB re full scale, −128 to 0.
	Level float64
}

// PitchesOf are those of moments that follow each other, the first at 0, every so many
// seconds.
func PitchesOf(every float64, moments []Moment) Pitches {
	p := Pitches{every: every}
	for _, m := range moments {
		p.add(frame{pitch: m.Note, level: m.Level})
	}
	return p
}

// add takes the next frame.
func (p *Pitches) add(f frame) {
	p.note = append(p.note, float32(f.pitch))
	p.level = append(p.level, int8(math.Round(max(math.MinInt8, min(0, f.level)))))
}

// Between are the moments from one time to another, in seconds from the first
// sample, both clipped to the stream.
func (p Pitches) Between(from, to float64) []Moment {
	if p.every == 0 || !(from < to) {
		return nil
	}
	n := float64(len(p.note))
	a, b := int(max(0, min(n, math.Ceil(from/p.every)))), int(max(0, min(n, math.Ceil(to/p.every))))
	out := make([]Moment, 0, b-a)
	for i := a; i < b; i++ {
		out = append(out, Moment{float64(p.note[i]), float64(p.level[i])})
	}
	return out
}

// KeepPitches has the listener keep what pitch sounds from now on, 1 kB for each
// second of the stream; it is called before anything is written.
func (l *Listener) KeepPitches() { l.pitches = &Pitches{every: 1 / l.frameHz()} }

// Pitches are those since [Listener.KeepPitches], up to the end of what was written;
// nothing without it. While the stream goes on those of the last [Listener.Delay] are not
// there yet, and once it is closed they do not change.
func (l *Listener) Pitches() Pitches {
	if l.pitches == nil {
		return Pitches{}
	}
	p := *l.pitches
	if n := int(math.Ceil(float64(l.written) / float64(l.rate) / p.every)); n < len(p.note) {
		p.note, p.level = p.note[:n], p.level[:n]
	}
	return p
}
