// Package conduct joins a practice session to a renderer: it carries the
// session's effects to the renderer, and what was played and heard back to the
// session. It opens no device and reads no clock: whoever owns those calls
// [Conductor.Tick].
package conduct

import (
	"sync"

	"footing/audio/click"
	"footing/ladder"
)

// Now is what is audible at a moment. In silence Phrase is nil.
type Now struct {
	Phrase *click.Phrase // shared: read only
	// Stroke is the index of the latest stroke in the phrase, −1 before the
	// first.
	Stroke int
	// Part is what the phrase is to the session; its Seq is 0 for a vamp.
	Part  ladder.Part
	Tempo click.Tempo // in force, after any change by hand
	Frame int64       // where the latest stroke lies, or the click ran out, in the renderer's frames
	Start int64       // where the phrase began

	before uint64 // Seq of the phrase before a vamp
}

// Heard is the moment in the words of the session. A vamp is the end of the
// phrase before it.
func (n Now) Heard() ladder.Heard {
	if n.Phrase == nil {
		return ladder.Heard{}
	}
	if n.Phrase.Seq == 0 {
		return ladder.Heard{Seq: n.before, Beat: 1}
	}
	h := ladder.Heard{Seq: n.Phrase.Seq}
	if n.Stroke >= 0 && n.Stroke < len(n.Phrase.Strokes) {
		h.Beat = n.Phrase.Strokes[n.Stroke].At.Floor()
	}
	return h
}

// View is a consistent picture of a session.
type View struct {
	State ladder.State
	Now   Now
	// Version rises with every change of the rest.
	Version uint64
	// Edits counts the changes to the routine that are worth saving.
	Edits uint64
}

// Conductor is safe for use by several goroutines.
type Conductor struct {
	renderer *click.Renderer
	audible  func() int64
	record   func(ladder.Played)

	mu      sync.Mutex
	view    View
	waiting []click.Mark  // rendered and not audible yet, oldest first
	held    *click.Phrase // a phrase for which the ring had no room
	from    uint64        // marks of phrases with a lower Seq are of a click that was stopped
}

// New returns a conductor of a session that feeds renderer. audible says which
// frame of the renderer is audible now; record is called with every rep, in
// order, from the goroutine of the call that closed it, and may be nil.
func New(state ladder.State, renderer *click.Renderer, audible func() int64, record func(ladder.Played)) *Conductor {
	if record == nil {
		record = func(ladder.Played) {}
	}
	return &Conductor{renderer: renderer, audible: audible, record: record, view: View{State: state, Version: 1}}
}

// View returns the session as it is now. It may be called at any rate.
func (c *Conductor) View() View {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.view
}

// Judge gives a verdict on the rep that the player means, by what is audible
// now, and reports how far it reaches.
func (c *Conductor) Judge(v ladder.Verdict) (reach ladder.Reach) {
	c.Tick()
	c.apply(func(at ladder.Heard) ladder.Event {
		e := ladder.Judge{Verdict: v, At: at}
		reach = c.view.State.Reach(e)
		return e
	})
	return reach
}

// Start lets the click run.
func (c *Conductor) Start() { c.Do(ladder.Start{}) }

// Stop ends the click.
func (c *Conductor) Stop() {
	c.Tick()
	c.apply(func(at ladder.Heard) ladder.Event { return ladder.Stop{At: at} })
}

// Leave ends the session and records what is still open.
func (c *Conductor) Leave() {
	c.Tick()
	c.apply(func(at ladder.Heard) ladder.Event { return ladder.Leave{At: at} })
}

// Open goes on with another routine, from the start of a step (index from 0).
func (c *Conductor) Open(r ladder.Routine, step int) {
	c.Tick()
	c.apply(func(at ladder.Heard) ladder.Event { return ladder.Open{Routine: r, Step: step, At: at} })
}

// GoTo moves to another step (index from 0), with its count-in at once when the
// click runs.
func (c *Conductor) GoTo(step int) {
	c.Tick()
	c.apply(func(at ladder.Heard) ladder.Event { return ladder.GoTo{Step: step, At: at} })
}

// Do takes the session through an event that does not depend on what is
// audible.
func (c *Conductor) Do(e ladder.Event) {
	c.apply(func(ladder.Heard) ladder.Event { return e })
}

