package fingers

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// finish works out of the rows what the choice needs: the keys that change nothing,
// the hand of the little finger, names, and the further rows that rules allow.
func (c *Chart) finish() {
	c.count()
	c.sided = false
	for m, rows := range c.rows {
		for i := range rows {
			c.quiet(&rows[i])
		}
		sides := [3]bool{}
		for _, row := range rows {
			sides[row.side+1] = true
		}
		c.sided = c.sided || sides[0] && sides[2]
		c.rows[m] = rows
	}
	for m, rows := range c.rows {
		for i := range rows {
			if !c.sided {
				rows[i].side = 0
			}
		}
		name(rows, c)
		c.rows[m] = append(rows, c.made(m, rows)...)
	}
}

// quiet finds the keys of a row that change nothing: those that the row says are
// mute, and those whose holes other keys close.
func (c *Chart) quiet(row *Fingering) {
	var mute keySet
	for _, id := range row.mute {
		mute |= 1 << c.index[id]
	}
	var order []int
	for i := range c.Keys {
		if row.set&(1<<i) != 0 && len(c.Keys[i].Closes) > 0 && len(c.Keys[i].Opens) == 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(c.Keys[a].Closes), len(c.Keys[b].Closes)) })
	row.silent = mute & row.set
	for _, i := range order {
		others := c.closed(row.set &^ row.silent &^ (1 << i))
		if !slices.ContainsFunc(c.Keys[i].Closes, func(hole string) bool { return !slices.Contains(others, hole) }) {
			row.silent |= 1 << i
		}
	}
	row.class = row.set &^ row.silent
	left, right := row.class&c.masks[L4] != 0, row.class&c.masks[R4] != 0
	row.side = 0
	switch {
	case left && !right:
		row.side = -1
	case right && !left:
		row.side = 1
	}
}

// closed are the holes that keys close.
func (c *Chart) closed(keys keySet) []string {
	var out []string
	for i, k := range c.Keys {
		if keys&(1<<i) != 0 {
			out = append(out, k.Closes...)
		}
	}
	return out
}

// name gives the rows of a note the names that marks use.
func name(rows []Fingering, c *Chart) {
	sides := [3]bool{}
	for _, row := range rows {
		sides[row.side+1] = true
	}
	taken := map[string]bool{}
	for i := range rows {
		row := &rows[i]
		row.Name = plainName(row.Use)
		if sides[0] && sides[2] && row.side != 0 {
			row.Name = row.Side()
			for k, key := range c.Keys {
				if row.silent&(1<<k) != 0 {
					row.Name += "+" + key.ID
				}
			}
		}
		for _, id := range slices.Backward(row.Keys) {
			if !taken[row.Name] {
				break
			}
			row.Name += "+" + id
		}
		taken[row.Name] = true
	}
}

// plainName is what a use says before any comma or bracket, without blanks.
func plainName(use string) string {
	use, _, _ = strings.Cut(use, "(")
	use, _, _ = strings.Cut(use, ",")
	var out strings.Builder
	for _, word := range strings.Fields(use) {
		if out.Len() > 0 {
			out.WriteByte('-')
		}
		for _, r := range word {
			if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '#' {
				out.WriteRune(r)
			}
		}
	}
	if out.Len() == 0 {
		return "own"
	}
	if name := out.String(); len(name) <= 40 {
		return name
	}
	return strings.Fields(use)[0]
}

// made are the rows of a note that rules allow besides: a key that may stay down,
// or be held in another's place.
func (c *Chart) made(m int, rows []Fingering) []Fingering {
	var out []Fingering
	for _, u := range c.rules {
		at, ok := c.index[u.key]
		if !ok || u.except[m] {
			continue
		}
		key := keySet(1) << at
		for _, row := range rows {
			if row.set&key != 0 || row.hold {
				continue
			}
			set := row.set | key
			keys := append(slices.Clone(row.Keys), u.key)
			if in, ok := c.index[u.in]; ok {
				if row.set&(1<<in) == 0 {
					continue
				}
				set &^= 1 << in
				keys = slices.DeleteFunc(keys, func(id string) bool { return id == u.in })
			}
			if slices.ContainsFunc(u.with, func(id string) bool { return row.set&(1<<c.index[id]) == 0 }) || c.stands(set, row.shift) {
				continue
			}
			row.set, row.Keys, row.silent, row.hold, row.made = set, keys, row.silent|key, true, u.id
			row.Use += ", " + u.called
			row.Name += "+" + u.key
			out = append(out, row)
		}
	}
	return out
}

// stands reports whether a row has these keys already.
func (c *Chart) stands(set keySet, shift int) bool {
	for _, rows := range c.rows {
		for _, row := range rows {
			if row.set == set && row.shift == shift {
				return true
			}
		}
	}
	return false
}
