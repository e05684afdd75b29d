package routine

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/nearest"
)

// The errors of these parsers have the form "what; what would be right".

func split(err error) (what, want string) {
	text := err.Error()
	if i := strings.LastIndex(text, "; "); i >= 0 {
		return text[:i], text[i+2:]
	}
	return text, "compare with a starter routine"
}

// near adds to an error of a list of words the word that was probably meant.
func near(s string, words []string, err error) error {
	if word, ok := nearest.Word(s, words); ok && err != nil {
		what, _ := split(err)
		return fmt.Errorf("%s; did you mean %s?", what, word)
	}
	return err
}

func parseUnit(s string) (click.Unit, error) {
	u, err := click.ParseUnit(s)
	return u, near(s, click.UnitNames(), err)
}

func parsePulse(s string) (click.Pulse, error) {
	p, err := click.ParsePulse(s)
	return p, near(s, []string{"beat", "doubled", "halved", "offbeat"}, err)
}

func parseCounting(s string) (click.Counting, error) {
	c, err := click.ParseCounting(s)
	return c, near(s, []string{"none", "number", "takadimi", "gordon", "kodaly"}, err)
}

func parseStereo(s string) (ladder.Stereo, error) {
	p, err := ladder.ParseStereo(s)
	return p, near(s, names(ladder.AllCentre, ladder.BeatsRight), err)
}

func parseRule(s string) (ladder.RuleKind, error) {
	k, err := ladder.ParseRule(s)
	return k, near(s, ladder.RuleNames(), err)
}

func parseBool(s string) (bool, error) {
	switch s {
	case "true":
		return true, nil
	case "false":
		return false, nil
	}
	return false, fmt.Errorf("%s is neither true nor false; write true or false", quote(s))
}

// wholeNumber reads a number within bounds, written with digits only.
func wholeNumber(low, high int) func(string) (int, error) {
	return func(s string) (int, error) {
		n, err := strconv.Atoi(s)
		if err != nil || s[0] == '+' {
			return 0, fmt.Errorf("%s is not a whole number; write one from %d to %d", quote(s), low, high)
		}
		if n < low || n > high {
			return 0, fmt.Errorf("%d is out of range; write a whole number from %d to %d", n, low, high)
		}
		return n, nil
	}
}

// parseSlots reads how many slots a beat has, or a cross-rhythm.
func parseSlots(s string) (click.Slots, error) {
	if strings.Contains(s, ":") {
		return click.ParseCross(s)
	}
	n, err := wholeNumber(1, click.MaxSlots)(s)
	if err != nil {
		return click.Slots{}, err
	}
	return click.EvenSlots(n), nil
}

// parseTempo reads bpm, and says so when a unit was written.
func parseTempo(s string) (click.Tempo, error) {
	t, err := click.ParseTempo(s)
	if err == nil {
		return t, nil
	}
	if number, _, ok := strings.Cut(s, " "); ok {
		if t, err := click.ParseTempo(number); err == nil {
			return 0, fmt.Errorf("%s has a unit; did you mean %s? Tempos are in bpm", quote(s), t)
		}
	}
	return 0, fmt.Errorf("%s is not a tempo; write beats a minute from 10 to 400, such as 76 or 76.5", quote(s))
}

// start is where a ladder begins: at a tempo, or so many rungs below the goal.
type start struct {
	tempo click.Tempo
	below int
}

var rungsBelow = regexp.MustCompile(`^(\d{1,6}) rungs? below$`)
var someBelow = regexp.MustCompile(`^(\d{1,6}) \pL+( \pL+)?$`)

func parseFrom(s string) (start, error) {
	if m := rungsBelow.FindStringSubmatch(s); m != nil {
		n, _ := strconv.Atoi(m[1])
		if n < 1 || n >= ladder.MaxRungs {
			return start{}, fmt.Errorf("%d rungs below is out of range; write 1 to %d rungs below", n, ladder.MaxRungs-1)
		}
		return start{below: n}, nil
	}
	t, err := parseTempo(s)
	if err == nil {
		return start{tempo: t}, nil
	}
	if m := someBelow.FindStringSubmatch(s); m != nil && !strings.HasSuffix(s, "bpm") {
		return start{}, fmt.Errorf("%s is no start of a ladder; did you mean %s rungs below?", quote(s), m[1])
	}
	what, want := split(err)
	if !strings.HasPrefix(want, "did you mean") {
		want += ", or 10 rungs below"
	}
	return start{}, errors.New(what + "; " + want)
}

var stepSize = regexp.MustCompile(`^(\d{1,3}(?:\.\d{1,3})?)( ?)(\S*)$`)