// Change takes the step under way through edit and, when that is valid, goes
// on with it. It returns what is wrong with the step otherwise.
func (c *Conductor) Change(edit func(ladder.Step) ladder.Step) []ladder.Fault {
	c.mu.Lock()
	step := edit(c.view.State.Step())
	c.mu.Unlock()
	if faults := step.Check(); len(faults) > 0 {
		return faults
	}
	c.Do(ladder.Revise{Step: step})
	return nil
}

func (c *Conductor) apply(event func(ladder.Heard) ladder.Event) {
	c.mu.Lock()
	played := c.do(event(c.view.Now.Heard()))
	c.mu.Unlock()
	for _, p := range played {
		c.record(p)
	}
}

// do reduces and carries out the effects. c.mu is held.
func (c *Conductor) do(e ladder.Event) []ladder.Played {
	var played []ladder.Played
	var effects []ladder.Effect
	c.view.State, effects = ladder.Reduce(c.view.State, e)
	c.view.Version++
	for _, effect := range effects {
		switch effect := effect.(type) {
		case ladder.Play:
			c.play(effect.Phrase)
		case ladder.Run:
			c.renderer.Start()
		case ladder.Halt:
			c.halt(effect.From)
		case ladder.Retempo:
			c.renderer.SetTempo(effect.Tempo, effect.Through)
		case ladder.Record:
			played = append(played, effect.Rep)
		case ladder.Revised:
			c.view.Edits++
		}
	}
	return played
}

func (c *Conductor) play(p click.Phrase) {
	c.held = nil
	if !c.renderer.Replace(p) {
		c.held = &p
	}
}

func (c *Conductor) halt(from uint64) {
	c.renderer.Stop(from)
	c.held, c.from = nil, from
	c.waiting = c.waiting[:0]
	c.view.Now = Now{}
}

// Tick follows the renderer. It must be called a few times in each phrase, and
// as often as the picture should move; it reports whether anything changed.
func (c *Conductor) Tick() bool {
	c.mu.Lock()
	before := c.view.Version
	var played []ladder.Played
	if c.held != nil && c.renderer.Queue(*c.held) {
		c.held = nil
	}
	for {
		m, ok := c.renderer.NextMark()
		if !ok {
			break
		}
		played = append(played, c.rendered(m)...)
	}
	audible, n := c.audible(), 0
	for n < len(c.waiting) && c.waiting[n].Frame <= audible {
		played = append(played, c.heard(c.waiting[n])...)
		n++
	}
	c.waiting = append(c.waiting[:0], c.waiting[n:]...)
	changed := c.view.Version != before
	c.mu.Unlock()
	for _, p := range played {
		c.record(p)
	}
	return changed
}

// rendered takes a mark fresh from the renderer. c.mu is held.
func (c *Conductor) rendered(m click.Mark) []ladder.Played {
	if m.Phrase != nil && m.Phrase.Seq < c.from && m.Phrase.Seq != 0 {
		return nil
	}
	if m.Kind == click.Stopped {
		return nil // our own doing: see halt
	}
	c.waiting = append(c.waiting, m)
	if m.Kind == click.Began {
		return c.do(ladder.Sounding{Seq: m.Phrase.Seq})
	}
	return nil
}

// heard takes a mark that has become audible. c.mu is held.
func (c *Conductor) heard(m click.Mark) []ladder.Played {
	c.view.Version++
	switch m.Kind {
	case click.Began:
		part, _ := c.view.State.Part(m.Phrase.Seq)
		before := c.view.Now.Heard().Seq
		c.view.Now = Now{Phrase: m.Phrase, Stroke: -1, Part: part, Tempo: m.Tempo, Frame: m.Frame, Start: m.Frame, before: before}
	case click.Struck:
		c.view.Now.Stroke, c.view.Now.Tempo, c.view.Now.Frame = m.Stroke, m.Tempo, m.Frame
		if m.Phrase.Strokes[m.Stroke].Slot == 0 && m.Phrase.Seq != 0 {
			return c.do(ladder.Audible{At: c.view.Now.Heard()})
		}
	case click.RanOut:
		c.view.Now = Now{Frame: m.Frame}
		return c.do(ladder.RanOut{})
	}
	return nil
}
