package takes

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"
)

// MadeUp in place of a sound font's path is a bank that needs no file: harmonics
// added up, with attacks, breath and releases of their own.
const MadeUp = "made up"

// voice is an instrument of the made-up bank.
type voice struct {
	even    float64 // strength of the even harmonics
	slope   float64 // harmonic k has the amplitude k^-slope
	formant float64 // Hz, where it is strongest; 0 for nowhere
	attack  float64 // seconds to nearly full level
	spread  float64 // by how much longer the high harmonics take, as a share
	burst   float64 // noise at the attack, of the note's amplitude
	breath  float64 // noise while it sounds
	release float64 // seconds to 1/e
	scoop   float64 // semitones below its pitch at the beginning
}

var voices = []voice{
	{0.15, 0.9, 0, 0.020, 0.8, 0.05, 0.004, 0.012, 0.15},
	{1, 0.7, 520, 0.012, 0.5, 0.10, 0.003, 0.018, 0.05},
	{0.8, 1.8, 0, 0.035, 0.6, 0.12, 0.020, 0.025, 0.10},
	{1, 0.6, 1300, 0.014, 1.0, 0.03, 0.002, 0.010, 0.05},
	{1, 0.9, 900, 0.025, 0.7, 0.08, 0.006, 0.020, 0.20},
	{1, 1.1, 0, 0.045, 1.5, 0.02, 0.004, 0.030, 0.10},
}

// harmonics of a note, as amplitudes.
func (v voice) harmonics(hz float64) []float64 {
	var out []float64
	for k := 1; k <= 24 && float64(k)*hz < 0.45*Rate; k++ {
		a := math.Pow(float64(k), -v.slope)
		if k%2 == 0 {
			a *= v.even
		}
		if v.formant > 0 {
			d := math.Log2(float64(k) * hz / v.formant)
			a *= 0.25 + math.Exp(-d*d)
		}
		out = append(out, a)
	}
	return out
}

// sounding is a stretch of sound from a place in seconds on: notes that are
// held on until one is let go.
type sounding struct {
	at, end float64
	turns   []turn
	level   float64
}

// turn is where a sounding goes over to another pitch, fade seconds long about
// the place: 0 is a bend within a millisecond.
type turn struct {
	at   float64
	midi float64
	fade float64
}

// sing adds a sounding to out.
func (v voice) sing(out []float32, s sounding, vibrato func(t float64) float64, rng *rand.Rand) {
	from, to := int(s.at*Rate), min(len(out), int((s.end+6*v.release)*Rate))
	phases := rng.Float64() * 2 * math.Pi
	noise, last := 0.0, -1
	var amp []complex128
	var phase float64
	attack := v.attack * (0.8 + 0.4*rng.Float64())
	for n := from; n < to; n++ {
		t := float64(n)/Rate - s.at
		now := s.at + t
		k := 0
		for k+1 < len(s.turns) && now >= s.turns[k+1].at {
			k++
		}
		if k != last {
			last = k
			hz := frequency(s.turns[k].midi)
			amp = amp[:0]
			for h, a := range v.harmonics(hz) {
				amp = append(amp, cmplx.Rect(a, phases*float64(h*h)))
			}
		}
		pitch := s.turns[k].midi + vibrato(now)
		if k == 0 {
			pitch -= v.scoop * math.Exp(-t/0.015)
		}
		phase += frequency(pitch) / Rate
		let := 1.0
		if now > s.end {
			let = math.Exp(-(now - s.end) / v.release)
		}
		sum := 0.0
		turn := cmplx.Rect(1, 2*math.Pi*(phase-math.Floor(phase)))
		z := complex(1, 0)
		for h, a := range amp {
			z *= turn
			if t < 4*attack {
				a *= complex(1-math.Exp(-3*t/(attack*(1+v.spread*float64(h)/float64(len(amp))))), 0)
			}
			sum += imag(a * z)
		}
		noise += 0.5 * (rng.NormFloat64() - noise)
		sum += noise * (v.breath + v.burst*t/0.004*math.Exp(1-t/0.004))
		out[n] += float32(s.level * let * sum)
	}
}

func frequency(midi float64) float64 { return 440 * math.Exp2((midi-69)/12) }

