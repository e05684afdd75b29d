package angle

import (
	"strings"

	"footing/audio/click"
)

// rhythm is notes by turns long and short, as many as it has lengths.
type rhythm struct {
	words   string
	lengths []int64 // in parts of the time that so many notes have
	// onBeat lets the long note fall on the beat, whatever comes before it.
	onBeat bool
}

// The twelve rhythms of a published column: B. Pimentel, "12(+) ways to practice a
// technical passage", bretpimentel.com: long and short, short and long; one long
// among three, in three ways; one long among four, in four; and these shifted in
// the bar, in three, so that the long note is on the beat and the short ones lead
// up to it. How long is long the column leaves open: here a dotted one of two, half
// the time of three and half that of four.
var rhythms = rhythmsOf()

func rhythmsOf() []rhythm {
	var out []rhythm
	for _, group := range []struct {
		notes int
		long  int64
	}{{2, 3}, {3, 2}, {4, 3}} {
		for at := range group.notes {
			out = append(out, oneLong(group.notes, at, group.long, false))
		}
	}
	for at := 1; at < 4; at++ {
		out = append(out, oneLong(4, at, 3, true))
	}
	return out
}

// oneLong is a rhythm in which one of some notes is long.
func oneLong(notes, at int, long int64, onBeat bool) rhythm {
	r := rhythm{onBeat: onBeat}
	words := make([]string, notes)
	for i := range words {
		words[i] = "short"
		r.lengths = append(r.lengths, 1)
	}
	words[at], r.lengths[at] = "long", long
	r.words = strings.Join(words, " ")
	if onBeat {
		r.words += ", long on the beat"
	}
	return r
}

// path gives each group its lengths. What is in no group stays as it is.
func (r rhythm) path(o Over) click.Path {
	p := click.Path{Cells: plain(o.shares)}
	n := len(r.lengths)
	var sum int64
	long := 0
	for i, length := range r.lengths {
		sum += length
		if length > r.lengths[long] {
			long = i
		}
	}
	groups := o.groups(n)
	for _, i := range groups {
		var time click.Beats
		for _, s := range o.shares[i : i+n] {
			time = time.Add(s.Length)
		}
		for k, length := range r.lengths {
			cell := &p.Cells[i+k]
			cell.Length = click.Frac(time.Num()*length, time.Den()*sum)
			cell.Accent = r.onBeat && k == long
		}
	}
	if r.onBeat && len(groups) > 0 {
		at := o.start
		for _, c := range p.Cells[:groups[0]+long] {
			at = at.Add(c.Length)
		}
		p.Lead = click.Whole(at.Ceil()).Sub(at)
	}
	return p
}
