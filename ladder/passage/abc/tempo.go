package abc

import (
	"fmt"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder/passage"
)

// tempo is what a field Q: says of the notes from some note on.
type tempo struct {
	place Place
	text  string // a word, or empty
	// quarters is the tempo in thousandths of a quarter a minute, 0 for none; value and
	// dots are the note that it is printed with, empty where that is no single note.
	quarters int64
	value    string
	dots     int
	number   string
}

// mostPulses is the most note lengths in one field (ABC 2.1, section 3.1.8).
const mostPulses = 4

// readTempo reads what stands behind Q: in one of the standard's forms: 1/4=120, several
// lengths as in 1/4 3/8=40, a text in quotes before it or behind it, or alone (ABC 2.1,
// section 3.1.8).
func (r *reader) readTempo(at Place, text string) {
	t := tempo{place: at}
	text, _, _ = strings.Cut(text, "%")
	bad := func(what string, args ...any) {
		r.fail(at, `write one such as Q:1/4=104 or Q:"Andante"`, what, args...)
	}
	if before, rest, ok := strings.Cut(text, `"`); ok {
		word, after, closed := strings.Cut(rest, `"`)
		if !closed {
			bad("the tempo's text does not end in a quote")
			return
		}
		t.text, text = strings.TrimSpace(word), before+after
	}
	if text = strings.TrimSpace(text); text == "" && t.text == "" {
		bad("the tempo says nothing")
		return
	}
	if text != "" {
		lengths, number, ok := strings.Cut(text, "=")
		sum, ok2 := pulse(lengths)
		n, err := strconv.Atoi(strings.TrimSpace(number))
		switch {
		case !ok || !ok2:
			bad("%.40q is not a tempo", text)
			return
		case err != nil || n < 1 || n > 1000:
			bad("%.40q is no number of notes a minute from 1 to 1000", strings.TrimSpace(number))
			return
		}
		t.number = strconv.Itoa(n)
		t.quarters = 4000 * int64(n) * sum.Num() / sum.Den()
		if value, dots, ok := passage.Written(click.Frac(4*sum.Num(), sum.Den())); ok {
			t.value, t.dots = value.String(), dots
		}
	}
	r.tempos = append(r.tempos, t)
}

// pulse is the sum of note lengths such as "1/4 3/8", as a part of a whole note.
func pulse(text string) (click.Beats, bool) {
	var sum click.Beats
	lengths := strings.Fields(text)
	for _, l := range lengths {
		above, below, ok := strings.Cut(l, "/")
		n, err := strconv.Atoi(above)
		d, err2 := strconv.Atoi(below)
		if !ok || err != nil || err2 != nil || n < 1 || n > 64 || d < 1 || d > 64 || d&(d-1) != 0 {
			return sum, false
		}
		sum = sum.Add(click.Frac(int64(n), int64(d)))
	}
	return sum, len(lengths) > 0 && len(lengths) <= mostPulses
}

// said puts tempos into a part, at a place.
func said(part *passage.Part, tempos []tempo, bar int, at passage.Quarters) {
	for _, t := range tempos {
		if t.text != "" {
			part.Directions = append(part.Directions, passage.Direction{Bar: bar, At: at, Kind: passage.Words, Text: t.text})
		}
		switch {
		case t.value != "":
			part.Directions = append(part.Directions, passage.Direction{
				Bar: bar, At: at, Kind: passage.Metronome, Text: fmt.Sprintf("%s=%s", t.value, t.number), Dots: t.dots,
			})
		case t.quarters > 0:
			part.Tempos = append(part.Tempos, passage.Tempo{Bar: bar, At: at, MilliQuarters: t.quarters})
		}
	}
}
