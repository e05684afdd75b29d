package hearing

import (
	"encoding/json"

	"footing/audio/click"
	"footing/audio/judge"
)

// MarshalJSON writes the report as one object, as the hear command has it: what
// the recording is, on what grid it was played, every note, slot and change, the
// weak change or null, the chunk to cut, and the sentence.
func (r Report) MarshalJSON() ([]byte, error) {
	o := reportJSON{
		File: r.Recording.Name, Seconds: r.Recording.Hearing.Seconds, Rate: r.Recording.Rate, Channels: r.Recording.Channels,
		Remarks: listed(r.Remarks), Step: r.Step, Ambiguous: r.Finding.Ambiguous(),
		Candidates: each(r.Finding.Candidates, func(c judge.Candidate) candidateJSON {
			return candidateJSON{c.Grid.BPM, c.Grid.SlotsPerBeat, c.Grid.First, c.Score}
		}),
		Notes: each(r.Notes, noteOf), Reps: r.Reps,
		Slots:   each(r.Slots, func(s judge.SlotStat) slotJSON { return slotJSON(s) }),
		Changes: each(r.Changes, func(c judge.ChangeStat) changeJSON { return changeJSON(c) }),
		Missed:  each(r.Missed, func(m judge.Missed) missedJSON { return missedJSON(m) }),
		Doubled: r.Doubled, Extra: r.Extra, Offset: r.OffsetMs, Drift: r.DriftMsPerMinute,
		Systematic: r.SystematicMs, Instability: r.InstabilityMs, JND: r.JNDMs,
		Weak: (*weakJSON)(r.Weak), Cut: (*cutJSON)(r.Cut), Sentence: r.Sentence,
	}
	o.Played = r.readingJSON()
	r.soundJSON(&o)
	if r.Source != "" {
		o.Source = &r.Source
	}
	if c, ok := r.Chunk(); ok {
		o.Chunk = &chunkJSON{click.FormatPlace(c.Bar, c.At), c.Length.String(), c.Landing}
	}
	if r.HasGrid {
		o.Grid = &gridJSON{BPM: r.Grid.BPM, SlotsPerBeat: r.Grid.SlotsPerBeat, First: r.Grid.First}
		if !r.Grid.Regular() {
			o.Grid.First = r.Grid.Places[0].Seconds
		}
		o.Grid.Cycle = r.Grid.Cycle
	}
	return json.Marshal(o)
}

type reportJSON struct {
	File        string          `json:"file"`
	Seconds     float64         `json:"seconds"`
	Rate        int             `json:"rate"`
	Channels    int             `json:"channels"`
	Remarks     []string        `json:"remarks"`
	Source      *Source         `json:"grid_source"`
	Step        string          `json:"step,omitempty"`
	Ambiguous   bool            `json:"grid_ambiguous"`
	Candidates  []candidateJSON `json:"grid_candidates"`
	Chunk       *chunkJSON      `json:"chunk"`
	Notes       []noteJSON      `json:"onsets"`
	Grid        *gridJSON       `json:"grid"`
	Reps        int             `json:"reps"`
	Slots       []slotJSON      `json:"slots"`
	Changes     []changeJSON    `json:"changes"`
	Missed      []missedJSON    `json:"missed"`
	Doubled     int             `json:"doubled"`
	Extra       int             `json:"extra"`
	Offset      float64         `json:"offset_ms"`
	Drift       float64         `json:"drift_ms_per_minute"`
	Systematic  float64         `json:"systematic_ms"`
	Instability float64         `json:"instability_ms"`
	JND         float64         `json:"just_noticeable_ms"`
	Weak        *weakJSON       `json:"weak_change"`
	Cut         *cutJSON        `json:"cut"`
	Sentence    string          `json:"sentence"`
	Played      *playedJSON     `json:"notes"`
	surelyJSON
}

// candidateJSON is a grid that would explain the notes.
type candidateJSON struct {
	BPM          float64 `json:"bpm"`
	SlotsPerBeat int     `json:"slots_per_beat"`
	First        float64 `json:"first_seconds"`
	Score        float64 `json:"score"`
}

// chunkJSON is a chunk in the words of a routine file.
type chunkJSON struct {
	Start   string `json:"start"`
	Beats   string `json:"beats"`
	Landing bool   `json:"landing"`
}

type gridJSON struct {
	BPM          float64 `json:"bpm,omitempty"`
	SlotsPerBeat int     `json:"slots_per_beat,omitempty"`
	First        float64 `json:"first_seconds"`
	Cycle        int     `json:"cycle_slots"`
}

// noteJSON is a note: midi is null when no pitch was heard, and against a grid
// there are kind, slot, rep and deviation_ms.
type noteJSON struct {
	Seconds     float64        `json:"seconds"`
	Midi        *int           `json:"midi"`
	Cents       float64        `json:"cents"`
	Certainty   float64        `json:"certainty"`
	PlacedMs    float64        `json:"placed_ms,omitempty"`
	Slurred     bool           `json:"slurred"`
	Kind        judge.NoteKind `json:"kind,omitempty"`
	Slot        int            `json:"slot,omitempty"`
	Rep         int            `json:"rep,omitempty"`
	DeviationMs *float64       `json:"deviation_ms,omitempty"`
}

func noteOf(n judge.Note) noteJSON {
	o := noteJSON{
		Seconds: n.Seconds, Cents: n.Cents, Certainty: n.Certainty, PlacedMs: n.PlacedMs, Slurred: n.Slurred,
		Kind: n.Kind, Slot: n.Slot, Rep: n.Rep,
	}
	if n.Midi != 0 {
		o.Midi = &n.Midi
	}
	if n.Slot != 0 {
		o.DeviationMs = &n.DeviationMs
	}
	return o
}

// The types below are those of package judge with their names in JSON.
type (
	slotJSON struct {
		Slot     int     `json:"slot"`
		Notes    int     `json:"notes"`
		MeanMs   float64 `json:"mean_ms"`
		SpreadMs float64 `json:"spread_ms"`
		Missed   int     `json:"missed"`
		Doubled  int     `json:"doubled"`
	}
	changeJSON struct {
		FromSlot int     `json:"from_slot"`
		ToSlot   int     `json:"to_slot"`
		Count    int     `json:"count"`
		MeanMs   float64 `json:"mean_ms"`
		SpreadMs float64 `json:"spread_ms"`
		Effect   float64 `json:"effect"`
		P        float64 `json:"p"`
		Audible  bool    `json:"audible"`
	}
	missedJSON struct {
		Slot    int     `json:"slot"`
		Rep     int     `json:"rep"`
		Seconds float64 `json:"seconds"`
	}
	weakJSON struct {
		FromSlot  int     `json:"from_slot"`
		ToSlot    int     `json:"to_slot"`
		LateMs    float64 `json:"late_ms"`
		Effect    float64 `json:"effect"`
		P         float64 `json:"p"`
		CatchesUp bool    `json:"catches_up"`
	}
	cutJSON struct {
		FromSlot  int `json:"from_slot"`
		ToSlot    int `json:"to_slot"`
		Landing   int `json:"landing"`
		FirstBeat int `json:"first_beat"`
		Beats     int `json:"beats"`
	}
)

// each maps a list; an empty one is written as one.
func each[T, U any](list []T, to func(T) U) []U {
	out := make([]U, len(list))
	for i, v := range list {
		out[i] = to(v)
	}
	return out
}

// listed is a list that is written as one when it is empty.
func listed[T any](list []T) []T { return append([]T{}, list...) }
