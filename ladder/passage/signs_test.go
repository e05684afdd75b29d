package passage

import "testing"

// The middle lines are those of every handbook (common practice, no source).
func TestMiddleLines(t *testing.T) {
	for clef, want := range map[Clef]string{
		{"G", 2, 0}: "B4", {"F", 4, 0}: "D3", {"C", 3, 0}: "C4", {"C", 4, 0}: "A3", {"G", 2, -1}: "B3", {"F", 4, 1}: "D4", {"G", 1, 0}: "D5",
	} {
		if p, ok := clef.Middle(); !ok || p.String() != want {
			t.Errorf("%v: %v, want %s", clef, p, want)
		}
	}
	if p, ok := (Clef{Sign: "TAB", Line: 5}).Middle(); ok {
		t.Errorf("TAB has the middle line %v", p)
	}
}

func TestKeys(t *testing.T) {
	for _, c := range []struct {
		fifths int
		letter Letter
		want   Alter
	}{
		{0, F, 0}, {1, F, Sharp}, {1, C, 0}, {7, B, Sharp}, {-1, B, Flat}, {-2, E, Flat}, {-7, F, Flat}, {8, F, DoubleSharp}, {-9, E, DoubleFlat}, {-9, A, Flat},
	} {
		if got := (Key{Fifths: c.fifths}).Of(c.letter); got != c.want {
			t.Errorf("%d fifths: %v is altered by %d, want %d", c.fifths, c.letter, got, c.want)
		}
	}
	if got := (Key{Signs: []KeySign{{B, -150}}}).Of(B); got != -150 {
		t.Errorf("a signature of its own alters B by %d", got)
	}
}
