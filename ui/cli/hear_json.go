package cli

import (
	"encoding/json"
	"fmt"
	"io"
)

// heardHead is what the JSON says beside the report.
type heardHead struct {
	File       string          `json:"file"`
	Seconds    float64         `json:"seconds"`
	Rate       int             `json:"rate"`
	Channels   int             `json:"channels"`
	Remarks    []string        `json:"remarks"`
	Source     *string         `json:"grid_source"` // "given", "routine", "found" or null
	Step       string          `json:"step,omitempty"`
	Ambiguous  bool            `json:"grid_ambiguous"`
	Candidates []candidate     `json:"grid_candidates"`
	Chunk      *suggestedChunk `json:"chunk"`
}

// candidate is a grid that would explain the notes.
type candidate struct {
	BPM          float64 `json:"bpm"`
	SlotsPerBeat int     `json:"slots_per_beat"`
	First        float64 `json:"first_seconds"`
	Score        float64 `json:"score"`
}

// suggestedChunk is a chunk in the words of a routine file.
type suggestedChunk struct {
	Start   string `json:"start"`
	Beats   string `json:"beats"`
	Landing bool   `json:"landing"`
}

// writeJSON writes one object: what is said of the file, then the report.
func (h heard) writeJSON(w io.Writer) error {
	head := heardHead{
		File: h.File, Seconds: h.hearing.Seconds, Rate: h.rate, Channels: h.chans,
		Remarks: append([]string{}, h.Remarks...), Step: h.Step,
		Ambiguous: h.finding.Ambiguous, Candidates: []candidate{},
	}
	if h.Source != "" {
		head.Source = &h.Source
	}
	for _, c := range h.finding.Candidates {
		head.Candidates = append(head.Candidates, candidate{c.Grid.BPM, c.Grid.SlotsPerBeat, c.Grid.First, c.Score})
	}
	if c, ok := h.chunk(); ok {
		head.Chunk = &suggestedChunk{chunkStart(c), c.Length.String(), c.Landing}
	}
	first, err := json.Marshal(head)
	if err != nil {
		return fmt.Errorf("writing the result: %w", err)
	}
	report, err := json.Marshal(h.Report)
	if err != nil {
		return fmt.Errorf("writing the result: %w", err)
	}
	// Two objects made one.
	first[len(first)-1] = ','
	return writeJSON(w, json.RawMessage(append(first, report[1:]...)))
}
