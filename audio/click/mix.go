package click

import (
	"math"
	"slices"
)

// MaxPeak is the largest sample that a renderer can put out, 0.885 or
// −1.06 dBFS, whatever overlaps.
const MaxPeak = 0.885

// knee is where the shaping of peaks begins; below it samples pass unchanged.
const knee = 0.6

// contain bends the samples of dst above the knee towards MaxPeak, which they
// never pass. The bend is continuous with a continuous slope.
func contain(dst []float32) {
	for i, x := range dst {
		if x*x > knee*knee {
			dst[i] = bent(x)
		}
	}
}

// bent is what becomes of a sample above the knee.
func bent(x float32) float32 {
	over := math.Abs(float64(x)) - knee
	return float32(math.Copysign(MaxPeak-(MaxPeak-knee)*math.Exp(-over/(MaxPeak-knee)), float64(x)))
}

// maxVoices is how many sounds can ring at once. A sound lasts 80 ms at most
// and 12 slots at 400 bpm are 12.5 ms apart, so 7 ring at once; a doubled
// pulse adds one click in each beat.
const maxVoices = 16

// fadeSeconds is how long a sound that is cut short takes to fade.
const fadeSeconds = 0.005

// voiceState is one ringing sound.
type voiceState struct {
	sound []float32 // what is left of it
	gain  float32
	fade  float32 // what gain loses each frame once the sound is cut short
	lack  float32 // what is lacking in gain at first, where the sound began in its midst
	side  Side
	word  bool
}

// mixer is the ringing sounds and the ramped volume.
type mixer struct {
	rate   int
	voices []voiceState // oldest first, maxVoices at most
	level  float32      // the volume now
	step   float32      // the most it may move in a frame: full scale in 10 ms
	drone  drone
}

func newMixer(rate int, level float32) mixer {
	return mixer{rate: rate, voices: make([]voiceState, 0, maxVoices), level: level, step: 1 / (0.010 * float32(rate)), drone: drone{rate: rate}}
}

// strike begins a sound. When too many ring, the oldest makes room.
func (m *mixer) strike(sound []float32, gain float32, side Side) {
	if len(sound) == 0 || gain == 0 {
		return
	}
	if len(m.voices) == maxVoices {
		m.voices = slices.Delete(m.voices, 0, 1)
	}
	m.voices = append(m.voices, voiceState{sound: sound, gain: gain, side: side})
}

// speak begins a word in place of the one that is spoken. One that begins in its
// midst rises within fadeSeconds.
func (m *mixer) speak(sound []float32, midst bool) {
	m.cut(true)
	if len(sound) == 0 {
		return
	}
	m.strike(sound, 1, Centre)
	v := &m.voices[len(m.voices)-1]
	v.word = true
	if midst {
		v.lack = 1
	}
}

// cut lets everything that rings, or only what is spoken, fade out within
// fadeSeconds.
func (m *mixer) cut(words bool) {
	frames := int(fadeSeconds * float32(m.rate))
	for i := range m.voices {
		v := &m.voices[i]
		if v.fade == 0 && (v.word || !words) {
			v.fade = v.gain / float32(frames)
			v.sound = v.sound[:min(len(v.sound), frames)]
		}
	}
}

// sided reports whether a sound rings that comes from one side.
func (m *mixer) sided() bool {
	for i := range m.voices {
		if m.voices[i].side != Centre {
			return true
		}
	}
	return false
}

// add mixes the ringing sounds into dst, which is all zero, at the volume, ramped
// towards target. It returns how many frames it was before nothing rang. With right,
// which is as long, dst is what is heard on the left.
func (m *mixer) add(dst, right []float32, target float32) (rang int) {
	for i := range m.voices {
		if v := &m.voices[i]; right == nil || v.side == Centre {
			rang = max(rang, v.add(dst, 1, m.rate))
		}
	}
	rang = max(rang, m.drone.add(dst))
	if right != nil {
		copy(right, dst)
		for i := range m.voices {
			switch v := &m.voices[i]; v.side {
			case Left:
				rang = max(rang, v.add(dst, aside, m.rate))
			case Right:
				rang = max(rang, v.add(right, aside, m.rate))
			}
		}
		scale(right[:rang], m.level, target, m.step)
	}
	m.voices = slices.DeleteFunc(m.voices, voiceState.over)
	m.level = scale(dst[:rang], m.level, target, m.step)
	// In silence there is no need to go frame by frame.
	m.level = towards(m.level, target, m.step*float32(len(dst)-rang))
	return rang
}

// add adds what is left of the sound to dst, as far as it goes, at a gain beside its
// own, and returns how many frames that was.
func (v *voiceState) add(dst []float32, by float32, rate int) int {
	mixed := dst[:min(len(dst), len(v.sound))]
	if v.lack > 0 {
		v.swell(mixed, 1/(fadeSeconds*float32(rate)))
		return len(mixed)
	}
	gain, fade := v.gain*by, v.fade*by
	if fade == 0 {
		for k, s := range v.sound[:len(mixed)] {
			mixed[k] += s * gain
		}
	} else {
		for k, s := range v.sound[:len(mixed)] {
			gain -= fade
			mixed[k] += s * gain
		}
		v.gain = gain / by
	}
	v.sound = v.sound[len(mixed):]
	return len(mixed)
}

// swell adds a sound that rises by so much a frame.
func (v *voiceState) swell(dst []float32, step float32) {
	for k := range dst {
		v.gain -= v.fade
		dst[k] += v.sound[k] * v.gain * (1 - v.lack)
		v.lack = max(v.lack-step, 0)
	}
	v.sound = v.sound[len(dst):]
}

// scale applies a level that moves towards target by at most step in a frame, and
// returns the level that it ends at.
func scale(dst []float32, level, target, step float32) float32 {
	for len(dst) > 0 && level != target {
		level = towards(level, target, step)
		dst[0] *= level
		dst = dst[1:]
	}
	for i := range dst {
		dst[i] *= level
	}
	return level
}

// towards is a level moved towards target by at most step.
func towards(level, target, step float32) float32 {
	return level + min(max(target-level, -step), step)
}

func (v voiceState) over() bool { return len(v.sound) == 0 }
