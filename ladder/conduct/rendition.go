package conduct

import (
	"context"
	"fmt"
	"iter"
	"slices"

	"footing/audio/click"
	"footing/ladder"
)

// Place names a frame of a routine that is played hands free: where a rung
// begins, or a rep.
type Place struct {
	Frame int64
	Part  ladder.Part
	Rep   int // of the rung, from 1; 0 where the rung begins
}

// Label names the place: "Weir Street run, 76 bpm", or "76 bpm, rep 3".
func (p Place) Label() string {
	if p.Rep == 0 {
		return fmt.Sprintf("%s, %s bpm", p.Part.Name, p.Part.Tempo)
	}
	return fmt.Sprintf("%s bpm, rep %d", p.Part.Tempo, p.Rep)
}

// Rendition is a routine that is played hands free to a sink instead of a
// device.
type Rendition struct {
	Routine ladder.Routine
	Rate    int // frames a second
	Kit     *click.Kit
	Volume  float32
	// Model says in which reps the model sounds; ladder.ModelOnce renders one
	// pass through the first step's chunk, and no more. Tones are its notes, Wind
	// is its sound and ModelLevel its level, 0 to 1.
	Model      ladder.ModelMode
	Tones      Tones
	Wind       *click.Wind
	ModelLevel float32
	Aloud      Aloud  // nil where nothing is spoken, and every slot counted
	Sounds     Sounds // nil where all steps sound alike
	// Begins is what is known of a step's notes, as [ladder.Step.Begins]; nil where it is
	// nothing.
	Begins func(ladder.Step) []click.Beats
	// Stereo has Sink take two channels, interleaved.
	Stereo bool
	// Sink takes the next samples. It must not keep them.
	Sink func([]float32) error
	// Kept takes, in place of Sink, those that come again: see [click.Renderer.RenderSpan].
	// It may be nil.
	Kept func([]float32) error
	// Mark is told of every rung and rep, in order, before the samples at its
	// frame have gone to Sink or shortly after. It may be nil.
	Mark func(Place)
}

// Known is the routine, with what is known of its steps' notes.
func (t Rendition) Known() ladder.Routine {
	if t.Begins == nil {
		return t.Routine
	}
	out := t.Routine
	out.Steps = slices.Clone(out.Steps)
	for i, step := range out.Steps {
		out.Steps[i].Begins = t.Begins(step)
	}
	return out
}

// spanSeconds is the most that goes to a sink at once. It is longer than the ramp to a
// volume, and far shorter than what a renderer's ring holds.
const spanSeconds = 0.5

// Render plays the whole of [HandsFree] as fast as the sink takes it. It ends
// with the last phrase, and at most 80 ms later where a click still rings, or when what
// is spoken or a drone has ended. It
// returns the number of frames, and the error of ctx or of the sink.
func (t Rendition) Render(ctx context.Context) (int64, error) {
	r := click.NewRenderer(t.Rate, t.Kit)
	r.SetVolume(t.Volume)
	r.SetWind(t.Wind)
	r.SetModelLevel(t.ModelLevel)
	channels := 1
	if t.Stereo {
		channels = 2
	}
	block := make([]float32, int(spanSeconds*float64(t.Rate))*channels)
	r.RenderMono(block) // in silence, until the volume has been reached
	skip := r.Frames()
	next, stop := iter.Pull2(counted(t.Known(), t.Model, t.Tones, t.Aloud, t.Sounds))
	defer stop()
	f := feed{renderer: r, next: next, marks: marker{mark: t.Mark, skip: skip}}
	f.fill()
	r.Start()
	for {
		if err := ctx.Err(); err != nil {
			return r.Frames() - skip, err
		}
		at := r.Frames()
		span, kept := r.RenderSpan(block, channels)
		out := span
		end, ended := f.follow()
		if ended {
			out = span[:ring(span, int(end-at)*channels)]
			out = span[:(len(out)+channels-1)/channels*channels]
		}
		sink := t.Sink
		if kept && t.Kept != nil {
			sink = t.Kept
		}
		if err := sink(out); err != nil {
			return r.Frames() - skip, err
		}
		if ended && len(out) < len(span) {
			return at - skip + int64(len(out)/channels), nil
		}
		f.fill()
	}
}

// ring is how many samples to keep: up to end, or past it to the last that is
// not zero.
func ring(block []float32, end int) int {
	n := len(block)
	for n > max(0, end) && block[n-1] == 0 {
		n--
	}
	return n
}

// feed keeps a renderer's ring full of the phrases to come.
type feed struct {
	renderer *click.Renderer
	next     func() (ladder.Part, click.Phrase, bool)
	marks    marker
	held     *click.Phrase // for which the ring had no room
	parts    []ladder.Part // of the phrases that have not begun, oldest first
	over     bool          // no phrase is to come
	ended    bool
	end      int64 // the frame at which the click ended
}

// fill queues phrases until the ring has no more room: blocks are far shorter
// than what it holds.
func (f *feed) fill() {
	for !f.over {
		if f.held == nil {
			part, phrase, ok := f.next()
			if !ok {
				f.over = true
				return
			}
			f.parts, f.held = append(f.parts, part), &phrase
		}
		if !f.renderer.Queue(*f.held) {
			return
		}
		f.held = nil
	}
}

// follow tells the marker of what began, and where the click ended once it has.
func (f *feed) follow() (end int64, ended bool) {
	for {
		m, ok := f.renderer.NextMark()
		switch {
		case !ok:
			return f.end, f.ended
		case m.Kind == click.Began:
			f.marks.began(m.Frame, f.parts[0])
			f.parts = f.parts[1:]
		case m.Kind == click.RanOut:
			f.ended, f.end = true, m.Frame
		}
	}
}

// marker tells of rungs and reps as they begin.
type marker struct {
	mark func(Place)
	skip int64
	rung ladder.Part // the part with which the latest rung began
	rep  int
}

func (m *marker) began(frame int64, part ladder.Part) {
	if m.mark == nil || part.Kind == click.Breath {
		return
	}
	if part.Tempo != m.rung.Tempo || part.Step != m.rung.Step {
		m.rung, m.rep = part, 0
		m.mark(Place{Frame: frame - m.skip, Part: part})
	}
	if part.Kind == click.Rep {
		m.rep++
		m.mark(Place{Frame: frame - m.skip, Part: part, Rep: m.rep})
	}
}
