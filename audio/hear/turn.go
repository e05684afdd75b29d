package hear

// turn is what was seen where the pitch of one note became that of the next. The
// zero value is of a note that follows no other, or one of its own pitch.
type turn struct {
	pair
	// All in seconds: where the one period becomes the other, where an attack seems
	// to begin, where it is strong, full and loud.
	where, begin, strong, full, loud float64
	rise                             float64 // dB by which the sound comes up
	mixed                            float64 // share of the sound around where that is neither note
	struck                           bool    // a click was taken out shortly before
}

// pair of notes, by their numbers, of which the one turns into the other: at once,
// or after a rest that the room has filled.
type pair struct {
	old, now int
	rested   bool
}

// restDB is by how much the sound comes up, in dB, after a rest.
const restDB = 25.0

// turned puts together what was seen of a turn.
func (p *placer) turned(s sighting, where, rise, mixed float64) turn {
	t := turn{where: where / p.hz, begin: s.begin / p.hz, rise: rise, mixed: mixed}
	for _, a := range s.looks {
		share := 1 / p.hz / float64(len(s.looks))
		t.strong += a.strong * share
		t.full += a.full * share
		t.loud += a.loud * share
	}
	return t
}
