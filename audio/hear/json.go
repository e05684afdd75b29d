package hear

import "encoding/json"

// MarshalJSON writes the note as the hear command's JSON has it: seconds,
// midi (null when no pitch was heard), cents, certainty, placed_ms, and, against a
// grid, kind, slot, rep and deviation_ms.
func (n Note) MarshalJSON() ([]byte, error) {
	type object struct {
		Seconds     float64  `json:"seconds"`
		Midi        *int     `json:"midi"`
		Cents       float64  `json:"cents"`
		Certainty   float64  `json:"certainty"`
		PlacedMs    float64  `json:"placed_ms,omitempty"`
		Slurred     bool     `json:"slurred"`
		Kind        NoteKind `json:"kind,omitempty"`
		Slot        int      `json:"slot,omitempty"`
		Rep         int      `json:"rep,omitempty"`
		DeviationMs *float64 `json:"deviation_ms,omitempty"`
	}
	o := object{
		Seconds: n.Seconds, Cents: n.Cents, Certainty: n.Certainty, PlacedMs: n.PlacedMs, Slurred: n.Slurred,
		Kind: n.Kind, Slot: n.Slot, Rep: n.Rep,
	}
	if n.Midi != 0 {
		o.Midi = &n.Midi
	}
	if n.Slot != 0 {
		o.DeviationMs = &n.DeviationMs
	}
	return json.Marshal(o)
}

// MarshalJSON writes the report as the hear command's JSON has it: onsets,
// slots, changes, weak_change (or null) and sentence, and beside them the
// grid, what was missed, doubled and extra, and the chunk to cut.
func (r Report) MarshalJSON() ([]byte, error) {
	type gridObject struct {
		BPM          float64 `json:"bpm,omitempty"`
		SlotsPerBeat int     `json:"slots_per_beat,omitempty"`
		First        float64 `json:"first_seconds"`
	}
	o := struct {
		Notes       []Note       `json:"onsets"`
		Grid        *gridObject  `json:"grid"`
		Reps        int          `json:"reps"`
		Slots       []SlotStat   `json:"slots"`
		Changes     []ChangeStat `json:"changes"`
		Missed      []Missed     `json:"missed"`
		Doubled     int          `json:"doubled"`
		Extra       int          `json:"extra"`
		Offset      float64      `json:"offset_ms"`
		Drift       float64      `json:"drift_ms_per_minute"`
		Systematic  float64      `json:"systematic_ms"`
		Instability float64      `json:"instability_ms"`
		JND         float64      `json:"just_noticeable_ms"`
		Weak        *WeakChange  `json:"weak_change"`
		Cut         *Chunk       `json:"cut"`
		Sentence    string       `json:"sentence"`
	}{
		Notes: some(r.Notes), Reps: r.Reps, Slots: some(r.Slots), Changes: some(r.Changes), Missed: some(r.Missed),
		Doubled: r.Doubled, Extra: r.Extra, Offset: r.OffsetMs, Drift: r.DriftMsPerMinute,
		Systematic: r.SystematicMs, Instability: r.InstabilityMs, JND: r.JNDMs,
		Weak: r.Weak, Cut: r.Cut, Sentence: r.Sentence,
	}
	if r.HasGrid {
		g := r.Grid
		o.Grid = &gridObject{BPM: g.BPM, SlotsPerBeat: g.SlotsPerBeat, First: g.First}
		if len(g.Places) > 0 {
			o.Grid.First = g.Places[0].Seconds
		}
	}
	return json.Marshal(o)
}

// some is x, or an empty list that is written as one.
func some[T any](x []T) []T {
	if x == nil {
		return []T{}
	}
	return x
}