// ParseStepSize reads "4 bpm", "5%" or "marks", as [ladder.StepSize] writes it.
func ParseStepSize(s string) (ladder.StepSize, error) {
	if s == "marks" {
		return ladder.StepSize{Kind: ladder.ByMarks}, nil
	}
	m := stepSize.FindStringSubmatch(s)
	if m == nil {
		err := fmt.Errorf("%s is not a step between rungs; write 4 bpm, 5%% or marks", quote(s))
		return ladder.StepSize{}, near(s, []string{"marks"}, err)
	}
	whole, part, _ := strings.Cut(m[1], ".")
	amount, _ := strconv.ParseInt(whole+part+strings.Repeat("0", 3-len(part)), 10, 64)
	switch {
	case m[3] == "bpm":
		return ladder.StepSize{Kind: ladder.ByBPM, Amount: amount}, nil
	case m[3] == "%":
		return ladder.StepSize{Kind: ladder.ByPercent, Amount: amount}, nil
	case m[3] == "":
		return ladder.StepSize{}, fmt.Errorf("%s has no unit; write %s bpm or %s%%", quote(s), m[1], m[1])
	}
	unit, ok := nearest.Word(m[3], []string{"bpm", "%", "percent"})
	switch {
	case ok && unit == "bpm":
		return ladder.StepSize{}, fmt.Errorf("%s is not a step between rungs; did you mean %s bpm?", quote(s), m[1])
	case ok:
		return ladder.StepSize{}, fmt.Errorf("%s is not a step between rungs; did you mean %s%%?", quote(s), m[1])
	}
	return ladder.StepSize{}, fmt.Errorf("%s is not a step between rungs; write %s bpm, %s%% or marks", quote(s), m[1], m[1])
}

// parseBars reads "17-20" or "17".
func parseBars(s string) ([2]int, error) {
	bad := fmt.Errorf("%s are no bars; write such as 17-20, or one bar such as 17", quote(s))
	first, last, ranged := strings.Cut(strings.ReplaceAll(s, "–", "-"), "-")
	if !ranged {
		last = first
	}
	from, err1 := barNumber(first)
	to, err2 := barNumber(last)
	switch {
	case err1 != nil || err2 != nil:
		return [2]int{}, bad
	case from < 1 || to > ladder.MaxBar || from > ladder.MaxBar:
		return [2]int{}, fmt.Errorf("bars %s are out of range; write bars from 1 to %d", s, ladder.MaxBar)
	case from > to:
		return [2]int{}, fmt.Errorf("bars %d-%d run backwards; write %d-%d", from, to, to, from)
	}
	return [2]int{from, to}, nil
}

var digits = regexp.MustCompile(`^\d{1,9}$`)

func barNumber(s string) (int, error) {
	s = strings.TrimSpace(s)
	if !digits.MatchString(s) {
		return 0, errors.New("not a bar")
	}
	return strconv.Atoi(s)
}

// place is where a chunk starts.
type place struct {
	bar int
	at  click.Beats // from 0
}

// parseStart reads bar:beat, "18:2" or "18:2+1/2"; a bar alone is its first
// beat.
func parseStart(s string) (place, error) {
	bad := fmt.Errorf("%s is no place in a bar; write bar:beat such as \"18:2\" or \"18:2+1/2\"", quote(s))
	bar, beat, ok := strings.Cut(s, ":")
	if !ok {
		beat = "1"
	}
	n, err := barNumber(bar)
	if err != nil {
		return place{}, bad
	}
	at, err := click.ParseBeats(beat)
	if err != nil {
		return place{}, bad
	}
	at = at.Sub(click.Whole(1))
	if at.Sign() < 0 {
		return place{}, fmt.Errorf("%s is before the first beat; beats count from 1, such as \"%d:1\"", quote(s), n)
	}
	return place{n, at}, nil
}

func parsePickup(s string) (click.Beats, error) {
	b, err := click.ParseBeats(s)
	if err != nil {
		return b, fmt.Errorf("%s is not a number of beats; write a whole number or a fraction such as 1, 1/2 or 2+1/2", quote(s))
	}
	return b, nil
}

func parseLength(s string) (click.Beats, error) {
	b, err := click.ParseBeats(s)
	if err != nil {
		return b, fmt.Errorf("%s is not a number of beats; write a whole number or a fraction such as 2, 1/2 or 2+1/2", quote(s))
	}
	if b.Sign() == 0 || b.Cmp(click.Whole(ladder.MaxChunkBeats)) > 0 {
		return b, fmt.Errorf("a chunk of %s beats is out of range; write more than 0 and at most %d", b, ladder.MaxChunkBeats)
	}
	return b, nil
}
