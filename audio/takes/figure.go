package takes

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"footing/audio/timbre"
)

// Faded notes are slurs of real players: one held note is faded into the next
// over 6 to 30 ms.
const Faded Articulation = "faded"

// Mixed notes are tongued but for those that [Figure.Joined] names, which are bent
// into.
const Mixed Articulation = "mixed"

// Figure is a few notes that are played over and over, as one practises.
type Figure struct {
	Instrument   Instrument
	Bank         string // path of a sound font, or [MadeUp]
	Articulation Articulation
	Gate         float64      // the sounding share of a tongued note, 0.75 when 0
	Joined       map[int]bool // slots, counted from 1, that are slurred into where it is Mixed
	// Keys are semitones above the instrument's lowest note, one a slot.
	Keys []int
	// BPM is the tempo that is told, Slots notes a beat; the figure is played
	// Reps times with Breath beats of rest after each.
	BPM    float64
	Slots  int
	Reps   int
	Breath float64
	// ScatterMs is the standard deviation of each note's place, EntryMs that of
	// each rep's, and LateMs moves a slot of the figure (counted from 1) in every
	// rep.
	ScatterMs, EntryMs float64
	LateMs             map[int]float64
	// Faster is the tempo that is played as a multiple of what is told, 1 when 0.
	// Drift is by what share the notes lie farther apart at the end than at the
	// beginning; Rush by what share each rep goes slower than the click, beginning
	// with it again; Restless adds up to so many seconds to each breath.
	Faster, Drift, Rush, Restless float64
	// VibratoCents is half its width, at 5.5 Hz.
	VibratoCents float64
	Room         Room
	// Click is the timbre that sounds along on every slot, as loud at its loudest
	// as ClickShare of the notes' peak.
	Click      string
	ClickShare float64
	Seed       uint64
}

// countIn beats are left before the first note.
const countIn = 2

// PlayFigure plays it. It fails when fluidsynth or its samples are missing.
func PlayFigure(ctx context.Context, f Figure) (Take, error) {
	rng := rand.New(rand.NewPCG(f.Seed, 0xf19))
	notes := f.written(rng)
	var samples []float32
	var err error
	if f.Bank == MadeUp {
		samples = madeUp(f, notes, rng)
	} else if samples, err = sampled(ctx, f, notes, rng); err != nil {
		return Take{}, fmt.Errorf("playing %s: %w", f, err)
	}
	normalise(samples)
	if f.Room.Metres > 0 {
		samples = convolved(samples, f.Room.impulse(rng))
	}
	if f.Click != "" {
		if err := f.addClick(samples, rng); err != nil {
			return Take{}, err
		}
	}
	normalise(samples)
	for i := range samples {
		samples[i] += float32(rng.NormFloat64() * 1e-4) // a microphone is never silent
	}
	return Take{Samples: samples, Notes: notes}, nil
}

// First is where the first note of the first rep is meant, in seconds.
func (f Figure) First() float64 { return Lead + countIn*60/f.BPM }

// Period is from rep to rep as it is told, in seconds.
func (f Figure) Period() float64 {
	return 60 / f.BPM * (float64(len(f.Keys))/float64(f.Slots) + f.Breath)
}

// written lays the notes out in time.
func (f Figure) written(rng *rand.Rand) []Note {
	faster := f.Faster
	if faster == 0 {
		faster = 1
	}
	step := 60 / f.BPM / float64(f.Slots) / faster
	at := f.First()
	var notes []Note
	for rep := range f.Reps {
		wide := step * (1 + f.Drift*float64(rep)/float64(max(1, f.Reps-1)))
		entry := bounded(rng, f.EntryMs) / 1000
		begin := at
		for slot, key := range f.Keys {
			notes = append(notes, Note{
				Seconds: begin + entry + float64(slot)*wide*(1+f.Rush) + (bounded(rng, f.ScatterMs)+f.LateMs[slot+1])/1000,
				Midi:    f.Instrument.Low + key, Slot: slot + 1, Rep: rep + 1,
			})
		}
		at += wide*(float64(len(f.Keys))+f.Breath*float64(f.Slots)) + rng.Float64()*f.Restless
	}
	return notes
}

// bounded is a normal deviation, no more than twice its standard deviation.
func bounded(rng *rand.Rand, ms float64) float64 {
	return ms * max(-2, min(2, rng.NormFloat64()))
}

func (f Figure) vibrato() func(t float64) float64 {
	return func(t float64) float64 { return f.VibratoCents / 100 * math.Sin(2*math.Pi*5.5*t) }
}

// soundings are the notes as they are blown.
func (f Figure) soundings(notes []Note, rng *rand.Rand) (list []sounding) {
	for i, n := range notes {
		t := turn{n.Seconds, float64(n.Midi), 0.006 + 0.024*rng.Float64()}
		again := i > 0 && notes[i-1].Rep == n.Rep || f.Breath == 0 && i > 0
		if again && f.joined(n.Slot) && notes[i-1].Midi != n.Midi {
			s := &list[len(list)-1]
			s.turns = append(s.turns, t)
			s.end = f.letGo(notes, i)
			continue
		}
		list = append(list, sounding{at: n.Seconds, end: f.letGo(notes, i), turns: []turn{t}, level: 0.6 + 0.18*rng.Float64()})
	}
	return list
}

// letGo is when a note ends that is not slurred on from, in seconds.
func (f Figure) letGo(notes []Note, i int) float64 {
	step := 60 / f.BPM / float64(f.Slots)
	if f.Articulation == Tongued || f.Articulation == Mixed {
		gate := f.Gate
		if gate == 0 {
			gate = 0.75
		}
		step *= gate
	}
	end := notes[i].Seconds + step
	if i+1 < len(notes) {
		end = min(end, notes[i+1].Seconds)
	}
	return end
}

// joined tells whether a slot is slurred into.
func (f Figure) joined(slot int) bool {
	return f.Articulation == Slurred || f.Articulation == Faded || f.Articulation == Mixed && f.Joined[slot]
}

// addClick has the click sound along, from a loudspeaker in the room.
func (f Figure) addClick(x []float32, rng *rand.Rand) error {
	kit, err := timbre.Make(f.Click, Rate)
	if err != nil {
		return err
	}
	peak := float32(0)
	for _, v := range x {
		peak = max(peak, v, -v)
	}
	y := make([]float32, len(x))
	step := 60 / f.BPM / float64(f.Slots)
	for i := 0; Lead+float64(i)*step < float64(len(x))/Rate; i++ {
		sound := kit.Slot
		if i%f.Slots == 0 {
			sound = kit.Beat
		}
		at := int(math.Round((Lead + float64(i)*step) * Rate))
		for n := range min(len(sound), len(y)-at) {
			y[at+n] += sound[n]
		}
	}
	if r := f.Room; r.Metres > 0 {
		r.Metres = 1
		y = convolved(y, r.impulse(rng))
	}
	loudest := float32(0)
	for _, v := range y {
		loudest = max(loudest, v, -v)
	}
	for i := range x {
		x[i] += y[i] * float32(f.ClickShare) * peak / loudest
	}
	return nil
}
