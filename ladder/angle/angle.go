// Package angle holds other ways through the same notes: a rhythm, an articulation,
// a regrouping, another place in the beat, one note more at a time, two notes back
// and forth. Each of them sounds, since it is a path of the click's. It goes over the notes where
// they are known, else over the slots. It is pure.
package angle

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder/nearest"
)

// Kind says what an angle changes.
type Kind uint8

// The kinds. None leaves the notes as they stand.
const (
	None Kind = iota
	Rhythm
	Articulation
	Regrouped
	Shifted
	Stops
	First
	Pair
)

// Angle is one way through the notes of a chunk. It is a small value that compares
// with ==; the zero value leaves them as they stand.
type Angle struct {
	Kind Kind
	// N is which rhythm or articulation, from 0; after how many notes an accent
	// comes; on which slot of the beat the chunk begins, from 1; how many beats lie
	// between stops; how many notes are left; or which of the notes, from 1, goes to
	// and fro with the next.
	N int
}

// The bounds of N where it is a number of something.
const (
	MaxGroup = 12  // notes from an accent to the next
	MaxStop  = 8   // beats between stops
	MaxNotes = 999 // notes that are left, or the place of a pair
)

const (
	groupWords = "accents every %d"
	startWords = "begin on slot %d"
	stopWords  = "stop every %d beats"
	firstWords = "first %d notes"
	pairWords  = "notes %d and %d to and fro"
	plainWord  = "as written"
	stopEach   = "stop on each beat"
)

// String is the angle in words, as in a routine file.
func (a Angle) String() string {
	switch a.Kind {
	case Rhythm:
		return rhythms[a.N].words
	case Articulation:
		return articulations[a.N].words
	case Regrouped:
		return fmt.Sprintf(groupWords, a.N)
	case Shifted:
		return fmt.Sprintf(startWords, a.N)
	case Stops:
		if a.N == 1 {
			return stopEach
		}
		return fmt.Sprintf(stopWords, a.N)
	case First:
		return fmt.Sprintf(firstWords, a.N)
	case Pair:
		return fmt.Sprintf(pairWords, a.N, a.N+1)
	}
	return plainWord
}

// Parse reads what [Angle.String] writes. The error is one sentence that says what
// would be right.
func Parse(s string) (Angle, error) {
	words := strings.Join(strings.Fields(s), " ")
	if a, ok := fixed(words); ok {
		return a, nil
	}
	for _, kind := range []struct {
		kind        Kind
		words       string
		least, most int
	}{
		{Regrouped, groupWords, 2, MaxGroup}, {Shifted, startWords, 2, click.MaxSlots},
		{Stops, stopWords, 2, MaxStop}, {First, firstWords, 1, MaxNotes}, {Pair, pairWords, 1, MaxNotes},
	} {
		before, after, _ := strings.Cut(kind.words, "%d")
		rest, ok := strings.CutPrefix(words, before)
		if !ok {
			continue
		}
		digits := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
		n, err := strconv.Atoi(digits)
		if err != nil {
			continue
		}
		a := Angle{kind.kind, n}
		switch {
		case n < kind.least || n > kind.most:
			return Angle{}, fmt.Errorf("%q is out of range; write a number from %d to %d", s, kind.least, kind.most)
		case words == a.String():
			return a, nil
		case kind.kind == Pair || after == "":
			return Angle{}, fmt.Errorf("%q is not an angle; did you mean %s?", s, a)
		}
	}
	if near, ok := nearest.Word(words, fixedWords()); ok {
		return Angle{}, fmt.Errorf("%q is not an angle; did you mean %s?", s, near)
	}
	return Angle{}, fmt.Errorf("%q is not an angle; write such as long short, slur two tongue two, accents every 3 or begin on slot 2", s)
}

// fixed finds an angle that is a word without a number.
func fixed(words string) (Angle, bool) {
	for i, w := range fixedWords() {
		if w != words {
			continue
		}
		switch {
		case i == 0:
			return Angle{}, true
		case i == 1:
			return Angle{Stops, 1}, true
		case i-2 < len(rhythms):
			return Angle{Rhythm, i - 2}, true
		}
		return Angle{Articulation, i - 2 - len(rhythms)}, true
	}
	return Angle{}, false
}

