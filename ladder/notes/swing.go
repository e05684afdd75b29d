package notes

import "footing/audio/click"

// swing is how a swung pair strikes notes that are written even. The zero value
// strikes them where they are written.
type swing struct {
	half   click.Beats  // where in a beat its half is struck
	uneven map[int]bool // beats with other places than their half, which stay as written
}

// swing is how slots strike the notes. Pairs of even notes are swung, a beat in
// triplets or in fours is played as it is written (common practice, no source).
func (n *Notes) swing(s click.Slots) swing {
	if _, _, ok := s.Swung(); !ok {
		return swing{}
	}
	w := swing{half: s.At(1), uneven: map[int]bool{}}
	for _, note := range n.All {
		for _, at := range []click.Beats{note.From, note.To} {
			if at.Times(2).Den() != 1 {
				w.uneven[at.Floor()] = true
			}
		}
	}
	return w
}

// even reports whether a beat's half is struck elsewhere than it is written.
func (w swing) even(beat int) bool { return w.half.Sign() > 0 && !w.uneven[beat] }

// struck is where a written place is struck.
func (w swing) struck(at click.Beats) click.Beats {
	beat := at.Floor()
	if !w.even(beat) {
		return at
	}
	within := at.Sub(click.Whole(beat)).Times(2)
	if within.Less(click.Whole(1)) {
		return click.Whole(beat).Add(product(within, w.half))
	}
	return click.Whole(beat).Add(w.half).Add(product(within.Sub(click.Whole(1)), click.Whole(1).Sub(w.half)))
}

// read is the place that is written for one that is struck.
func (w swing) read(at click.Beats) click.Beats {
	beat := at.Floor()
	if !w.even(beat) {
		return at
	}
	within, half := at.Sub(click.Whole(beat)), click.Frac(1, 2)
	if within.Less(w.half) {
		return click.Whole(beat).Add(product(half, quotient(within, w.half)))
	}
	return click.Whole(beat).Add(half).Add(product(half, quotient(within.Sub(w.half), click.Whole(1).Sub(w.half))))
}

// Struck are the notes with their places as slots strike them. Under a swung pair
// that moves what is written on or up to the half of a beat, in beats that have no
// other places within them; else these are the same notes. Chunks lie among the
// places that are struck, the player's marks stay where they are written.
func (n *Notes) Struck(s click.Slots) *Notes {
	w := n.swing(s)
	if w.half.Sign() == 0 {
		return n
	}
	out := *n
	out.All = make([]Note, len(n.All))
	for i, note := range n.All {
		note.From, note.To = w.struck(note.From), w.struck(note.To)
		out.All[i] = note
	}
	return &out
}

func product(a, b click.Beats) click.Beats { return click.Frac(a.Num()*b.Num(), a.Den()*b.Den()) }

// quotient is of two lengths, the second above 0.
func quotient(a, b click.Beats) click.Beats { return click.Frac(a.Num()*b.Den(), a.Den()*b.Num()) }
