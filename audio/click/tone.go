package click

import "math"

// Cents is a pitch in hundredths of an equal-tempered semitone, counted as MIDI
// counts its keys: 6900 is the A that an orchestra tunes to.
type Cents int

// Key is the pitch of a key of MIDI: 60 is the middle C, 69 the A above it.
func Key(n int) Cents { return Cents(100 * n) }

// Hz is the frequency of the pitch where the A of 6900 has a Hz.
func (c Cents) Hz(a float64) float64 { return a * math.Exp2(float64(c-6900)/1200) }

// Touch is how much of its length a tone sounds. One from which the next is
// slurred sounds the whole of it, whatever its touch.
type Touch uint8

// The touches sound nine tenths, the whole and a half of a tone's length. What is
// cut off at the end is never longer than 250 ms (common practice, no source).
const (
	Plain Touch = iota
	Tenuto
	Staccato
)

// Tone is a note of the model within a phrase: what sounds, so that whoever makes
// it has seen to transposition, ties and grace notes.
type Tone struct {
	// At is counted from the start of the phrase, Length is above 0.
	At, Length Beats
	Pitch      Cents
	// Slurred tones go on from the tone that ends where they begin, without a new
	// attack. Where none does they begin like any other.
	Slurred bool
	Touch   Touch
	// Level is the gain, 0 for silence to 1.
	Level float32
}

// until is where the tone ends at tempo t, when the one after it is next.
func (t Tone) until(tempo Tempo, next *Tone) (end Beats, joined bool) {
	end = t.At.Add(t.Length)
	if next != nil && next.Slurred && next.At == end && next.Length.Sign() > 0 {
		return end, true
	}
	share := Frac(9, 10)
	switch t.Touch {
	case Tenuto:
		return end, false
	case Staccato:
		share = Frac(1, 2)
	}
	short := t.At.Add(Frac(t.Length.Num()*share.Num(), t.Length.Den()*share.Den()))
	if least := end.Sub(Frac(int64(tempo), 240_000)); short.Less(least) { // 250 ms
		short = least
	}
	return short, false
}

// WaveLength is the samples in a period of a wave of a [Wind].
const WaveLength = 1 << waveBits

const waveBits = 12

// Wave is one period of a sound, from which a tone is read at any speed.
type Wave struct {
	// Samples are WaveLength and the first of them again; the mean is 0.
	Samples []float32
	// Start is the sample that a tone begins with: one that is not near 0.
	Start int
}

// Wind is the sound of a model: a wave for each key, since a higher tone has
// fewer partials under the renderer's rate, and other ones near the formants. A
// wind in use is never written to.
type Wind struct {
	// A is the frequency of the pitch 6900 in Hz.
	A float64
	// Waves are those of the keys of MIDI from 0 up, and serve half a semitone to
	// either side. They peak at 0.25 at most. A pitch without one is silent.
	Waves []Wave
}

// wave is the wave and the frequency of a pitch. ok is false where it has none, and
// for no wind at all.
func (w *Wind) wave(c Cents) (wave *Wave, hz float64, ok bool) {
	key := (int(c) + 50) / 100
	if w == nil || c < 0 || key >= len(w.Waves) || len(w.Waves[key].Samples) <= WaveLength {
		return nil, 0, false
	}
	return &w.Waves[key], c.Hz(w.A), true
}