func fixedWords() []string {
	out := []string{plainWord, stopEach}
	for _, r := range rhythms {
		out = append(out, r.words)
	}
	for _, a := range articulations {
		out = append(out, a.words)
	}
	return out
}

// All are the angles that a chunk can be taken from, in the order in which they are
// offered: as written first, then what keeps every note, then what stops, leaves notes
// out or goes to and fro.
func All(o Over) []Angle {
	out := []Angle{{}}
	add := func(kind Kind, from, to int) {
		for n := from; n <= to; n++ {
			if a := (Angle{kind, n}); a.Fits(o) {
				out = append(out, a)
			}
		}
	}
	add(Rhythm, 0, len(rhythms)-1)
	add(Articulation, 0, len(articulations)-1)
	add(Regrouped, 2, 6)
	add(Shifted, 2, o.slots.Count())
	add(Stops, 1, 2)
	add(First, 2, min(len(o.shares)-1, 16))
	add(Pair, 1, min(len(o.shares)-1, 16))
	return out
}

// Fits reports whether an angle makes anything else of a chunk than what it is.
func (a Angle) Fits(o Over) bool {
	n := len(o.shares)
	switch a.Kind {
	case Rhythm:
		if o.notes {
			return len(o.groups(len(rhythms[a.N].lengths))) > 0
		}
		return n >= len(rhythms[a.N].lengths)
	case Articulation:
		return n >= min(2, len(articulations[a.N].slurred)) && n >= articulations[a.N].least
	case Regrouped:
		return n > a.N && a.N != o.perBeat()
	case Shifted:
		return n > 0 && a.N <= o.slots.Count() && o.first != a.N-1
	case Stops:
		return len(beats(o.shares, a.N)) > 0 && n > 1
	case First:
		return a.N < n
	case Pair:
		return a.N < n && n > 1
	}
	return true
}

// Keeps reports whether an angle keeps every note of a chunk, their order and the
// time that they take together.
func (a Angle) Keeps() bool { return a.Kind < Stops }

// Path is how the angle takes a chunk. One that does not fit leaves it as it is.
func (a Angle) Path(o Over) click.Path {
	if a.Kind == None || !a.Fits(o) {
		return click.Path{}
	}
	p := click.Path{Cells: plain(o.shares)}
	switch a.Kind {
	case Rhythm:
		return rhythms[a.N].path(o)
	case Articulation:
		articulations[a.N].mark(p.Cells, o.shares)
	case Regrouped:
		for i := range p.Cells {
			p.Cells[i].Accent = i%a.N == 0
		}
	case Shifted:
		// On the grid of the beat that the chunk begins in, or of the next.
		at := click.Whole(o.start.Floor()).Add(o.slots.At(a.N - 1))
		if at.Less(o.start) {
			at = at.Add(click.Whole(1))
		}
		p.Lead = at.Sub(o.start)
	case Stops:
		for _, i := range beats(o.shares, a.N) {
			p.Cells[i].Length = p.Cells[i].Length.Add(click.Whole(1))
		}
	case First:
		for i := a.N; i < len(p.Cells); i++ {
			p.Cells[i].Slot = -1
		}
	case Pair:
		for i := range p.Cells {
			p.Cells[i].Slot = a.N - 1 + i%2
		}
	}
	return p
}

// plain is a cell for each share, as it stands.
func plain(shares []click.Share) []click.Cell {
	out := make([]click.Cell, len(shares))
	for i, s := range shares {
		out[i] = click.Cell{Slot: i, Length: s.Length}
	}
	return out
}

// beats are the indexes of the shares that are the first of every nth beat.
func beats(shares []click.Share, n int) []int {
	var out []int
	beat := 0
	for i, s := range shares {
		if s.Slot != 0 {
			continue
		}
		if beat%n == 0 {
			out = append(out, i)
		}
		beat++
	}
	return out
}

// Next is the angle after this one among others, or, back, the one before it, round
// and round; the first where it is none of them.
func (a Angle) Next(all []Angle, by int) Angle {
	if len(all) == 0 {
		return Angle{}
	}
	i := slices.Index(all, a)
	if i < 0 {
		return all[0]
	}
	return all[((i+by)%len(all)+len(all))%len(all)]
}
