package conduct

import (
	"footing/audio/click"
	"footing/ladder"
)

// owner is what the goroutine of a [Session] holds: the session and its end of
// the renderer. Nothing else touches it.
type owner struct {
	renderer *click.Renderer
	audible  func() int64
	tones    Tones
	aloud    Aloud
	sounds   Sounds

	view    View
	waiting []click.Mark  // rendered and not audible yet, oldest first
	held    *click.Phrase // a phrase for which the ring had no room
	from    uint64        // marks of phrases with a lower Seq are of a click that was stopped

	records []ladder.Played // not handed over yet, oldest first
}

// do reduces and carries out the effects.
func (o *owner) do(e ladder.Event) {
	var effects []ladder.Effect
	o.view.State, effects = ladder.Reduce(o.view.State, e)
	o.view.Version++
	perform(effects, o)
}

// play, run, halt, retempo, record and revise make the owner a performer.
func (o *owner) play(p click.Phrase) {
	s := o.view.State
	o.held, p = nil, o.sounds.attach(o.aloud.attach(o.tones.attach(p, s), s), s)
	if !o.renderer.Replace(p) {
		o.held = &p
	}
}

func (o *owner) run() { o.renderer.Start() }

func (o *owner) halt(from uint64) {
	o.renderer.Stop(from)
	o.held, o.from = nil, from
	o.waiting = o.waiting[:0]
	o.view.Now = Now{}
}

func (o *owner) retempo(t click.Tempo, through uint64) { o.renderer.SetTempo(t, through) }

func (o *owner) record(rep ladder.Played) { o.records = append(o.records, rep) }

func (o *owner) revise() { o.view.Edits++ }

// follow follows the renderer, and reports whether anything changed.
func (o *owner) follow() bool {
	before := o.view.Version
	if o.held != nil && o.renderer.Queue(*o.held) {
		o.held = nil
	}
	for {
		m, ok := o.renderer.NextMark()
		if !ok {
			break
		}
		o.rendered(m)
	}
	audible, n := o.audible(), 0
	for n < len(o.waiting) && o.waiting[n].Frame <= audible {
		o.heard(o.waiting[n])
		n++
	}
	o.waiting = append(o.waiting[:0], o.waiting[n:]...)
	return o.view.Version != before
}

// rendered takes a mark fresh from the renderer.
func (o *owner) rendered(m click.Mark) {
	if m.Phrase != nil && m.Phrase.Seq < o.from && m.Phrase.Seq != 0 {
		return
	}
	if m.Kind == click.Stopped {
		return // our own doing: see halt
	}
	o.waiting = append(o.waiting, m)
	if m.Kind == click.Began {
		o.do(ladder.Sounding{Seq: m.Phrase.Seq})
	}
}

// heard takes a mark that has become audible.
func (o *owner) heard(m click.Mark) {
	now := &o.view.Now
	o.view.Version++
	switch m.Kind {
	case click.Began:
		part, _ := o.view.State.Part(m.Phrase.Seq)
		before := now.Heard().Seq
		*now = Now{Phrase: m.Phrase, Stroke: -1, Part: part, Tempo: m.Tempo, Frame: m.Frame, Start: m.Frame, before: before}
	case click.Struck:
		now.Stroke, now.Tempo, now.Frame = m.Stroke, m.Tempo, m.Frame
		o.do(ladder.Audible{At: now.Heard()})
	case click.RanOut:
		*now = Now{Frame: m.Frame}
		o.do(ladder.RanOut{})
	}
}
