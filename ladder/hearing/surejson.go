package hearing

import "footing/audio/judge"

// surelyJSON is what a report has beside its figures: what kind of take it is, and
// what makes it more or less sure.
type surelyJSON struct {
	Outcome judge.Outcome `json:"outcome"`
	// Told is the grid that was told, null where none was or it is the one heard.
	Told      *gridJSON `json:"told"`
	Assumed   string    `json:"assumed"`
	FitsBadly bool      `json:"fits_badly"`

	Room    float64 `json:"room"`
	Hum     float64 `json:"hum_hz"`
	SoftMs  float64 `json:"soft_attack_ms"`
	Clipped bool    `json:"overloaded"`
	Clicks  bool    `json:"clicks"`
	Outside int     `json:"outside"`
	EntryMs float64 `json:"entry_ms"`

	Entry   *departureJSON `json:"entry"`
	Also    *departureJSON `json:"also"`
	Perhaps *departureJSON `json:"perhaps"`
	// Unsteady is the slot that is never twice the same, and Doubtful one of which it
	// cannot be told whether it is even; 0 without one.
	Unsteady int           `json:"unsteady_slot"`
	Doubtful int           `json:"doubtful_slot"`
	Climbed  []climbedJSON `json:"rungs"`
}

// departureJSON is a slot off its place; from_slot is 0 where no change leads into it.
type departureJSON struct {
	FromSlot int     `json:"from_slot"`
	ToSlot   int     `json:"to_slot"`
	LateMs   float64 `json:"late_ms"`
}

// climbedJSON is what was heard on a rung.
type climbedJSON struct {
	BPM      float64 `json:"bpm"`
	FirstRep int     `json:"first_rep"`
	Reps     int     `json:"reps"`
	LateMs   float64 `json:"late_ms"`
	SpreadMs float64 `json:"spread_ms"`
}

func (r Report) soundJSON(o *reportJSON) {
	h := r.Recording.Hearing
	o.surelyJSON = surelyJSON{
		Outcome: r.Outcome, Assumed: r.Assumed, FitsBadly: r.FitsBadly,
		Room: h.Live, Hum: r.Recording.Hum, SoftMs: h.SoftMs, Clipped: r.Recording.Clipped, Clicks: r.Clicks, Outside: r.Outside, EntryMs: r.EntryMs,
		Entry: (*departureJSON)(r.Entry), Also: (*departureJSON)(r.Also), Perhaps: (*departureJSON)(r.Perhaps),
		Climbed: each(r.Climbed, func(c Climbed) climbedJSON { return climbedJSON(c) }),
	}
	if r.Finding.Otherwise() {
		t := r.Finding.Told
		o.Told = &gridJSON{BPM: t.BPM, SlotsPerBeat: t.SlotsPerBeat, Cycle: t.Cycle}
	}
	t := teller{Report: r.Report}
	switch r.Outcome {
	case judge.Unsteady, judge.EvenByChance, judge.Even:
		s, _ := t.unsteadiest()
		o.Unsteady = s.Slot
		if s.Slot == 0 && r.Outcome != judge.Unsteady {
			s, _ := t.doubtful()
			o.Doubtful = s.Slot
		}
	}
}
