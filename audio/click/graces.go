package click

// graceLength is 60 ms at a tempo, in beats (common practice, no source).
func graceLength(t Tempo) Beats { return Frac(int64(t), 1_000_000) }

// Graces are the places of n grace notes at tempo t before a note at the place at:
// 60 ms each, the last of them up to that note, and all of them within the latter
// half of the note before, which began at from. They last until the next one each,
// and the note before is cut short at the first. There are none where from does
// not lie before at.
func Graces(from, at Beats, n int, t Tempo) []Beats {
	if !from.Less(at) {
		return nil
	}
	each := graceLength(t)
	room := at.Sub(from)
	if most := Frac(room.Num(), room.Den()*2*int64(n)); most.Less(each) {
		each = most
	}
	var out []Beats
	for i := range n {
		out = append(out, at.Sub(each.Times(int64(n-i))))
	}
	return out
}
