package passage

import "fmt"

// Settle finishes a score whose bars say how far their part reaches (Length, 0
// where nothing stands), which meter is in force and which are implicit. It gives
// all parts the same Index, Start and Length of bars, and finds every Offset and the Order. The
// error says what has become too long.
func (s *Score) Settle() error { return s.settle(DefaultLimits.Played) }

// settle takes at most so many bars into the playing order.
func (s *Score) settle(played int) error {
	bars := 0
	for i := range s.Parts {
		bars = max(bars, len(s.Parts[i].Bars))
	}
	var start Quarters
	for i := range bars {
		length := s.reach(i)
		for p := range s.Parts {
			if i < len(s.Parts[p].Bars) {
				b := &s.Parts[p].Bars[i]
				b.Index, b.Start, b.Length = i, start, length
				b.Offset = offset(s.Parts[p].Bars, i)
			}
		}
		start = start.Add(length)
		if !holds(start) {
			return fmt.Errorf("the piece is too long or its notes too finely divided up to bar index %d; at most %d quarters and parts of 1/%d of a quarter are read", i, MaxQuarters, MaxParts)
		}
	}
	return s.findOrder(played)
}

// reach is how long bar i is: as far as the longest part goes, or as long as the
// meter says where none goes anywhere.
func (s *Score) reach(i int) Quarters {
	var reach, nominal Quarters
	for p := range s.Parts {
		if bars := s.Parts[p].Bars; i < len(bars) {
			reach = longer(reach, bars[i].Length)
			nominal = longer(nominal, bars[i].Meter.Length())
		}
	}
	if reach.Sign() == 0 {
		return nominal
	}
	return reach
}

// offset is how far behind a full bar's start bar i begins (common practice, no
// source): a pickup counts back from its end, and the rest of a split bar goes on
// where the bar before it stopped.
func offset(bars []Bar, i int) Quarters {
	b, full := bars[i], bars[i].Meter.Length()
	switch {
	case i == 0 && b.pickup():
		if b.Length.Less(full) {
			return full.Sub(b.Length)
		}
	case i > 0 && b.Implicit:
		before := bars[i-1]
		if end := before.Offset.Add(before.Length); end.Less(before.Meter.Length()) {
			return end
		}
	}
	return Quarters{}
}

// pickup reports whether a piece's first bar is one by what is printed.
func (b Bar) pickup() bool { return b.Implicit || b.Number == "0" }

func longer(a, b Quarters) Quarters {
	if a.Less(b) {
		return b
	}
	return a
}
