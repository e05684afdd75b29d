package angle

import "footing/audio/click"

// Over is what an angle goes over: the slots of a chunk, or its notes. It is a value
// that is only read.
type Over struct {
	start  click.Beats // of the chunk in its bar
	shares []click.Share
	slots  click.Slots
	first  int  // the index in its beat of the slot that the chunk begins in
	notes  bool // shares are notes
}

// OverSlots is the slots of a chunk.
func OverSlots(c click.Chunk, s click.Slots) Over {
	shares := c.Shares(s)
	o := Over{start: c.At, shares: shares, slots: s}
	if len(shares) > 0 {
		o.first = shares[0].Slot
	}
	return o
}

// OverNotes is the notes of a chunk: from where one begins to where the next does, or
// the chunk ends. begins are the places, from 0 on and in order, at which notes begin,
// counted from the line that start is counted from too; the chunk is so long, and
// begins there. What comes before its first note is a share like a note's. It is false
// where none begins in the chunk.
func OverNotes(c click.Chunk, s click.Slots, start click.Beats, begins []click.Beats) (Over, bool) {
	end := start.Add(c.Length)
	from, to := search(begins, start), search(begins, end)
	if from == to {
		return Over{}, false
	}
	places := begins[from:to]
	if start.Less(places[0]) {
		places = append([]click.Beats{start}, places...)
	}
	out := Over{start: c.At, slots: s, first: -1, notes: true}
	at, in := c.At.Sub(click.Whole(c.At.Floor())), 0
	for i := range s.Count() {
		if s.At(i) == at {
			out.first = i
		}
	}
	for k, place := range places {
		next := end
		if k+1 < len(places) {
			next = places[k+1]
		}
		switch {
		case k == 0: // those of its beat that lie before the chunk
			in = max(from-search(begins, click.Whole(start.Floor())), 0)
			if places[0] != begins[from] {
				in = max(in-1, 0)
			}
		case place.Floor() != places[k-1].Floor():
			in = 0
		default:
			in++
		}
		out.shares = append(out.shares, click.Share{At: place.Sub(start), Length: next.Sub(place), Slot: in})
	}
	return out, true
}

// search is the index of the first of some places that is at a place or after it.
func search(places []click.Beats, at click.Beats) int {
	low, high := 0, len(places)
	for low < high {
		if mid := (low + high) / 2; places[mid].Less(at) {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low
}

// Shares are the slots or the notes, in order: they follow each other without a gap
// from the chunk's start to its end. The Slot of a note's is its index among those of
// its beat. They are shared between copies and not written to.
func (o Over) Shares() []click.Share { return o.shares }

// Notes reports whether it is notes.
func (o Over) Notes() bool { return o.notes }

// perBeat is how many of the shares make up a beat, 0 where that differs.
func (o Over) perBeat() int {
	if !o.notes {
		return o.slots.Count()
	}
	length := o.shares[0].Length
	for _, s := range o.shares {
		if s.Length != length {
			return 0
		}
	}
	if length.Num() != 1 {
		return 0
	}
	return int(length.Den())
}

// groups are the indexes of the first of each n shares that a rhythm takes together.
//
// Slots that make up beats are taken from a beat on, others from the chunk's first.
// Notes are taken where n of one length follow each other, and where they make up a
// part of a beat or whole beats, from such a part or a beat on; so a longer or a
// shorter note keeps its place in the beat, and the beat its own.
func (o Over) groups(n int) []int {
	var out []int
	i := 0
	if !o.notes && o.slots.Count()%n == 0 {
		for i < len(o.shares) && o.shares[i].Slot%n != 0 {
			i++
		}
	}
	for i+n <= len(o.shares) {
		if o.notes && !o.together(i, n) {
			i++
			continue
		}
		out = append(out, i)
		i += n
	}
	return out
}

// together reports whether n notes from one on are taken together.
func (o Over) together(i, n int) bool {
	length := o.shares[i].Length
	for _, s := range o.shares[i+1 : i+n] {
		if s.Length != length {
			return false
		}
	}
	whole, at := length.Times(int64(n)), o.start.Add(o.shares[i].At)
	switch {
	case whole.Num() == 1: // a beat or a part of one
		return at.Times(whole.Den()).Den() == 1
	case whole.Den() == 1:
		return at.Den() == 1
	}
	return true
}
