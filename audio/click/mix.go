package click

import "math"

// MaxPeak is the largest sample that a renderer can put out, 0.885 or
// −1.06 dBFS, whatever overlaps.
const MaxPeak = 0.885

// knee is where the shaping of peaks begins; below it samples pass unchanged.
const knee = 0.6

// shape bends samples above the knee towards MaxPeak, which they never pass.
// It is continuous with a continuous slope, and leaves zero at zero.
func shape(x float32) float32 {
	switch {
	case x > knee:
		return MaxPeak - (MaxPeak-knee)*float32(math.Exp(float64((knee-x)/(MaxPeak-knee))))
	case x < -knee:
		return -shape(-x)
	}
	return x
}

// maxVoices is how many sounds can ring at once. A sound lasts 80 ms at most
// and 12 slots at 400 bpm are 12.5 ms apart, so 7 ring at once; a doubled
// pulse adds one click in each beat.
const maxVoices = 16

// fadeSeconds is how long a sound that is cut short takes to fade.
const fadeSeconds = 0.005

// voiceState is one ringing sound.
type voiceState struct {
	sound []float32
	pos   int
	gain  float32
	fade  float32 // what gain loses each frame once the sound is cut short
}

// mixer is the ringing sounds and the ramped volume.
type mixer struct {
	voices [maxVoices]voiceState
	active int
	level  float32 // the volume now
	step   float32 // the most it may move in a frame
	fade   float32
}

func newMixer(rate int, level float32) mixer {
	return mixer{level: level, step: 1 / (0.010 * float32(rate)), fade: 1 / (fadeSeconds * float32(rate))}
}

// strike begins a sound. When too many ring, the oldest makes room.
func (m *mixer) strike(sound []float32, gain float32) {
	if len(sound) == 0 || gain == 0 {
		return
	}
	if m.active == maxVoices {
		copy(m.voices[:], m.voices[1:])
		m.active--
	}
	m.voices[m.active] = voiceState{sound: sound, gain: gain}
	m.active++
}

// cut lets everything that rings fade out within fadeSeconds.
func (m *mixer) cut() {
	for i := range m.voices[:m.active] {
		v := &m.voices[i]
		if v.fade == 0 {
			v.fade = v.gain * m.fade
		}
	}
}

// add mixes the ringing sounds into every stride-th sample of dst, which is
// all zero, and reports whether any rang. stride is the number of channels.
func (m *mixer) add(dst []float32, stride int) bool {
	if m.active == 0 {
		return false
	}
	frames := len(dst) / stride
	kept := 0
	for i := range m.voices[:m.active] {
		v := m.voices[i]
		n := min(frames, len(v.sound)-v.pos)
		if v.fade == 0 {
			at := 0
			for _, s := range v.sound[v.pos : v.pos+n] {
				dst[at] += s * v.gain
				at += stride
			}
		} else {
			for k, s := range v.sound[v.pos : v.pos+n] {
				v.gain = max(0, v.gain-v.fade)
				dst[stride*k] += s * v.gain
			}
		}
		v.pos += n
		if v.pos < len(v.sound) && v.gain > 0 {
			m.voices[kept] = v
			kept++
		}
	}
	for i := kept; i < m.active; i++ {
		m.voices[i] = voiceState{}
	}
	m.active = kept
	return true
}

// alone does the work of add and finish in one pass where a single sound rings,
// the volume stands still and no peak can reach the knee: the usual case by
// far. It reports false, and does nothing, in any other.
func (m *mixer) alone(dst []float32, stride int, target float32) bool {
	v := &m.voices[0]
	if m.active != 1 || v.fade != 0 || m.level != target || v.gain*m.level > knee {
		return false
	}
	n := min(len(dst)/stride, len(v.sound)-v.pos)
	sound, gain, level := v.sound[v.pos:v.pos+n], v.gain, m.level
	if stride == 1 {
		dst = dst[:len(sound)]
		for i, s := range sound {
			dst[i] = s * gain * level
		}
	} else {
		for i, s := range sound {
			s = s * gain * level
			for c := range stride {
				dst[stride*i+c] = s
			}
		}
	}
	if v.pos += n; v.pos == len(v.sound) {
		*v = voiceState{}
		m.active = 0
	}
	return true
}

// finish applies the volume, ramped towards target at no more than full scale
// in 10 ms, shapes peaks, and copies the first channel to the others.
func (m *mixer) finish(dst []float32, stride int, target float32) {
	for i := 0; i+stride <= len(dst); i += stride {
		if m.level == target {
			m.settled(dst[i:], stride)
			return
		}
		m.level += min(max(target-m.level, -m.step), m.step)
		s := shape(dst[i] * m.level)
		for c := range stride {
			dst[i+c] = s
		}
	}
}

// settled is finish once the volume stands still. Nearly all samples of a
// routine pass here, so it is written out for the two strides in use.
func (m *mixer) settled(dst []float32, stride int) {
	level := m.level
	if stride == 1 {
		for i, x := range dst {
			s := x * level
			if s > knee || s < -knee {
				s = shape(s)
			}
			dst[i] = s
		}
		return
	}
	for i := 0; i+1 < len(dst); i += 2 {
		s := dst[i] * level
		if s > knee || s < -knee {
			s = shape(s)
		}
		dst[i], dst[i+1] = s, s
	}
}

// scale applies the volume to every stride-th sample of dst, ramped as in finish.
func (m *mixer) scale(dst []float32, stride int, target float32) {
	for i := 0; i < len(dst); i += stride {
		if m.level != target {
			m.level += min(max(target-m.level, -m.step), m.step)
		}
		dst[i] *= m.level
	}
}

// contain shapes the peaks of every stride-th sample of dst and copies it to the
// other channels.
func contain(dst []float32, stride int) {
	for i := 0; i+stride <= len(dst); i += stride {
		s := dst[i]
		if s > knee || s < -knee {
			s = shape(s)
		}
		for c := range stride {
			dst[i+c] = s
		}
	}
}

// rest lets the volume follow target through frames of silence.
func (m *mixer) rest(frames int, target float32) {
	most := m.step * float32(frames)
	m.level += min(max(target-m.level, -most), most)
}
