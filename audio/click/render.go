package click

import "math"

// blockFrames is how much is rendered at once where there are two channels.
const blockFrames = 4096

// Render fills dst with interleaved stereo samples, len(dst)/2 frames: left and right
// the same but for strokes that have a side. It takes no lock, allocates nothing and
// never blocks.
func (r *Renderer) Render(dst []float32) {
	for len(dst) > 1 {
		frames := min(len(dst)/2, blockFrames)
		// The latter half is read before it is written over.
		left, right := dst[frames:2*frames], r.right[:frames]
		r.render(left, right)
		interleave(dst, left, right)
		dst = dst[2*frames:]
	}
}

// RenderMono is Render with one channel, for files. Strokes have no sides in it.
func (r *Renderer) RenderMono(dst []float32) { r.render(dst, nil) }

// render fills dst, and right where that is not nil.
func (r *Renderer) render(dst, right []float32) {
	clear(dst)
	volume, modelled := r.enter(len(dst))
	for len(dst) > 0 {
		n := r.reachable(len(dst))
		beside := min(n, len(right))
		r.mixSpan(dst[:n], right[:beside], volume, modelled)
		r.now += int64(n)
		dst, right = dst[n:], right[beside:]
	}
	r.frames.Store(r.now)
}

// enter sees what was asked for since the last block, and returns the levels that hold
// in this one, of so many frames.
func (r *Renderer) enter(frames int) (volume, modelled float32) {
	r.followTransport()
	r.try(frames)
	volume = math.Float32frombits(r.volume.Load())
	modelled = math.Float32frombits(r.modelled.Load())
	if len(r.model.tones) == 0 {
		r.model.level = modelled
	}
	if r.playing {
		r.schedule() // the phrase that leads on may be another than before
	}
	return volume, modelled
}

// followTransport sees starts and stops. A stop and a start in one go still
// cut the phrase that was under way.
func (r *Renderer) followTransport() {
	t := r.transport.Load()
	if t == r.heard {
		r.dropStale()
		return
	}
	if r.playing {
		r.mix.cut(false)
		r.model.cut()
		r.mix.drone.want(nil)
		r.playing, r.phrase, r.led = false, nil, nil
		r.report(Mark{Kind: Stopped, Frame: r.now, Tempo: r.line.Tempo()})
	}
	r.heard = t
	r.dropStale()
}

// dropStale passes over the phrases that have been replaced.
func (r *Renderer) dropStale() {
	for {
		p, ok := r.queue.Peek()
		if !ok || p.Seq >= r.validFrom.Load() {
			return
		}
		r.queue.Pop()
	}
}

// reachable does what is due now, and returns how many frames, most at the most, can be
// mixed before the next is due.
func (r *Renderer) reachable(most int) int {
	if r.heard%2 == 0 {
		return most
	}
	if !r.playing {
		r.begin(NewTimeline(r.now, MinTempo, r.rate), false)
	}
	for r.playing && r.due <= r.now {
		r.reach()
	}
	if !r.playing {
		return most
	}
	return int(min(int64(most), r.due-r.now))
}

// mixSpan mixes all that sounds into dst, and into right where that is not empty.
func (r *Renderer) mixSpan(dst, right []float32, volume, modelled float32) {
	if len(right) == 0 || !r.mix.sided() {
		contain(dst[:max(r.mix.add(dst, nil, volume), r.model.add(dst, modelled))])
		copy(right, dst)
		return
	}
	n, middle := r.mix.add(dst, right, volume), r.middle[:len(dst)]
	clear(middle)
	if sounded := r.model.add(middle, modelled); sounded > 0 {
		n = max(n, sounded)
		for i, s := range middle[:sounded] {
			dst[i] += s
			right[i] += s
		}
	}
	contain(dst[:n])
	contain(right[:n])
}
