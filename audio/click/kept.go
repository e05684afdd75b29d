package click

import "slices"

// RenderSpan is [Renderer.Render] with two channels or [Renderer.RenderMono] with one for
// files, which are the same over and over: it renders up to the next stroke, and not more
// than dst has room for, and returns the samples, at least a frame. Where kept is set they
// are not in dst and are never written to again: whoever gets them may keep them, and what
// has been made of them, by the place of the first. Unlike the other ways to render it
// allocates.
func (r *Renderer) RenderSpan(dst []float32, channels int) (span []float32, kept bool) {
	room := len(dst) / channels
	if channels == 2 {
		room = min(room, blockFrames)
	}
	volume, modelled := r.enter(room)
	n := r.reachable(room)
	switch {
	case len(r.model.tones) == 0 && r.mix.repeats(volume):
		span, kept = r.kept.next(&r.mix, n, channels), true
	case channels == 2:
		span = dst[:2*n]
		left, right := dst[n:2*n], r.right[:n]
		clear(left)
		r.mixSpan(left, right, volume, modelled)
		interleave(span, left, right)
	default:
		span = dst[:n]
		clear(span)
		r.mixSpan(span, nil, volume, modelled)
	}
	r.now += int64(len(span) / channels)
	r.frames.Store(r.now)
	return span, kept
}

// keeper keeps what rings on from a state of a mixer at a steady volume.
type keeper struct {
	known   map[mixState][]float32
	size    int // samples that are kept
	silence []float32
}

// mostKept is how many samples are kept at most: hundreds of clicks.
const mostKept = 1 << 20

// mixState is what the samples of a mixer that repeats depend on.
type mixState struct {
	channels int
	level    float32
	voices   [8]mixVoice
}

type mixVoice struct {
	sound *float32 // the first sample of what is left of it
	left  int
	gain  float32
	side  Side
}

// repeats reports whether what rings may ring again just so: nothing fades or swells, no
// drone sounds, and the volume is what it should be.
func (m *mixer) repeats(volume float32) bool {
	if m.level != volume || len(m.voices) > len(mixState{}.voices) || !m.drone.rests() {
		return false
	}
	for i := range m.voices {
		if v := &m.voices[i]; v.fade != 0 || v.lack != 0 {
			return false
		}
	}
	return true
}

// rests reports whether the drone neither sounds nor is to; then it has no turn to go
// through either.
func (d *drone) rests() bool {
	if d.gain != 0 || d.wanted.Level != 0 {
		return false
	}
	d.waveFrom = nil
	return true
}

// next takes the mixer, which repeats, up to n frames on, and returns what sounds
// meanwhile: at least one frame, and not more than until nothing rings.
func (k *keeper) next(m *mixer, n, channels int) []float32 {
	if len(m.voices) == 0 {
		return k.silent(n, channels)
	}
	state, rings := mixState{channels: channels, level: m.level}, 0
	for i, v := range m.voices {
		state.voices[i] = mixVoice{&v.sound[0], len(v.sound), v.gain, v.side}
		rings = max(rings, len(v.sound))
	}
	n = min(n, rings)
	sound := k.known[state]
	if len(sound) < n*channels {
		// Another time there may be a frame or two more before the next stroke.
		sound = k.keep(state, m, min(n+2, rings))
	}
	for i := range m.voices {
		v := &m.voices[i]
		v.sound = v.sound[min(n, len(v.sound)):]
	}
	m.voices = slices.DeleteFunc(m.voices, voiceState.over)
	return sound[:n*channels]
}

// keep mixes n frames from a state on, and leaves the mixer in it.
func (k *keeper) keep(state mixState, m *mixer, n int) []float32 {
	sound, right, copied := make([]float32, n), []float32(nil), *m
	copied.voices = slices.Clone(m.voices)
	if state.channels == 2 && m.sided() {
		right = make([]float32, n)
	}
	rang := copied.add(sound, right, m.level)
	contain(sound[:rang])
	contain(right[:min(rang, len(right))])
	if state.channels == 2 {
		both, left := make([]float32, 2*n), sound
		if right == nil {
			right = left
		}
		interleave(both, left, right)
		sound = both
	}
	if k.known == nil || k.size+len(sound) > mostKept {
		k.known, k.size = map[mixState][]float32{}, 0
	}
	k.known[state] = sound
	k.size += len(sound)
	return sound
}

// silent is up to n frames of silence.
func (k *keeper) silent(n, channels int) []float32 {
	if k.silence == nil {
		k.silence = make([]float32, 1<<14)
	}
	return k.silence[:min(n*channels, len(k.silence))]
}

// interleave puts two channels into one slice, of which left may be the latter half.
func interleave(dst, left, right []float32) {
	for i, s := range left {
		dst[2*i], dst[2*i+1] = s, right[i]
	}
}
