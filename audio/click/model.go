package click

import (
	"math"
	"slices"
)

// How a tone begins, ends and goes on to the next under a slur. The rise starts
// at a fiftieth of full level, so that a tone begins on its frame in 16 bits too:
// heard as silence, measured as the place.
const (
	riseSeconds    = 0.012
	lowRiseSeconds = 0.020 // under lowHz
	lowHz          = 200
	fallSeconds    = 0.025
	slurSeconds    = 0.008
	riseFrom       = 0.02
)

// maxTones is how many tones can sound at once: the one that holds, and those
// that still fade because they were cut. What would be too many is left out.
const maxTones = 4

// toneState is a tone that sounds.
type toneState struct {
	wave  []float32
	phase uint64 // in periods, of 2^-64
	step  uint64 // periods a frame, of 2^-64
	gain  float32

	rise, riseTo int // frames since the onset; those of the whole rise

	// A slur goes from these to the ones above; where waveFrom is nil there is none.
	waveFrom     []float32
	stepFrom     uint64
	gainFrom     float32
	slur, slurTo int // frames since it began; those of the whole

	released     bool
	fall, fallTo int // frames of the release left; those of the whole

	cut          bool
	fade, fadeTo int // frames left of it once it is cut; those of the whole
}

// model is the tones that sound, and their ramped level.
type model struct {
	rate  int
	tones []toneState // oldest first, maxTones at most
	held  bool        // the last of tones holds: it is neither released nor cut
	// The tone that holds began at the frame since, and ends at the place ends of
	// its phrase; where joined is set the next one goes on from it there.
	since  int64
	ends   Beats
	joined bool
	level  float32
	step   float32 // the most that the level moves in a frame
}

func newModel(rate int) model {
	return model{rate: rate, tones: make([]toneState, 0, maxTones), step: 1 / (0.010 * float32(rate))}
}

// sound begins a tone at the frame now, or goes on to it where the one that holds
// is joined to it by a slur.
func (m *model) sound(w *Wind, t Tone, now int64, ends Beats, joined bool) {
	wave, hz, ok := w.wave(t.Pitch)
	if !ok || t.Level <= 0 {
		m.cut()
		return
	}
	step, gain, fade := uint64(hz/float64(m.rate)*(1<<32)*(1<<32)), min(t.Level, 1), m.frames(fadeSeconds)
	if !m.slur(wave, step, gain) {
		m.cut()
		if len(m.tones) == maxTones {
			return
		}
		rise := riseSeconds
		if hz < lowHz {
			rise = lowRiseSeconds
		}
		m.tones = append(m.tones, toneState{
			wave: wave.Samples, phase: uint64(wave.Start) << (64 - waveBits), step: step, gain: gain,
			riseTo: m.frames(rise), fade: fade, fadeTo: fade,
		})
	}
	m.held, m.since, m.ends, m.joined = true, now, ends, joined
}

// slur lets the tone that holds go on to another. It reports false, and does
// nothing, when none is joined to it, or when it is under a slur itself.
func (m *model) slur(wave *Wave, step uint64, gain float32) bool {
	if !m.joined {
		return false
	}
	v := &m.tones[len(m.tones)-1]
	if v.waveFrom != nil {
		return false
	}
	v.waveFrom, v.stepFrom, v.gainFrom = v.wave, v.step, v.gain
	v.wave, v.step, v.gain = wave.Samples, step, gain
	v.slur, v.slurTo = 0, m.frames(slurSeconds)
	return true
}

// releases is the frame at which the tone that holds begins to end, when it ends
// at the frame end. A short one is half over by then.
func (m *model) releases(end int64) int64 { return end - m.falling(end) }

func (m *model) falling(end int64) int64 {
	return min(int64(m.frames(fallSeconds)), (end-m.since)/2)
}

// release lets the tone that holds end.
func (m *model) release(end int64) {
	v := &m.tones[len(m.tones)-1]
	v.fallTo = int(m.falling(end))
	v.released, v.fall = true, v.fallTo
	m.held = false
}

// cut lets everything that sounds fade out within fadeSeconds.
func (m *model) cut() {
	for i := range m.tones {
		m.tones[i].cut = true
	}
	m.held, m.joined = false, false
}

func (m *model) frames(seconds float64) int { return int(seconds * float64(m.rate)) }

// add adds the tones to dst at the level, ramped towards target. It returns how many
// frames it was before none sounded.
func (m *model) add(dst []float32, target float32) (sounded int) {
	for k := range m.tones {
		v := &m.tones[k]
		n, level := 0, m.level
		for n < len(dst) && !v.over() {
			if level != target {
				level = towards(level, target, m.step)
			}
			dst[n] += v.next() * level
			n++
		}
		sounded = max(sounded, n)
	}
	m.level = towards(m.level, target, m.step*float32(len(dst)))
	m.tones = slices.DeleteFunc(m.tones, func(v toneState) bool { return v.over() })
	return sounded
}

// over reports whether the tone has ended.
func (v *toneState) over() bool { return v.fade == 0 || v.released && v.fall == 0 }

// next is the next sample of the tone.
func (v *toneState) next() float32 {
	shape := float32(1)
	if v.rise != v.riseTo {
		shape = riseFrom + (1-riseFrom)*smooth(float32(v.rise)/float32(v.riseTo))
		v.rise++
	}
	if v.released {
		shape *= smooth(float32(v.fall) / float32(v.fallTo))
		v.fall--
	}
	if v.cut {
		v.fade--
		shape *= float32(v.fade) / float32(v.fadeTo)
	}
	if v.waveFrom != nil {
		return v.glide() * shape
	}
	s := read(v.wave, v.phase) * v.gain
	v.phase += v.step
	return s * shape
}

// glide is the next sample under a slur. The frequency and the wave change one
// after the other, half of the slur each, so that the wave that sounds is never
// one with partials for a lower tone.
func (v *toneState) glide() float32 {
	v.slur++
	x := 2 * float32(v.slur) / float32(v.slurTo)
	timbre, pitch := smooth(x), smooth(max(x-1, 0))
	if v.step < v.stepFrom {
		timbre, pitch = pitch, timbre
	}
	s := read(v.waveFrom, v.phase)
	s += (read(v.wave, v.phase) - s) * timbre
	gain := v.gainFrom + (v.gain-v.gainFrom)*smooth(x/2)
	v.phase += v.stepFrom + uint64(int64(float64(int64(v.step-v.stepFrom))*float64(pitch)))
	if v.slur == v.slurTo {
		v.waveFrom = nil
	}
	return s * gain
}

// read is the wave at a phase, between two samples on the line that joins them.
func read(wave []float32, phase uint64) float32 {
	i := phase >> (64 - waveBits)
	part := float32(uint32(phase<<waveBits>>40)) * (1.0 / (1 << 24))
	a := wave[i]
	return a + (wave[i+1]-a)*part
}

// smooth goes from 0 at 0 to 1 at 1 as half a cosine does.
func smooth(x float32) float32 {
	if x >= 1 {
		return 1
	}
	return 0.5 - 0.5*float32(math.Cos(math.Pi*float64(x)))
}
