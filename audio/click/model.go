package click

import "math"

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

	// A slur goes from these to the ones above.
	waveFrom     []float32
	stepFrom     uint64
	gainFrom     float32
	slur, slurTo int // frames since it began; those of the whole, 0 when over

	fall, fallTo int // frames of the release left; of the whole, 0 while it holds

	left   float32 // what is left of a tone that was cut, from 1
	faster float32 // what that loses each frame, 0 while it was not
}

// model is the tones that sound, and their ramped level.
type model struct {
	rate   int
	tones  [maxTones]toneState
	active int
	held   bool // the last of tones holds: it is neither released nor cut
	// The tone that holds began at the frame since, and ends at the place ends of
	// its phrase; where joined is set the next one goes on from it there.
	since  int64
	ends   Beats
	joined bool
	level  float32
	step   float32 // the most that the level moves in a frame
}

func newModel(rate int) model {
	return model{rate: rate, step: 1 / (0.010 * float32(rate))}
}

// sound begins a tone at the frame now, or goes on to it under a slur.
func (m *model) sound(w *Wind, t Tone, now int64, ends Beats, joined bool) {
	var wave *Wave
	hz, ok := 0.0, false
	if w != nil && t.Level > 0 {
		wave, hz, ok = w.wave(t.Pitch)
	}
	slurs := m.held && m.joined && m.ends == t.At && t.Slurred
	if !ok {
		m.cut()
		return
	}
	step := uint64(hz / float64(m.rate) * (1 << 32) * (1 << 32))
	if last := max(0, m.active-1); slurs && m.tones[last].slurTo == 0 {
		v := &m.tones[last]
		v.waveFrom, v.stepFrom, v.gainFrom = v.wave, v.step, v.gain
		v.wave, v.step, v.gain = wave.Samples, step, min(t.Level, 1)
		v.slur, v.slurTo = 0, m.frames(slurSeconds)
	} else {
		m.cut()
		if m.active == maxTones {
			return
		}
		rise := riseSeconds
		if hz < lowHz {
			rise = lowRiseSeconds
		}
		m.tones[m.active] = toneState{
			wave: wave.Samples, phase: uint64(wave.Start) << (64 - waveBits), step: step, gain: min(t.Level, 1),
			riseTo: m.frames(rise), left: 1,
		}
		m.active++
	}
	m.held, m.since, m.ends, m.joined = true, now, ends, joined
}

// releases is the frame at which the tone that holds begins to end, when it ends
// at the frame end. A short one is half over by then.
func (m *model) releases(end int64) int64 {
	return end - m.falling(end)
}

func (m *model) falling(end int64) int64 {
	return min(int64(m.frames(fallSeconds)), max(1, (end-m.since)/2))
}

// release lets the tone that holds end.
func (m *model) release(end int64) {
	if m.held {
		v := &m.tones[m.active-1]
		v.fallTo = int(m.falling(end))
		v.fall = v.fallTo
	}
	m.held = false
}

// cut lets everything that sounds fade out within fadeSeconds.
func (m *model) cut() {
	for i := range m.tones[:m.active] {
		m.tones[i].faster = 1 / (fadeSeconds * float32(m.rate))
	}
	m.held = false
}

func (m *model) frames(seconds float64) int { return max(1, int(seconds*float64(m.rate))) }

// add adds the tones to every stride-th sample of dst at the level, ramped
// towards target.
func (m *model) add(dst []float32, stride int, target float32) {
	frames := len(dst) / stride
	from := m.level
	kept := 0
	for i := range m.tones[:m.active] {
		m.level = from
		v := &m.tones[i]
		for at := 0; at < frames && !v.over(); {
			if n := v.add(dst[stride*at:], stride, m.level, m.level == target); n > 0 {
				at += n
				continue
			}
			m.level += min(max(target-m.level, -m.step), m.step)
			dst[stride*at] += v.next() * m.level
			at++
		}
		if !v.over() {
			if kept != i {
				m.tones[kept] = *v
			}
			kept++
		}
	}
	m.level = from + min(max(target-from, -m.step*float32(frames)), m.step*float32(frames))
	for i := kept; i < m.active; i++ {
		m.tones[i] = toneState{}
	}
	m.active = kept
}

// over reports whether the tone has ended.
func (v *toneState) over() bool { return v.left <= 0 || v.fallTo > 0 && v.fall == 0 }

// add is the frames of a tone that stands still, the usual case by far: it adds
// those of dst and returns how many they are, or returns 0 in any other case.
func (v *toneState) add(dst []float32, stride int, level float32, settled bool) int {
	if !settled || v.rise < v.riseTo || v.slurTo > 0 || v.fallTo > 0 || v.faster > 0 {
		return 0
	}
	wave, phase, step, gain := v.wave[:WaveLength+1], v.phase, v.step, v.gain*level
	n := 0
	for at := 0; at < len(dst); at += stride {
		dst[at] += read(wave, phase) * gain
		phase += step
		n++
	}
	v.phase = phase
	return n
}

// next is the next sample of the tone.
func (v *toneState) next() float32 {
	gain := v.gain
	if v.rise < v.riseTo {
		gain *= riseFrom + (1-riseFrom)*smooth(float32(v.rise)/float32(v.riseTo))
		v.rise++
	}
	if v.fallTo > 0 {
		gain *= smooth(float32(v.fall) / float32(v.fallTo))
		v.fall--
	}
	if v.faster > 0 {
		v.left = max(0, v.left-v.faster)
		gain *= v.left
	}
	if v.slurTo > 0 {
		return v.glide(gain)
	}
	s := read(v.wave, v.phase) * gain
	v.phase += v.step
	return s
}

// glide is the next sample under a slur. The frequency and the wave change one
// after the other, half of the slur each, so that the wave that sounds is never
// one with partials for a lower tone.
func (v *toneState) glide(gain float32) float32 {
	v.slur++
	x := 2 * float32(v.slur) / float32(v.slurTo)
	timbre, pitch := smooth(min(x, 1)), smooth(max(x-1, 0))
	if v.step < v.stepFrom {
		timbre, pitch = pitch, timbre
	}
	both := smooth(x / 2)
	s := read(v.waveFrom, v.phase)
	s += (read(v.wave, v.phase) - s) * timbre
	if v.gain > 0 {
		gain *= (v.gainFrom + (v.gain-v.gainFrom)*both) / v.gain
	}
	v.phase += v.stepFrom + uint64(int64(float64(int64(v.step-v.stepFrom))*float64(pitch)))
	if v.slur >= v.slurTo {
		v.slurTo, v.waveFrom = 0, nil
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
