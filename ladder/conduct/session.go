package conduct

import (
	"context"
	"sync/atomic"
	"time"

	"footing/audio/click"
	"footing/ladder"
)

// Session is the owner of a practice session. The goroutine in [Session.Run]
// alone holds the state; it waits for nobody but those who ask it something,
// and for nothing slow. All methods may be called from any goroutine once Run
// was started, and answer within microseconds; after its end they do nothing.
type Session struct {
	asked   chan func(*owner)
	ended   chan struct{} // closed when Run returns
	view    atomic.Pointer[View]
	records chan ladder.Played
	first   *owner // until Run takes it
}

// recordsHeld is how many reps wait in the channel itself. More wait behind it,
// without any limit.
const recordsHeld = 64

// New returns a session that feeds renderer; it lives once [Session.Run] runs.
// audible says which frame of the renderer is audible now.
func New(state ladder.State, renderer *click.Renderer, audible func() int64) *Session {
	s := &Session{
		asked: make(chan func(*owner)), ended: make(chan struct{}),
		records: make(chan ladder.Played, recordsHeld),
	}
	s.first = &owner{renderer: renderer, audible: audible, view: View{State: state}}
	s.publish(s.first)
	return s
}

// WithTones is the session with a model to sound; without, [ladder.Model] lets
// nothing be heard. It must be called before [Session.Run].
func (s *Session) WithTones(t Tones) *Session {
	s.first.tones = t
	return s
}

// WithAloud is the session with a count; without, only the syllables of the strokes
// are shown. It must be called before [Session.Run].
func (s *Session) WithAloud(a Aloud) *Session {
	s.first.aloud = a
	return s
}

// WithSounds is the session with sounds for each step; without, all sound alike. It
// must be called before [Session.Run].
func (s *Session) WithSounds(f Sounds) *Session {
	s.first.sounds = f
	return s
}

// Run owns the session until ctx ends. Then it leaves the session, as
// [Session.Leave] does, hands over every record that is still to be taken, and
// closes the channel of records. It follows the renderer at every
// tick; ticks must come a few times in each phrase (the shortest is a beat at 400
// bpm, 150 ms), from a channel or by [Session.Tick], for which ticks may be nil.
// Run must be called once.
func (s *Session) Run(ctx context.Context, ticks <-chan time.Time) {
	o := s.first
	for {
		// What the channel has no room for is offered along with the rest.
		var overflow chan<- ladder.Played
		var oldest ladder.Played
		if len(o.records) > 0 {
			overflow, oldest = s.records, o.records[0]
		}
		select {
		case <-ctx.Done():
			s.end(o)
			return
		case ask := <-s.asked:
			ask(o)
		case <-ticks:
			o.follow()
		case overflow <- oldest:
			o.records = o.records[1:]
		}
		s.publish(o)
	}
}

// end leaves the session and hands over what is still to be taken.
func (s *Session) end(o *owner) {
	o.follow()
	o.do(ladder.Leave{At: o.view.Now.Heard()})
	s.publish(o)
	close(s.ended)
	for _, rep := range o.records {
		s.records <- rep
	}
	close(s.records)
}

// publish shows what became of the session: the view first, so that whoever
// receives a record finds it there.
func (s *Session) publish(o *owner) {
	if v := s.view.Load(); v == nil || v.Version != o.view.Version {
		view := o.view
		s.view.Store(&view)
	}
	for len(o.records) > 0 {
		select {
		case s.records <- o.records[0]:
			o.records = o.records[1:]
			continue
		default:
		}
		break
	}
}

// View returns the session as it is now. It may be called at any rate.
func (s *Session) View() View { return *s.view.Load() }

// Records gives every rep once, in order, however slow the receiver is. It must
// be received from until it is closed, which follows the end of [Session.Run].
func (s *Session) Records() <-chan ladder.Played { return s.records }

// ask lets the owner run f and waits until it has. It reports false when the
// session has ended.
func (s *Session) ask(f func(*owner)) bool {
	done := make(chan struct{})
	select {
	case s.asked <- func(o *owner) { f(o); s.publish(o); close(done) }:
		<-done
		return true
	case <-s.ended:
		return false
	}
}

// Do takes the session through an event. Where the event has a moment (At), it
// is what is audible now.
func (s *Session) Do(e ladder.Event) {
	s.ask(func(o *owner) {
		o.follow()
		o.do(at(e, o.view.Now.Heard()))
	})
}

// at is the event at a moment.
func at(e ladder.Event, now ladder.Heard) ladder.Event {
	switch e := e.(type) {
	case ladder.Judge:
		e.At = now
		return e
	case ladder.Stop:
		e.At = now
		return e
	case ladder.Leave:
		e.At = now
		return e
	case ladder.GoTo:
		e.At = now
		return e
	case ladder.Open:
		e.At = now
		return e
	}
	return e
}

// Judge gives a verdict on the rep that the player means, by what is audible
// now, and reports how far it reaches.
func (s *Session) Judge(v ladder.Verdict) (reach ladder.Reach) {
	s.ask(func(o *owner) {
		o.follow()
		e := ladder.Judge{Verdict: v, At: o.view.Now.Heard()}
		reach = o.view.State.Reach(e)
		o.do(e)
	})
	return reach
}

// Change takes the step under way through edit and, when that is valid, goes
// on with it. It returns what is wrong with the step otherwise. edit runs on the
// owner's goroutine: it must not call the session.
func (s *Session) Change(edit func(ladder.Step) ladder.Step) (faults []ladder.Fault) {
	s.ask(func(o *owner) {
		step := edit(o.view.State.Step())
		if faults = step.Check(); len(faults) == 0 {
			o.do(ladder.Revise{Step: step})
		}
	})
	return faults
}

// Start lets the click run.
func (s *Session) Start() { s.Do(ladder.Start{}) }

// Stop ends the click.
func (s *Session) Stop() { s.Do(ladder.Stop{}) }

// Leave ends the session and records what is still open.
func (s *Session) Leave() { s.Do(ladder.Leave{}) }

// Open goes on with another routine, from the start of a step (index from 0).
func (s *Session) Open(r ladder.Routine, step int) { s.Do(ladder.Open{Routine: r, Step: step}) }

// GoTo moves to another step (index from 0), with its count-in at once when the
// click runs.
func (s *Session) GoTo(step int) { s.Do(ladder.GoTo{Step: step}) }

// Tick follows the renderer, for a picture that is to be as new as can be. It
// reports whether anything changed.
func (s *Session) Tick() (changed bool) {
	s.ask(func(o *owner) { changed = o.follow() })
	return changed
}
