package hearing

import (
	"fmt"

	"footing/ladder/counted"
)

// playedJSON is a take set against its notes, null where they are not known: what
// was to be played on each slot, in what tuning it was, how many notes were right,
// and each fault. Written pitches are as the player reads them ("Bb4"), midi is
// what sounds.
type playedJSON struct {
	A          float64     `json:"a_hz"`
	Shift      int         `json:"shift_semitones"`
	Reps       int         `json:"reps"`
	Right      int         `json:"right"`
	Unsure     int         `json:"unsure"`
	Wanted     []wantJSON  `json:"wanted"`
	Faults     []faultJSON `json:"faults"`
	WeakChange string      `json:"weak_change,omitempty"`
}

// wantJSON is what is played on a slot; at is its place as bar:beat.
type wantJSON struct {
	Slot    int    `json:"slot"`
	At      string `json:"at"`
	Written string `json:"written"`
	Name    string `json:"name"`
	Midi    []int  `json:"midi"`
	Landing bool   `json:"landing"`
}

// faultJSON is a note that was surely not played as written. An extra note is on the
// slot that it follows, 0 before the first.
type faultJSON struct {
	Kind    FaultKind `json:"kind"`
	Slot    int       `json:"slot"`
	Rep     int       `json:"rep"`
	At      string    `json:"at,omitempty"`
	Seconds float64   `json:"seconds"`
	Written string    `json:"written,omitempty"`
	Heard   string    `json:"heard,omitempty"`
	Midi    *float64  `json:"midi"`
}

func (r Report) readingJSON() *playedJSON {
	if r.Reading == nil {
		return nil
	}
	o := &playedJSON{
		A: r.Reading.A(), Shift: r.Reading.Tuned.Shift, Reps: r.Reading.Reps, Right: r.Reading.Right, Unsure: r.Reading.Unsure,
		Wanted: []wantJSON{}, Faults: each(r.Reading.Faults, r.faultJSON),
	}
	for i, w := range r.rung.wants {
		o.Wanted = append(o.Wanted, wantJSON{
			Slot: i + 1, At: r.rung.place(i + 1), Written: w.Pitch.String(), Name: w.Pitch.Name(), Landing: w.Landing,
			Midi: each(w.Sounds, func(cents int) int { return (cents + 50) / 100 }),
		})
	}
	if r.Weak != nil {
		o.WeakChange, _ = r.rung.change(r.Weak.FromSlot, r.Weak.ToSlot)
	}
	return o
}

func (r Report) faultJSON(f Fault) faultJSON {
	o := faultJSON{Kind: f.Kind, Slot: f.Slot, Rep: f.Rep, At: r.rung.place(f.Slot), Seconds: f.Seconds}
	if f.Slot > 0 {
		o.Written = f.Written.String()
	}
	if f.Kind != MissedNote {
		o.Heard, o.Midi = f.Heard.String(), &f.Note
	}
	return o
}

// readingWords is a line on how many notes were as written, and in what tuning;
// empty where they are not known.
func (r Report) readingWords() string {
	p := r.Reading
	if p == nil || p.Reps == 0 {
		return ""
	}
	all := p.Right + p.Unsure
	for _, f := range p.Faults {
		if f.Kind != ExtraNote {
			all++
		}
	}
	said := fmt.Sprintf("%d of %s as written", p.Right, counted.As(all, "note", "notes"))
	if p.Unsure > 0 {
		said += fmt.Sprintf("; of %d the ears can't tell", p.Unsure)
	}
	if p.Tuned.Notes > 0 {
		said += fmt.Sprintf(". The A lies at %.0f Hz", p.A())
	}
	return said + ".\n"
}
