package conduct

import (
	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
)

// Sounds makes what the phrases of a step sound with, nil where that is as the player
// has it. It is called on the goroutine that feeds the click, for each phrase, and must
// be quick.
type Sounds func(ladder.Step) *click.Sounds

// NewSounds makes sounds at a rate, which a step's own make anew only where they are
// others than before. a is the A of drones that say none, in Hz, asked for each phrase.
// What cannot be made is as the player has it. What it returns is for one goroutine.
func NewSounds(rate int, a func() float64) Sounds {
	m := soundMaker{rate: rate, a: a, kits: map[string]*click.Kit{}}
	return m.of
}

// soundMaker keeps what was made.
type soundMaker struct {
	rate int
	a    func() float64
	kits map[string]*click.Kit

	last struct { // what was made last, and for what
		of   ladder.Sounds
		a    float64
		made *click.Sounds
	}
	tuned struct { // the drone that was made last, at full level
		cents click.Cents
		a     float64
		drone *click.Drone
	}
}

func (m *soundMaker) of(step ladder.Step) *click.Sounds {
	s := step.Sounds
	if !s.Drone.On() {
		s.Drone = ladder.Drone{}
	}
	if s == (ladder.Sounds{}) {
		return nil
	}
	a := float64(s.Drone.A)
	if a == 0 {
		a = m.a()
	}
	if l := &m.last; l.made == nil || l.of != s || l.a != a {
		l.of, l.a, l.made = s, a, m.make(s, a)
	}
	return m.last.made
}

func (m *soundMaker) make(s ladder.Sounds, a float64) *click.Sounds {
	out := &click.Sounds{Sides: s.Stereo.Sides()}
	for r := range click.Rank(click.Ranks) {
		out.Kits[r] = m.kit(s.Of(r))
	}
	for d, l := range s.Levels {
		if l.Given {
			out.Gains[d] = ladder.Gain(l.DB)
		}
	}
	if s.Drone.On() {
		if d := m.drone(click.Cents(s.Drone.Note.Cents()), a); d != nil {
			level := *d
			level.Level = ladder.Gain(s.Drone.Level)
			out.Drone = &level
		}
	}
	return out
}

func (m *soundMaker) kit(name string) *click.Kit {
	kit := m.kits[name]
	if kit == nil && name != "" {
		if made, err := timbre.Make(name, m.rate); err == nil {
			kit = &made
			m.kits[name] = kit
		}
	}
	return kit
}

func (m *soundMaker) drone(c click.Cents, a float64) *click.Drone {
	if t := &m.tuned; t.drone == nil || t.cents != c || t.a != a {
		made, err := timbre.MakeDrone(c, a, m.rate)
		if err != nil {
			return nil
		}
		t.cents, t.a, t.drone = c, a, made
	}
	return m.tuned.drone
}

// attach is the phrase, planned in s, as its step sounds.
func (f Sounds) attach(p click.Phrase, s ladder.State) click.Phrase {
	if part, ok := s.Part(p.Seq); f != nil && ok {
		p.Sounds = f(s.Routine.Steps[part.Step])
	}
	return p
}
