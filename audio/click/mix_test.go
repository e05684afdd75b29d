package click

import (
	"math"
	"testing"
)

// Of too many sounds the oldest makes room, and only for one that is heard.
func TestTheOldestSoundMakesRoom(t *testing.T) {
	long := []float32{1, 1, 1}
	m := newMixer(48_000, 1)
	sum := func() float64 {
		dst := make([]float32, 1)
		m.add(dst, nil, 1)
		return math.Round(float64(dst[0]) * 1000)
	}
	for i := range maxVoices {
		m.strike(long, 0.001*float32(i+1), Centre)
	}
	m.strike(long, 0, Centre)
	m.strike(nil, 1, Centre)
	all := float64(maxVoices * (maxVoices + 1) / 2)
	if got := sum(); got != all {
		t.Errorf("%d sounds and two that are silent add up to %v, want %v", maxVoices, got, all)
	}
	m.strike(long, 0.1, Centre)
	if got := sum(); got != all+100-1 {
		t.Errorf("with one more they add up to %v, want %v", got, all+100-1)
	}
}

// The model has room for so many tones; those that fade keep it for 5 ms.
func TestToneTooMany(t *testing.T) {
	// A frame is 1/48000 of a beat: seven tones within 5 ms cut each other.
	var tones []Tone
	for i := range 7 {
		tones = append(tones, Tone{At: Frac(int64(i*10), 48_000), Length: Whole(1), Pitch: Key(60), Level: 1})
	}
	tones = append(tones, Tone{At: Frac(1, 2), Length: Whole(1), Pitch: Key(60), Level: 1})
	r := modelled(48_000, Phrase{Tempo: BPM(60), Length: Whole(2), Tones: tones})
	for at, want := range []int{1, 2, 3, 4, 4, 4, 4} {
		mono(r, 10)
		if got := len(r.model.tones); got != want {
			t.Errorf("after %d tones %d sound, want %d", at+1, got, want)
		}
	}
	if mono(r, 20_000); len(r.model.tones) != 0 {
		t.Errorf("%d tones sound on, though the last that sounded was cut", len(r.model.tones))
	}
	if x := mono(r, 5_000); peakOf(x) == 0 {
		t.Error("there is no room again")
	}
}
