package export

import (
	"slices"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/notes"
)

// PercussionOf is what a timbre of the click becomes in MIDI: wood blocks, or a cowbell
// with claves and a side stick for what rings or is hard.
func PercussionOf(timbre string) conduct.Percussion {
	switch timbre {
	case "metal", "flint", "brass", "bone":
		return conduct.Cowbell
	}
	return conduct.WoodBlocks
}

// programs are the instruments of General MIDI level 1, counted from 0, by words of a
// name (General MIDI Level 1 Sound Set; what has none there takes its nearest relation:
// common practice, no source). The longest word that is in a name tells.
var programs = map[string]int{
	"piccolo": 72, "flute": 73, "recorder": 74, "oboe": 68, "english horn": 69, "cor anglais": 69, "bassoon": 70,
	"clarinet": 71, "soprano sax": 64, "alto sax": 65, "tenor sax": 66, "baritone sax": 67, "sax": 65,
	"trumpet": 56, "cornet": 56, "flugelhorn": 56, "trombone": 57, "euphonium": 58, "tuba": 58, "horn": 60,
}

// ocarina is the plainest of its winds, for what is not known.
const ocarina = 79

// ProgramOf is the instrument of General MIDI, from 0, that an instrument's name, or a
// wind's of a model, asks for.
func ProgramOf(name string) int {
	best, program := "", ocarina
	for word, p := range programs {
		if len(word) > len(best) && strings.Contains(strings.ToLower(name), word) {
			best, program = word, p
		}
	}
	return program
}

// softened is tones at a part of their level, by the name of the step.
func softened(tones conduct.Tones, by map[string]float32) conduct.Tones {
	if tones == nil {
		return nil
	}
	return func(s ladder.Step, rep click.Phrase) []click.Tone {
		out := slices.Clone(tones(s, rep))
		for i := range out {
			out[i].Level *= by[s.Name]
		}
		return out
	}
}

// Notated is a step with its notes.
type Notated struct {
	Step  ladder.Step
	Notes *notes.Notes
}

// Sounding is the tones of steps whose notes are known, at concert pitch or as written.
func Sounding(all []Notated, written bool) conduct.Tones {
	return func(step ladder.Step, rep click.Phrase) []click.Tone {
		for _, n := range all {
			if notes.Alike(n.Step, step) {
				return n.Notes.Tones(step, rep, written)
			}
		}
		return nil
	}
}
