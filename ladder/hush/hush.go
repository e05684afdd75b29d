// Package hush takes clicks away, to test the inner pulse: half notes alone, then the
// downbeats, then every other bar; a share of the bars by chance; or slots that thin
// out up the ladder. It is pure.
package hush

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Kind says what of a rep is left to sound.
type Kind uint8

// The kinds. Nothing hushes nothing.
const (
	Nothing Kind = iota
	// Beats, Halves and Downbeats sound alone.
	Beats
	Halves
	Downbeats
	// EveryBar is silent: of N bars the last.
	EveryBar
	// SomeBars are silent: N percent of them, drawn from a seed.
	SomeBars
	// Thinning is all slots on the lowest rung, the downbeats alone on the goal.
	Thinning
)

// Stage is what is hushed for a part of the ladder.
type Stage struct {
	Kind Kind
	N    int // bars, 2 to MaxBars, or percent, 1 to 99
	Seed int // 1 to MaxSeed
}

// Bounds of a hush.
const (
	MaxStages = 4
	MaxBars   = 16
	MaxSeed   = 9999
)

// Hush is what is hushed in the reps of a step. It compares with ==; the zero value
// hushes nothing.
type Hush struct {
	// Stages follow each other up the ladder, each for the same share of its rungs.
	// After the first that is Nothing there is none.
	Stages [MaxStages]Stage
	// Seen keeps the picture as it is, where it else hushes with the sound.
	Seen bool
}

// None reports whether nothing is hushed.
func (h Hush) None() bool { return h.count() == 0 }

func (h Hush) count() int {
	n := 0
	for n < MaxStages && h.Stages[n].Kind != Nothing {
		n++
	}
	return n
}

// Words of the file, without what is said of bars.
const (
	noWords  = "nothing"
	then     = "then "
	seenWord = "seen"
	every2nd = "every other bar"
)

var plain = map[Kind]string{Beats: "beats", Halves: "half notes", Downbeats: "downbeats", Thinning: "thinning"}

// String is the hush in words, as in a routine file: "half notes, then downbeats, then
// every other bar, seen".
func (h Hush) String() string {
	if h.None() {
		return noWords
	}
	var words []string
	for i, s := range h.Stages[:h.count()] {
		word := s.words()
		if i > 0 {
			word = then + word
		}
		words = append(words, word)
	}
	if h.Seen {
		words = append(words, seenWord)
	}
	return strings.Join(words, ", ")
}

func (s Stage) words() string {
	switch {
	case s.Kind == EveryBar && s.N == 2:
		return every2nd
	case s.Kind == EveryBar:
		return fmt.Sprintf("every %s bar", ordinal(s.N))
	case s.Kind == SomeBars && s.Seed == 1:
		return fmt.Sprintf("%d%% of bars", s.N)
	case s.Kind == SomeBars:
		return fmt.Sprintf("%d%% of bars from %d", s.N, s.Seed)
	}
	return plain[s.Kind]
}

// ordinal is "3rd", "4th", for numbers from 3 to MaxBars.
func ordinal(n int) string {
	if n == 3 {
		return "3rd"
	}
	return strconv.Itoa(n) + "th"
}

var (
	everyBar = regexp.MustCompile(`^every (\d{1,2})(?:nd|rd|th) bar$`)
	someBars = regexp.MustCompile(`^(\d{1,2}) ?% of bars(?: from (\d{1,4}))?$`)
)

// Parse reads what [Hush.String] writes. The error is one sentence that says what
// would be right.
func Parse(text string) (Hush, error) {
	var h Hush
	words := strings.Join(strings.Fields(text), " ")
	if words == noWords {
		return h, nil
	}
	if rest, ok := strings.CutSuffix(words, ", "+seenWord); ok {
		h.Seen, words = true, rest
	}
	parts := strings.Split(words, ", ")
	if len(parts) > MaxStages {
		return Hush{}, fmt.Errorf("%q has %d stages; write %d at most", text, len(parts), MaxStages)
	}
	for i, part := range parts {
		if i > 0 {
			part = strings.TrimPrefix(part, then)
		}
		s, ok := parseStage(part)
		switch {
		case !ok:
			return Hush{}, fmt.Errorf("%q hushes nothing that is known; write one of nothing, beats, half notes, downbeats, every other bar, every 4th bar, 30%% of bars, thinning, or some as in half notes, then downbeats", part)
		case s.Kind == Thinning && len(parts) > 1:
			return Hush{}, fmt.Errorf("thinning has stages of its own; write hush: thinning")
		}
		h.Stages[i] = s
	}
	return h, nil
}

func parseStage(words string) (Stage, bool) {
	for kind, w := range plain {
		if w == words {
			return Stage{Kind: kind}, true
		}
	}
	if words == every2nd {
		return Stage{Kind: EveryBar, N: 2}, true
	}
	if m := everyBar.FindStringSubmatch(words); m != nil {
		n, _ := strconv.Atoi(m[1])
		return Stage{Kind: EveryBar, N: n}, n >= 2 && n <= MaxBars
	}
	if m := someBars.FindStringSubmatch(words); m != nil {
		n, _ := strconv.Atoi(m[1])
		seed := 1
		if m[2] != "" {
			seed, _ = strconv.Atoi(m[2])
		}
		return Stage{Kind: SomeBars, N: n, Seed: seed}, n > 0 && seed > 0
	}
	return Stage{}, false
}
