package engrave

import (
	"cmp"
	"slices"
	"sort"

	"footing/ladder/passage"
)

// force is what holds of clefs, keys, meters and octave signs, by place.
type force struct {
	clefs  []placed[passage.Clef]
	keys   []placed[passage.Key]
	meters []placed[passage.Meter]
	shifts []shift
}

// placed is something that holds from a place on.
type placed[T any] struct {
	bar int
	at  passage.Quarters
	is  T
}

// shift is an octave sign: notes from one onset up to another are written so many
// octaves lower than they are.
type shift struct {
	from, to passage.Quarters
	octaves  int
	open     bool
}

func newForce(l passage.Line) force {
	var f force
	for _, c := range l.Part.Changes {
		if c.Staff != 0 && c.Staff != l.Staff {
			continue
		}
		switch {
		case c.Clef != nil:
			f.clefs = append(f.clefs, placed[passage.Clef]{c.Bar, c.At, *c.Clef})
		case c.Key != nil:
			f.keys = append(f.keys, placed[passage.Key]{c.Bar, c.At, *c.Key})
		case c.Meter != nil:
			f.meters = append(f.meters, placed[passage.Meter]{c.Bar, c.At, *c.Meter})
		}
	}
	sortPlaces(f.clefs)
	sortPlaces(f.keys)
	sortPlaces(f.meters)
	for _, d := range l.Part.Directions {
		if d.Kind != passage.OctaveShift || d.Staff > 1 && d.Staff != l.Staff || d.Bar >= len(l.Part.Bars) {
			continue
		}
		at := l.Part.Bars[d.Bar].Start.Add(d.At)
		if last := len(f.shifts) - 1; last >= 0 && f.shifts[last].open {
			f.shifts[last].to, f.shifts[last].open = at, false
		}
		octaves := min(max(d.Size, 8)/7, 3)
		switch d.Text {
		case "up":
			octaves = -octaves
		case "down":
		default:
			continue
		}
		f.shifts = append(f.shifts, shift{from: at, octaves: octaves, open: true})
	}
	return f
}

func sortPlaces[T any](all []placed[T]) {
	slices.SortStableFunc(all, func(a, b placed[T]) int { return cmp.Or(cmp.Compare(a.bar, b.bar), a.at.Cmp(b.at)) })
}

func lookUp[T any](all []placed[T], bar int, at passage.Quarters, none T) T {
	i := sort.Search(len(all), func(i int) bool { return all[i].bar > bar || all[i].bar == bar && at.Less(all[i].at) })
	if i == 0 {
		return none
	}
	return all[i-1].is
}

func (f *force) clefAt(bar int, at passage.Quarters) passage.Clef {
	return lookUp(f.clefs, bar, at, passage.Clef{Sign: "G", Line: 2})
}

func (f *force) keyAt(bar int, at passage.Quarters) passage.Key {
	return lookUp(f.keys, bar, at, passage.Key{})
}

func (f *force) meterAt(bar int, at passage.Quarters) passage.Meter {
	return lookUp(f.meters, bar, at, passage.Meter{})
}

// shiftAt is how many octaves lower an onset is written.
func (f *force) shiftAt(on passage.Quarters) int {
	for _, s := range f.shifts {
		if !on.Less(s.from) && (s.open || on.Less(s.to)) {
			return s.octaves
		}
	}
	return 0
}
