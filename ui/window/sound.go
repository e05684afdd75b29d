package window

import (
	"slices"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/conduct"
)

// sound is the timbre and the level of the click. Kits are made when they are
// first used and kept.
type sound struct {
	renderer *click.Renderer
	set      settings

	name  string
	level int
	kits  map[string]*click.Kit
	steps conduct.Sounds // for what is on trial
}

func newSound(r *click.Renderer, set settings) *sound {
	s := &sound{renderer: r, set: set, kits: map[string]*click.Kit{}}
	s.steps = conduct.NewSounds(r.Rate(), func() float64 { return float64(set.modelA()) })
	name := set.sound()
	if !slices.Contains(timbre.Names(), name) {
		name = timbre.Names()[0]
	}
	s.use(name)
	s.SetLevel(set.level())
	return s
}

func (s *sound) Names() []string { return timbre.Names() }

func (s *sound) Describe(name string) string { return timbre.Describe(name) }

func (s *sound) Name() string { return s.name }

// Use changes the timbre, and lets it be heard where the click does not run. A name
// that cannot be made changes nothing.
func (s *sound) Use(name string) {
	s.use(name)
	s.renderer.Preview()
}

// try sounds a stroke of a step once, or its drone, where the click does not run.
func (s *sound) try(step ladder.Step, t click.Trial) {
	t.Sounds = s.steps(step)
	s.renderer.Try(t)
}

func (s *sound) use(name string) {
	kit, ok := s.kits[name]
	if !ok {
		made, err := timbre.Make(name, s.renderer.Rate())
		if err != nil {
			return
		}
		kit = &made
		s.kits[name] = kit
	}
	s.name = name
	s.renderer.SetKit(kit)
	if s.set.sound() != name {
		s.set.setSound(name)
	}
}

func (s *sound) Level() int { return s.level }

// SetLevel sets the level in percent of the loudest, which lies under full
// scale by construction. Loudness follows the square, so that the steps sound
// about even (common practice, no source).
func (s *sound) SetLevel(percent int) {
	s.level = min(max(percent, 0), 100)
	share := float32(s.level) / 100
	s.renderer.SetVolume(share * share)
	if s.set.level() != s.level {
		s.set.setLevel(s.level)
	}
}
