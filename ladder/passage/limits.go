package passage

import (
	"fmt"
	"slices"
	"strings"
)

// Limits bound what a reader takes in. A field of 0 stands for that of
// [DefaultLimits].
type Limits struct {
	Bytes   int64 // of a score, after unpacking
	Packed  int64 // of an archive
	Entries int   // in an archive
	Depth   int   // of elements in each other
	Parts   int
	Bars    int // of a part
	Notes   int // of all parts
	Played  int // bars once repeats are played out
}

// DefaultLimits hold a symphony many times over; the largest score within them
// takes about 280 MB, and what is refused less than 256.
var DefaultLimits = Limits{
	Bytes:   64 << 20,
	Packed:  16 << 20,
	Entries: 1000,
	Depth:   32,
	Parts:   500,
	Bars:    20_000,
	Notes:   500_000,
	Played:  100_000,
}

// Or is l with the fields of d where l has 0.
func (l Limits) Or(d Limits) Limits {
	fill(&l.Bytes, d.Bytes)
	fill(&l.Packed, d.Packed)
	fill(&l.Entries, d.Entries)
	fill(&l.Depth, d.Depth)
	fill(&l.Parts, d.Parts)
	fill(&l.Bars, d.Bars)
	fill(&l.Notes, d.Notes)
	fill(&l.Played, d.Played)
	return l
}

func fill[T int | int64](n *T, standard T) {
	if *n <= 0 {
		*n = standard
	}
}

// Remark is something odd in a score that can be read all the same: what it is,
// and what was made of it.
type Remark struct {
	Part string // its name or id, empty where it is about the whole score
	Bar  string // the printed number, empty where it is about the whole part
	Text string
}

// String is "bar 3 of Clarinet: text".
func (r Remark) String() string {
	if where := place(r.Bar, r.Part); where != "" {
		return where + ": " + r.Text
	}
	return r.Text
}

// place is "bar 3 of Clarinet", as far as it is known.
func place(bar, part string) string {
	var words []string
	if bar != "" {
		words = append(words, "bar "+bar)
	}
	if part != "" {
		words = append(words, part)
	}
	return strings.Join(words, " of ")
}

// maxRemarks is how many remarks a reader keeps.
const maxRemarks = 100

// remarks gathers what a reader has to say.
type remarks struct {
	list []Remark
	more int
}

func (r *remarks) add(part, bar, format string, args ...any) {
	m := Remark{part, bar, fmt.Sprintf(format, args...)}
	if slices.Contains(r.list, m) {
		return
	}
	if len(r.list) < maxRemarks {
		r.list = append(r.list, m)
	} else {
		r.more++
	}
}

func (r *remarks) all() []Remark {
	if r.more > 0 {
		return append(r.list, Remark{Text: fmt.Sprintf("%d more remarks are not listed", r.more)})
	}
	return r.list
}
