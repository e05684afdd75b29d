package takes

import (
	"context"
	"math/rand/v2"
)

// Sung is a note to perform.
type Sung struct {
	Note
	// Length in seconds, from its beginning to the next one's or to a rest.
	Length float64
}

// Perform plays these notes, in order of time, on the instrument, in the place and with the
// articulation of a spec: what else that says is not looked at, but for Gate, Seed and
// SoundFont. A slur ends where no note follows. It fails as [Make] does.
func Perform(ctx context.Context, s Spec, sung []Sung) (Take, error) {
	if s.Gate == 0 {
		s.Gate = 0.75
	}
	if s.SoundFont == "" {
		s.SoundFont = SoundFont
	}
	rng := rand.New(rand.NewPCG(s.Seed, 0x5eed))
	events := append([]event{program(s.Instrument.Program), control(7, 110)}, bendRange(24)...)
	notes := make([]Note, len(sung))
	held := 0
	for i, n := range sung {
		notes[i] = n.Note
		end, follows := n.Seconds+n.Length, false
		if i+1 < len(sung) && sung[i+1].Seconds <= end+0.03 {
			end, follows = sung[i+1].Seconds, true
		}
		switch {
		case s.Articulation == Slurred && held != 0:
			events = append(events, bend(n.Seconds, float64(n.Midi-held)))
		case s.Articulation == Slurred:
			held = n.Midi
			events = append(events, bend(n.Seconds-0.001, 0), noteOn(n.Seconds, n.Midi, 90))
		default:
			if s.Articulation == Tongued {
				end = min(end, n.Seconds+s.Gate*n.Length)
			}
			events = append(events, noteOn(n.Seconds, n.Midi, 80+i*7%23), noteOff(end, n.Midi))
		}
		if held != 0 && !follows {
			events = append(events, noteOff(end, held))
			held = 0
		}
	}
	return sounded(ctx, s, notes, events, rng)
}