// madeUp plays notes on the made-up bank.
func madeUp(f Figure, notes []Note, rng *rand.Rand) []float32 {
	v := voices[f.Instrument.Program%len(voices)]
	out := make([]float32, int((notes[len(notes)-1].Seconds+1)*Rate))
	vibrato := f.vibrato()
	for _, s := range f.soundings(notes, rng) {
		if f.Articulation != Faded {
			v.sing(out, s, vibrato, rng)
			continue
		}
		for i, t := range s.turns {
			end := s.end
			if i+1 < len(s.turns) {
				end = s.turns[i+1].at
			}
			at := t.at
			if i > 0 {
				at -= 0.15
			}
			part := make([]float32, int((end+0.3-at)*Rate))
			moved := func(t float64) float64 { return vibrato(at + t) }
			v.sing(part, sounding{end: end + 0.3 - at, turns: []turn{{0, t.midi, 0}}, level: s.level}, moved, rng)
			fadeInto(out, part, int(at*Rate), s, i)
		}
	}
	return out
}

// fadeInto adds what sounds of turn i of a sounding, faded in and out; part
// begins at a sample of out.
func fadeInto(out, part []float32, at int, s sounding, i int) {
	t := s.turns[i]
	for k := range min(len(part), len(out)-at) {
		now := float64(at+k) / Rate
		g := 1.0
		if i > 0 {
			g = fade((now-t.at)/t.fade + 0.5)
		}
		if i+1 < len(s.turns) {
			g *= 1 - fade((now-s.turns[i+1].at)/s.turns[i+1].fade+0.5)
		} else if now > s.end {
			g *= math.Exp(-(now - s.end) / 0.02)
		}
		out[at+k] += part[k] * float32(g)
	}
}

func fade(x float64) float64 { return 0.5 - 0.5*math.Cos(math.Pi*max(0, min(1, x))) }

// sampled plays the notes on a sound font: as MIDI, or for faded slurs from held
// notes that are cut.
func sampled(ctx context.Context, f Figure, notes []Note, rng *rand.Rand) ([]float32, error) {
	s := Spec{SoundFont: f.Bank}
	if f.Articulation == Faded {
		return cut(ctx, f, notes, rng)
	}
	events := append([]event{program(f.Instrument.Program), control(7, 110)}, bendRange(24)...)
	for _, s := range f.soundings(notes, rng) {
		held := int(s.turns[0].midi)
		events = append(events, bend(s.at-0.001, 0), noteOn(s.at, held, int(127*s.level)))
		for _, t := range s.turns[1:] {
			events = append(events, bend(t.at, t.midi-float64(held)))
		}
		events = append(events, noteOff(s.end, held))
		if f.VibratoCents == 0 {
			continue
		}
		v := f.vibrato()
		k := 0
		for t := s.at + 0.005; t < s.end; t += 0.005 {
			for k+1 < len(s.turns) && t >= s.turns[k+1].at {
				k++
			}
			events = append(events, bend(t, s.turns[k].midi-float64(held)+v(t)))
		}
	}
	return render(ctx, s, standardMIDIFile(events))
}

// cut plays slurs from held notes that are faded into each other.
func cut(ctx context.Context, f Figure, notes []Note, rng *rand.Rand) ([]float32, error) {
	var keys []int
	for _, n := range notes {
		if !slices.Contains(keys, n.Midi) {
			keys = append(keys, n.Midi)
		}
	}
	const held = 2.0 // seconds
	events := []event{program(f.Instrument.Program), control(7, 110)}
	for i, k := range keys {
		events = append(events, noteOn(float64(i)*held, k, 90), noteOff((float64(i)+0.8)*held, k))
	}
	bank, err := render(ctx, Spec{SoundFont: f.Bank}, standardMIDIFile(events))
	if err != nil {
		return nil, err
	}
	out := make([]float32, int((notes[len(notes)-1].Seconds+1)*Rate))
	for _, s := range f.soundings(notes, rng) {
		for i, t := range s.turns {
			begin := float64(slices.Index(keys, int(t.midi))) * held
			at := t.at
			if i > 0 {
				begin += 0.3 + 0.1*rng.Float64()
				at -= 0.05
			}
			from := min(int(begin*Rate), len(bank))
			fadeInto(out, bank[from:min(len(bank), from+int(0.75*held*Rate))], int(at*Rate), s, i)
		}
	}
	return out, nil
}

// BankName is a bank's path, short for tables.
func BankName(path string) string {
	return strings.TrimSuffix(path[strings.LastIndex(path, "/")+1:], ".sf2")
}

func (f Figure) String() string {
	return fmt.Sprintf("%s %s %s", BankName(f.Bank), f.Instrument.Name, f.Articulation)
}
