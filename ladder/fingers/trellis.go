package fingers

import (
	"maps"
	"math"
)

// tie is a difference that is none.
const tie = 1e-9

// anywhere is for a way that need not come back to where it began.
const anywhere = -1

// place is one way to play a note: the rows that it begins and ends with, alike but
// where a little finger takes the other's place.
type place struct{ in, out int }

// column is a note's ways.
type column struct {
	all    []Fingering // of the note; a single empty one where there is no row
	places []place
	own    []float64 // what a place costs by itself
	pinned bool
	judged bool
	cents  int  // the pitch
	shape  int  // alike for columns with the same pitch and places
	free   bool // nothing is paid for getting here
}

// priced is what a change from row to row costs, and whether a little finger goes
// from key to key.
type priced struct {
	cost   float64
	slides bool
}

// trellis is the columns of a passage, with the cheapest ways through them. Values
// are by column and place.
type trellis struct {
	c       *Chart
	cols    []column
	changes map[[2]int][]float64 // by both shapes, a cost for each pair of places
	priced  map[[2]int][]priced  // by both pitches in cents, each pair of rows
	order   []int                // the columns from the start on
	there   [][]float64          // the cheapest way to a place
	from    [][]int              // the place in the column before that it came from
	on      [][]float64          // the cheapest way on from there
	through [][]float64          // the whole's cost with a place, of all runs
	last    int                  // the place that the cheapest way ends with
}

func newTrellis(c *Chart, notes []Note) *trellis {
	t := &trellis{c: c, cols: make([]column, len(notes)), changes: map[[2]int][]float64{}, priced: map[[2]int][]priced{}}
	type like struct {
		cents int
		long  bool
		pin   string
	}
	shared := map[like]column{}
	total := 0
	for i, n := range notes {
		is := like{n.Pitch.Cents(), n.Long, n.Pin}
		col, ok := shared[is]
		if !ok {
			col = c.column(n)
			col.shape = len(shared)
			shared[is] = col
		}
		col.free = n.Apart
		t.cols[i] = col
		total += len(col.places)
	}
	for i := range t.cols {
		before := &t.cols[(i+len(t.cols)-1)%len(t.cols)]
		t.cols[i].free = t.cols[i].free || !t.cols[i].judged || !before.judged
	}
	floats, ints := make([]float64, 3*total), make([]int, total)
	for _, to := range []*[][]float64{&t.there, &t.on, &t.through} {
		*to = make([][]float64, len(notes))
		for i := range t.cols {
			n := len(t.cols[i].places)
			(*to)[i], floats = floats[:n:n], floats[n:]
		}
	}
	t.from = make([][]int, len(notes))
	for i := range t.cols {
		n := len(t.cols[i].places)
		t.from[i], ints = ints[:n:n], ints[n:]
		for p := range t.through[i] {
			t.through[i][p] = math.Inf(1)
		}
	}
	t.order = make([]int, len(notes))
	return t
}

// column is the ways to play a note: its rows, and where it is long enough changes
// between them, or what the player has pinned.
func (c *Chart) column(n Note) column {
	col := column{all: c.Of(n.Pitch), cents: n.Pitch.Cents()}
	if col.judged = len(col.all) > 0; !col.judged {
		col.all = make([]Fingering, 1)
	}
	add := func(p place) {
		cost := c.own(&col.all[p.in])
		if p.in != p.out {
			cost += exchange + c.own(&col.all[p.out])
		}
		col.places, col.own = append(col.places, p), append(col.own, cost)
	}
	first, then, pinned := c.Pinned(n.Pitch, n.Pin)
	if pinned {
		for _, in := range first {
			if then == nil {
				add(place{in, in})
			}
			for _, out := range then {
				if c.exchanges(&col.all[in], &col.all[out]) {
					add(place{in, out})
				}
			}
		}
		if col.pinned = len(col.places) > 0; col.pinned {
			return col
		}
	}
	for row := range col.all {
		add(place{row, row})
	}
	for in := range col.all {
		for out := range col.all {
			if n.Long && c.exchanges(&col.all[in], &col.all[out]) {
				add(place{in, out})
			}
		}
	}
	return col
}

// exchanges reports whether a little finger can take the other's place while a note
// sounds: the keys that sound can be down together, and close and open the same
// holes. Keys that change nothing leave their places meanwhile.
func (c *Chart) exchanges(from, to *Fingering) bool {
	if from.side*to.side >= 0 {
		return false
	}
	differ := from.class ^ to.class
	return differ&^(c.masks[L4]|c.masks[R4]) == 0 && c.alike(from.class&differ, to.class&differ)
}

// alike reports whether keys close and open the same.
func (c *Chart) alike(a, b keySet) bool {
	opens := func(keys keySet) map[int]int {
		out := map[int]int{}
		for i, k := range c.Keys {
			if keys&(1<<i) != 0 {
				maps.Copy(out, k.Opens)
			}
		}
		return out
	}
	return maps.Equal(opens(a), opens(b)) && maps.Equal(set(c.closed(a)), set(c.closed(b)))
}

func set(of []string) map[string]bool {
	out := map[string]bool{}
	for _, s := range of {
		out[s] = true
	}
	return out
}

// pivot is where a loop is best begun: where nothing is paid for the seam, else at
// the note with fewest ways.
func (t *trellis) pivot() int {
	best := 0
	for i := range t.cols {
		if t.cols[i].free {
			return i
		}
		if len(t.cols[i].places) < len(t.cols[best].places) {
			best = i
		}
	}
	return best
}

