package conduct

import (
	"math"

	"footing/audio/click"
	"footing/ladder"
)

// Percussion is the keys of General MIDI's percussion that a click is written with.
type Percussion struct{ Accent, Beat, Slot int }

// The keys are those of General MIDI level 1, whose map begins at 35: the two wood
// blocks, and a cowbell with claves and a side stick.
var (
	WoodBlocks = Percussion{Accent: 76, Beat: 76, Slot: 77}
	Cowbell    = Percussion{Accent: 56, Beat: 75, Slot: 37}
)

// ranked is the key of a timbre that bar lines, beats or slots have of their own: each
// another, so that they are told apart as they are in sound (General MIDI level 1; which is
// like which is common practice, no source).
var ranked = map[string]int{
	"wood": 76, "metal": 56, "flint": 75, "felt": 77, "skin": 61, "brass": 81, "bone": 37, "cork": 64,
}

func (p Percussion) key(v click.Voice) int {
	switch v {
	case click.AccentVoice:
		return p.Accent
	case click.BeatVoice:
		return p.Beat
	}
	return p.Slot
}

// keyOf is the key of a stroke of a step.
func (p Percussion) keyOf(step *ladder.Step, s *click.Stroke) int {
	if key, ok := ranked[step.Sounds.Of(s.Rank)]; ok {
		return key
	}
	return p.key(s.Voice)
}

// velocities are the strengths of the marks from silence to f, and modelVelocity is
// that of the model at full level (common practice, no source).
var velocities = [...]int{0, 40, 64, 88, 112}

const modelVelocity = 80

// velocity is the strength of a mark in a step. A level of its own is one of 40 dB for
// each decade of velocity (the curve recommended by General MIDI level 2 and DLS, from
// memory), which is how far the usual ones lie apart.
func velocity(step *ladder.Step, d click.Dynamics) int {
	l := step.Sounds.Levels[d]
	if !l.Given {
		return velocities[d]
	}
	return max(int(math.Round(float64(velocities[click.Forte])*math.Pow(10, float64(l.DB)/40))), 1)
}
