package conduct

import (
	"context"

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

// Take is a routine that is played hands free to a sink instead of a device.
type Take struct {
	Routine ladder.Routine
	Rate    int // frames a second
	Kit     *click.Kit
	Volume  float32
	// Sink takes the next mono samples. It must not keep them.
	Sink func([]float32) error
	// Mark is told of every rung and rep, in order, before the samples at its
	// frame have gone to Sink or shortly after. It may be nil.
	Mark func(Place)
}

// HandsFree plays the whole routine, every rep taken for clean, as fast as the
// sink takes it. It ends with the last phrase, and at most 80 ms later where a
// click still rings. It returns the number of frames, and the error of ctx or
// of the sink.
func HandsFree(ctx context.Context, t Take) (int64, error) {
	r := click.NewRenderer(t.Rate, t.Kit)
	r.SetVolume(t.Volume)
	// Blocks are far shorter than the shortest phrase, a beat at 400 bpm, so
	// that the session is always asked in time for what follows.
	block := t.Rate / 20
	mono := make([]float32, block)
	r.RenderMono(mono) // in silence, until the volume has been reached
	skip := r.Frames()
	c := New(ladder.New(t.Routine, true), r, r.Frames, nil)
	c.Start()
	marks := marker{mark: t.Mark, skip: skip}
	for {
		if err := ctx.Err(); err != nil {
			return r.Frames() - skip, err
		}
		at := r.Frames()
		r.RenderMono(mono)
		c.Tick()
		v := c.View()
		marks.follow(v)
		out := mono
		if !v.State.Running {
			out = mono[:ring(mono, int(v.Now.Frame-at))]
		}
		if err := t.Sink(out); err != nil {
			return r.Frames() - skip, err
		}
		if len(out) < len(mono) {
			return at - skip + int64(len(out)), nil
		}
	}
}

// ring is how many samples to keep: up to end, or past it to the last that is
// not zero.
func ring(mono []float32, end int) int {
	n := len(mono)
	for n > max(0, end) && mono[n-1] == 0 {
		n--
	}
	return n
}

// marker tells of rungs and reps as a session comes to them.
type marker struct {
	mark func(Place)
	skip int64
	seq  uint64      // of the phrase seen last
	rung ladder.Part // the part with which the latest rung began
	rep  int
}

func (m *marker) follow(v View) {
	n := v.Now
	if n.Phrase == nil || n.Phrase.Seq == m.seq {
		return
	}
	m.seq = n.Phrase.Seq
	if m.mark == nil || n.Part.Kind == click.Breath {
		return
	}
	if n.Part.Tempo != m.rung.Tempo || n.Part.Step != m.rung.Step || m.rung.Seq == 0 {
		m.rung, m.rep = n.Part, 0
		m.mark(Place{Frame: n.Start - m.skip, Part: n.Part})
	}
	if n.Part.Kind == click.Rep {
		m.rep++
		m.mark(Place{Frame: n.Start - m.skip, Part: n.Part, Rep: m.rep})
	}
}

// Length is how many frames [HandsFree] plays up to the end of the last phrase,
// found without rendering anything.
func Length(r ladder.Routine, rate int) int64 {
	s := ladder.New(r, true)
	line := click.NewTimeline(0, click.MinTempo, rate)
	var waiting *click.Phrase
	step := func(e ladder.Event) {
		var effects []ladder.Effect
		waiting = nil
		s, effects = ladder.Reduce(s, e)
		for _, effect := range effects {
			if play, ok := effect.(ladder.Play); ok {
				waiting = &play.Phrase
			}
		}
	}
	for step(ladder.Start{}); waiting != nil; {
		p := waiting
		line.Change(click.Beats{}, p.Tempo)
		line.Advance(p.Length)
		if p.Final {
			break
		}
		step(ladder.Sounding{Seq: p.Seq})
	}
	return line.At(click.Beats{}).Round()
}
