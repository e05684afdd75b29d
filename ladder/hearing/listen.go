package hearing

import (
	"fmt"

	"footing/audio/hear"
	"footing/ladder/counted"
)

// Recording is what was heard in a recording.
type Recording struct {
	// Name, Rate in Hz and Channels are those of the recording. They are only
	// told.
	Name           string
	Rate, Channels int
	// Notes is what was wrong in reading it and was got over.
	Notes []string
	// Clipped is true where it was overloaded so that onsets may suffer.
	Clipped bool
	Hearing hear.Hearing
	// Hum is what the mains are heard to hum at, in Hz; 0 where they are not. It is no
	// note.
	Hum float64
	// Onsets are in order of time.
	Onsets []hear.Onset
	// Pitches are those from moment to moment; where there are none no note is surely
	// wrong, missed or extra.
	Pitches hear.Pitches
}

// Ear listens to one recording, whose length does not matter. It is not safe
// for concurrent use.
type Ear struct {
	listener *hear.Listener
	onsets   []hear.Onset
}

// NewEar listens at a sample rate in Hz; see [hear.NewListener] for its bounds.
func NewEar(rate int) (*Ear, error) {
	l, err := hear.NewListener(rate)
	if err != nil {
		return nil, err
	}
	l.KeepPitches()
	return &Ear{listener: l}, nil
}

// Write takes the next samples of one channel, full scale ±1.
func (e *Ear) Write(samples []float32) {
	e.listener.Write(samples)
	e.onsets = append(e.onsets, e.listener.Onsets()...)
}

// Close ends the recording and returns what was heard in it, each note placed
// by all that was heard before and after. An ear is closed once.
func (e *Ear) Close() Recording {
	e.listener.Close()
	e.onsets = append(e.onsets, e.listener.Onsets()...)
	e.listener.Refine(e.onsets)
	out := Recording{Hearing: e.listener.Hearing(), Pitches: e.listener.Pitches()}
	out.Onsets, out.Hum = withoutHum(e.onsets)
	return out
}

// Listen hears samples of one channel in one go.
func Listen(samples []float32, rate int) (Recording, error) {
	ear, err := NewEar(rate)
	if err != nil {
		return Recording{}, err
	}
	ear.Write(samples)
	r := ear.Close()
	clipping := hear.NewClipping(1, 0)
	clipping.Add(samples)
	r.Rate, r.Channels, r.Clipped = rate, 1, clipping.Clipped()
	return r, nil
}

// Nothing says in plain words why the recording holds nothing to compare; it is
// empty when there is something.
func (r Recording) Nothing() string {
	h := r.Hearing
	switch {
	case h.Seconds == 0:
		return "The take is empty."
	case h.Silent():
		return "The take is silent: check that the microphone was on and its level up."
	case h.Notes == 0 && h.Pitched < 0.05:
		return "No note was heard: what sounds here has no pitch."
	case h.Notes == 0:
		return "No note was heard to begin."
	case h.Notes == 1:
		return "Only one held note was heard: evenness needs several."
	}
	return ""
}

// Remarks say what is wrong with the recording and was got over.
func (r Recording) Remarks() []string {
	out := append([]string{}, r.Notes...)
	if r.Clipped {
		out = append(out, "The recording is overloaded in places, so onsets are less sure: turn the level down and move back a little.")
	}
	if r.Hum > 0 {
		out = append(out, fmt.Sprintf("The mains hum at %s Hz beneath the notes, and are left out.", round(r.Hum)))
	}
	if n := r.Hearing.Broken; n > 0 {
		out = append(out, fmt.Sprintf("%s no number and heard as silence", counted.As(n, "sample is", "samples are")))
	}
	return out
}