// run finds the cheapest ways from a column on and all round, and back, and what the
// best of them costs. Where only is a place of the first column it begins there and
// leads back to it.
func (t *trellis) run(start, only int) float64 {
	n := len(t.cols)
	for k := range n {
		t.order[k] = (start + k) % n
	}
	for k, i := range t.order {
		if k > 0 {
			t.forward(t.order[k-1], i)
			continue
		}
		copy(t.there[i], t.cols[i].own)
		for p := range t.there[i] {
			if only != anywhere && p != only {
				t.there[i][p] = math.Inf(1)
			}
		}
	}
	end := t.order[n-1]
	for k := n - 1; k >= 0; k-- {
		i := t.order[k]
		switch {
		case k < n-1:
			t.backward(i, t.order[k+1])
		case only != anywhere:
			costs, wide := t.between(i, start)
			for p := range t.on[i] {
				t.on[i][p] = costs[p*wide+only]
			}
		default:
			clear(t.on[i])
		}
		for p := range t.through[i] {
			t.through[i][p] = min(t.through[i][p], t.there[i][p]+t.on[i][p])
		}
	}
	cost := math.Inf(1)
	for p, there := range t.there[end] {
		if v := there + t.on[end][p]; v < cost-tie {
			cost, t.last = v, p
		}
	}
	return cost
}

// walk writes the cheapest way that was found last, a place of each column.
func (t *trellis) walk(path []int) {
	at := t.last
	for k := len(t.order) - 1; k >= 0; k-- {
		i := t.order[k]
		path[i] = at
		at = t.from[i][at]
	}
}

// forward finds the cheapest ways to a column from the one before.
func (t *trellis) forward(from, to int) {
	b := &t.cols[to]
	if b.free {
		best := 0
		for g, v := range t.there[from] {
			if v < t.there[from][best]-tie {
				best = g
			}
		}
		for f := range b.places {
			t.there[to][f], t.from[to][f] = t.there[from][best]+b.own[f], best
		}
		return
	}
	costs, wide := t.between(from, to)
	for f := range b.places {
		best, least := 0, math.Inf(1)
		for g, there := range t.there[from] {
			if v := there + costs[g*wide+f]; v < least-tie {
				best, least = g, v
			}
		}
		t.there[to][f], t.from[to][f] = least+b.own[f], best
	}
}

// backward finds the cheapest ways on from a column through the next.
func (t *trellis) backward(from, to int) {
	b := &t.cols[to]
	least := math.Inf(1)
	if b.free {
		for f := range b.places {
			least = min(least, b.own[f]+t.on[to][f])
		}
		for g := range t.on[from] {
			t.on[from][g] = least
		}
		return
	}
	costs, wide := t.between(from, to)
	for g := range t.on[from] {
		least := math.Inf(1)
		for f := range b.places {
			least = min(least, costs[g*wide+f]+b.own[f]+t.on[to][f])
		}
		t.on[from][g] = least
	}
}

// between are the costs of changes from any place of a column to any of another, by
// place·wide+place. That a little finger takes the other's place on a note is there
// for need, not for comfort: the note could not have begun as it ends, nor end as it
// begins, without that one little finger goes from key to key. A player's pin needs
// no such reason.
func (t *trellis) between(from, to int) (costs []float64, wide int) {
	a, b := &t.cols[from], &t.cols[to]
	wide = len(b.places)
	key := [2]int{a.shape, b.shape}
	if costs, ok := t.changes[key]; ok {
		return costs, wide
	}
	costs = make([]float64, len(a.places)*wide)
	rows, across := t.rows(a, b), len(b.all)
	for i, g := range a.places {
		for k, f := range b.places {
			needless := f.in != f.out && !b.pinned && !rows[g.out*across+f.out].slides ||
				g.in != g.out && !a.pinned && !rows[g.in*across+f.in].slides
			if costs[i*wide+k] = rows[g.out*across+f.in].cost; needless {
				costs[i*wide+k] = math.Inf(1)
			}
		}
	}
	t.changes[key] = costs
	return costs, wide
}

// rows are the changes from any row of a column to any of another, by
// row·number of rows+row.
func (t *trellis) rows(a, b *column) []priced {
	key := [2]int{a.cents, b.cents}
	out, ok := t.priced[key]
	if ok {
		return out
	}
	out = make([]priced, 0, len(a.all)*len(b.all))
	for g := range a.all {
		for f := range b.all {
			_, count, cost := t.c.change(&a.all[g], &b.all[f])
			out = append(out, priced{cost, count[SlideLittle] > 0})
		}
	}
	t.priced[key] = out
	return out
}

// chosen is a note as the way has it, with the best that sounds with other keys.
func (t *trellis) chosen(i int, n Note, is place, best float64) Chosen {
	col := &t.cols[i]
	out := Chosen{Note: n, Pinned: col.pinned}
	if !col.judged {
		return out
	}
	out.Fingering = &col.all[is.in]
	if is.in != is.out {
		out.Then = &col.all[is.out]
	}
	if col.pinned {
		return out
	}
	least := math.Inf(1)
	for p, other := range col.places {
		if f := &col.all[other.in]; f.class != out.Fingering.class && t.through[i][p] < least-tie {
			least, out.Other = t.through[i][p], f
		}
	}
	if out.Other != nil {
		out.More = max(0, least-best)
	}
	return out
}
