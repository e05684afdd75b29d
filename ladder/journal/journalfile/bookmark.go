package journalfile

import (
	"encoding/json"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/routine"
)

// bookmarkWords is a bookmark as it is kept: an object in the words of a routine.
type bookmarkWords struct {
	From    string `json:"from,omitempty"`
	Below   int    `json:"rungs below,omitempty"`
	Goal    string `json:"goal,omitempty"`
	Step    string `json:"step"`
	Rule    string `json:"rule"`
	Tempo   string `json:"tempo,omitempty"`
	ByHand  bool   `json:"by hand,omitempty"`
	Footing string `json:"footing,omitempty"`
	Settled bool   `json:"settled,omitempty"`
	OneDown bool   `json:"one down,omitempty"`
	Slow    string `json:"slow,omitempty"`
	Down    bool   `json:"down,omitempty"`
}

// FormatBookmark is the text of a bookmark.
func FormatBookmark(b ladder.Bookmark) string {
	tempo := func(t click.Tempo) string {
		if t == 0 {
			return ""
		}
		return t.String()
	}
	text, err := json.Marshal(bookmarkWords{
		From: tempo(b.Ladder.From), Below: b.Ladder.Below, Goal: tempo(b.Ladder.Goal), Step: b.Ladder.By.String(),
		Rule: b.Rule.String(), Tempo: tempo(b.Tempo), ByHand: b.ByHand, Footing: tempo(b.Footing),
		Settled: b.Settled, OneDown: b.OneDown, Slow: tempo(b.Slow), Down: b.Down,
	})
	if err != nil {
		return "" // which words alone cannot cause
	}
	return string(text)
}

// ParseBookmark reads what FormatBookmark wrote, or an older version. A text that
// cannot be read is none.
func ParseBookmark(text string) ladder.Bookmark {
	var w bookmarkWords
	if json.Unmarshal([]byte(text), &w) != nil || w.Rule == "" {
		return parseOldBookmark(text)
	}
	sound := true
	tempo := func(s string) click.Tempo {
		if s == "" {
			return 0
		}
		t, err := click.ParseTempo(s)
		sound = sound && err == nil
		return t
	}
	by, err := routine.ParseStepSize(w.Step)
	rule, err2 := ladder.ParseRule(w.Rule)
	b := ladder.Bookmark{
		Ladder: ladder.Range{From: tempo(w.From), Below: w.Below, Goal: tempo(w.Goal), By: by},
		Rule:   rule, Tempo: tempo(w.Tempo), ByHand: w.ByHand, Footing: tempo(w.Footing),
		Settled: w.Settled, OneDown: w.OneDown, Slow: tempo(w.Slow), Down: w.Down,
	}
	if !sound || err != nil || err2 != nil {
		return ladder.Bookmark{}
	}
	return b
}

// parseOldBookmark reads a bookmark in the program's words and numbers, as it was
// kept before; at first with one word for two up's one down, the goal's turn of a
// leap (known by its slow rung too) and the way down of an arch.
func parseOldBookmark(text string) ladder.Bookmark {
	var b struct {
		ladder.Bookmark
		Turned bool
	}
	if err := json.Unmarshal([]byte(text), &b); err != nil {
		return ladder.Bookmark{}
	}
	if b.Turned {
		b.OneDown, b.Down = b.Rule == ladder.TwoUpOneDown, b.Rule == ladder.Arch
	}
	return b.Bookmark
}
