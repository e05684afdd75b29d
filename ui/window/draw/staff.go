package draw

import (
	"math"
	"sort"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
)

// LaneNotes are the notes that stand over a lane's strokes. A lane takes them for
// the same by their address.
type LaneNotes struct {
	Excerpt engrave.Excerpt
	// Start is where in the piece the lane begins, below 0 before its first note;
	// Beat is how long a beat is.
	Start, Beat passage.Quarters
	// Knots say when what is read is struck, in order, where that is not evenly from
	// Start on. Beyond the first and the last of them it is.
	Knots []Knot
	// Breath is the beat of the lane that a breath begins with; 0 for none.
	Breath int
	Pencil []engrave.PencilMark
}

// At is where in the lane a place of the piece is struck, in beats.
func (n *LaneNotes) At(q passage.Quarters) float64 {
	i := sort.Search(len(n.Knots), func(i int) bool { return q.Less(n.Knots[i].Place) })
	switch k := n.Knots; {
	case len(k) == 0:
		return q.Sub(n.Start).Float() / n.Beat.Float()
	case i == 0 || i == len(k):
		near := k[max(i-1, 0)]
		return near.Beat.Float() + q.Sub(near.Place).Float()/n.Beat.Float()
	default:
		a, b := k[i-1], k[i]
		return a.Beat.Float() + q.Sub(a.Place).Float()*b.Beat.Sub(a.Beat).Float()/b.Place.Sub(a.Place).Float()
	}
}

// place is where in the piece a beat of the lane begins.
func (n *LaneNotes) place(beat int) passage.Quarters {
	at := click.Whole(beat)
	i := sort.Search(len(n.Knots), func(i int) bool { return at.Less(n.Knots[i].Beat) })
	switch k := n.Knots; {
	case len(k) == 0:
		return n.Start.Add(n.Beat.Times(int64(beat)))
	case i == 0 || i == len(k):
		near := k[max(i-1, 0)]
		return near.Place.Add(product(at.Sub(near.Beat), n.Beat))
	default:
		a, b := k[i-1], k[i]
		rise, run := b.Place.Sub(a.Place), b.Beat.Sub(a.Beat)
		return a.Place.Add(product(at.Sub(a.Beat), click.Frac(rise.Num()*run.Den(), rise.Den()*run.Num())))
	}
}

func product(a, b click.Beats) click.Beats { return click.Frac(a.Num()*b.Num(), a.Den()*b.Den()) }

// Knot is a place of the piece, and the beat of the lane at which it is struck.
type Knot struct {
	Place passage.Quarters
	Beat  click.Beats
}

// staff is a lane's notes laid out for a size of the lane.
type staff struct {
	staffRoom
	space      float64 // pixels of the screen to a staff space
	left, beat float64 // where the first beat of a page lies, and how wide a beat is, in the window's units
	per        int     // beats of the longest page of the rep; 0 where the lane is on one page
	begin      []int   // the beats that pages of the rep begin with, and its end
	middle     float64 // y of the staff's middle line, in pixels from the top of the notes
	pages      []*engrave.Drawing
	blank      *engrave.Drawing // a staff without notes
}

// staffRoom is what a staff is laid out in. Lengths are in the window's units.
type staffRoom struct {
	notes       *LaneNotes
	x, y, w, h  float32 // of the notes: whole pixels of the screen
	top, bottom float32 // between the labels and the strokes
	foot        float32 // of the strokes, at the lane's own scale
	device      float64 // pixels to a unit
	large       float64 // how much larger than at the reference size
	right       float64 // of the last beat on a page
	total       int     // beats of the lane
	first, end  int     // beats of the rep, its landing included
}

// Measures of a lane with notes, at the reference size.
const (
	staffEdge    = 14   // from the frame to the staff
	staffTop     = 33   // to the notes, which begin under the labels
	staffStrokes = 0.36 // of the strokes' height
	staffGap     = 5    // from the notes to the strokes
)

// clearSign is from a clef or a key to the first note, in staff spaces.
const clearSign = 0.9

// staff is the notes laid out for the lane as it is; nil where there are none or
// they cannot be drawn.
func (l *Lane) staff(size fyne.Size) *staff {
	if !l.model.Staff || l.scale <= 0 {
		return nil
	}
	r := staffRoom{notes: l.model.Notes, foot: size.Height/l.scale - (176 - laneFoot), large: float64(max(l.scale, 1)), total: int(math.Round(l.total()))}
	if !l.worded() {
		r.foot = size.Height/l.scale - (176 - laneFootAlone)
	}
	at := 0.0
	for _, sec := range l.model.Sections {
		switch at += sec.Beats; sec.Kind {
		case SectionCountIn:
			r.first = int(math.Round(at))
		case SectionChunk, SectionLanding:
			r.end = int(math.Round(at))
		}
	}
	device, origin := float32(1), fyne.Position{}
	driver := fyne.CurrentApp().Driver()
	if c := driver.CanvasForObject(l); c != nil {
		device, origin = c.Scale(), driver.AbsolutePositionForObject(l)
	}
	whole := func(v float32) float32 { return float32(math.Ceil(float64(v*device)-1e-3)) / device }
	r.device = float64(device)
	r.top, r.bottom = l.px(staffTop), (r.foot-laneLevels[4]*staffStrokes-staffGap)*l.scale
	r.x, r.y = whole(origin.X+l.px(staffEdge))-origin.X, whole(origin.Y+r.top)-origin.Y
	r.w, r.h = whole(size.Width-2*l.px(staffEdge)-1/device), whole(r.bottom-r.y-1/device)
	r.right = float64(size.Width - l.px(laneEdge))
	if r.total == 0 || r.w <= 0 || r.h <= 0 {
		return nil
	}
	return l.engraver.staff(r)
}

// layOut lays the notes out: on one page as large as they can be read well, and
// where they would be too small there, on pages. It returns nil for what cannot be
// drawn.
func (r staffRoom) layOut() *staff {
	px := func(space float64) float64 { return math.Round(space * r.large * r.device) }
	if r.notes == nil {
		s := &staff{staffRoom: r, space: px(paint.DefaultSpace), left: float64(r.x) + 12}
		s.beat = (r.right - s.left) / float64(r.total)
		s.finish()
		return s
	}
	most := math.Round(paint.LeastSpace * r.device) // that the height has room for
	for space := px(mostSpace); space >= most; space-- {
		s := r.onOne(space)
		if s == nil {
			return nil
		}
		if !s.fits() {
			continue
		}
		if !s.crowded() && (space <= px(paint.DefaultSpace) || s.easy()) {
			return s.finish()
		}
		if most = min(space, px(leastWhole)); space == most {
			break
		}
	}
	var s *staff
	for space := px(paint.DefaultSpace); space >= math.Round(paint.LeastSpace*r.device); space-- {
		if s = r.onPages(space); s.fits() && !s.crowded() {
			return s.finish()
		}
	}
	// Signs touch, or the notes reach far beyond the staff.
	for ; !s.fits() && s.space > 4; s = r.onPages(s.space - 1) {
	}
	return s.finish()
}

// Sizes of a staff space at the reference size, in pixels at 96 to the inch: as
// large as it becomes by itself; and the least at which notes stay on one page, a
// little over the 7 mm of a staff that are the least for players at 0.75 m (MOLA
// guidelines of 2017), seen from 1.2 m.
const (
	mostSpace  = 14
	leastWhole = 11
)

// onOne lays the whole lane out on one page; nil where it cannot be drawn.
func (r staffRoom) onOne(space float64) *staff {
	s := &staff{staffRoom: r, space: space}
	if !s.draw([][2]int{{0, r.total}}, false) {
		return nil
	}
	return s
}

// leastBeats is how many beats a page has at least: the last of them is still
// played when the page is turned.
const leastBeats = 2

// onPages lays the rep out on as few pages as there are without signs that touch,
// all of them of about as many beats.
func (r staffRoom) onPages(space float64) *staff {
	rep := r.end - r.first
	lay := func(per int) *staff {
		count := max(min((rep+per-1)/per, rep/leastBeats), 1)
		s := &staff{staffRoom: r, space: space, per: (rep + count - 1) / count, begin: []int{r.first}}
		var parts [][2]int
		for i := range count {
			to := r.first + ((i+1)*rep+count-1)/count
			parts = append(parts, [2]int{s.begin[i], to})
			s.begin = append(s.begin, to)
		}
		s.draw(parts, per > leastBeats)
		return s
	}
	// No page has room for more than a head's width and a little for every stroke.
	least, most := leastBeats, max(min(rep, int(r.right*r.device/space/2)), leastBeats)
	best := lay(least)
	for least < most {
		mid := (least + most + 1) / 2
		if s := lay(mid); s.crowded() {
			most = mid - 1
		} else {
			least, best = mid, s
		}
	}
	return best
}

// draw draws parts of the lane, from one beat to another, each on a page. The
// first beat of all of them lies so far to the right that clef and key have room.
// With pick it ends with the first page on which signs touch. It reports false for
// what cannot be drawn.
func (s *staff) draw(parts [][2]int, pick bool) bool {
	beats := s.per
	if beats == 0 {
		beats = s.total
	}
	inset := float64(s.x)
	s.left = inset + (laneEdge-staffEdge)*s.large
	s.beat = (s.right - s.left) / float64(beats)
	type lead struct{ need, first float64 }
	var leads []lead
	for _, part := range parts {
		if need, first, ok := s.before(part); ok {
			leads = append(leads, lead{need, first})
		}
	}
	for range 3 { // what lies further right has less room
		for _, l := range leads {
			if x := s.left + l.first*s.beat; x < inset+l.need {
				s.left += inset + l.need - x
				s.beat = (s.right - s.left) / float64(beats)
			}
		}
	}
	for _, part := range parts {
		d, err := s.bound(part, 0)
		if err != nil {
			return false
		}
		s.pages = append(s.pages, d)
		if d.Crowded && pick {
			break
		}
	}
	return true
}

// before is how much room clef, key and what hangs on the first note need before
// its head, in units, and how many beats into its part that is; false where the
// part has no notes.
func (s *staff) before(part [2]int) (need, first float64, ok bool) {
	const far = 60 // spaces: all signs have room
	d, err := s.bound(part, far)
	if err != nil || len(d.Notes) == 0 {
		return 0, 0, false
	}
	music := d.Systems[0].Music
	signs, ink := 0.0, math.Inf(1)
	for _, shape := range d.Shapes {
		switch shape.Role {
		case engrave.ClefSign, engrave.KeySign:
			if x := shape.Ink().X1; x < music {
				signs = max(signs, x)
			}
		case engrave.Head, engrave.Accidental, engrave.Ledger, engrave.Rest:
			ink = min(ink, shape.Ink().X0)
		}
	}
	at := s.notes.At(d.Notes[0].Onset)
	head := s.spaces(s.units(at, part[0])-float64(s.x)) + far
	return (signs + clearSign + head - ink) * s.space / s.device, at - float64(part[0]), true
}

// units is where a beat of the lane lies on the page that begins with beat from,
// from the lane's left edge.
func (s *staff) units(at float64, from int) float64 { return s.left + (at-float64(from))*s.beat }

// spaces is a length of the window in staff spaces.
func (s *staff) spaces(units float64) float64 { return units * s.device / s.space }

// bound draws a part of the lane, so many spaces further to the right than it
// lies.
func (s *staff) bound(part [2]int, shifted float64) (*engrave.Drawing, error) {
	n, e := s.notes, s.notes.Excerpt
	if from := n.place(part[0]); e.From.Less(from) {
		e.From = from
	}
	if to := n.place(part[1]); to.Less(e.To) {
		e.To = to
	}
	if !e.From.Less(e.To) {
		return s.empty(), nil
	}
	x := func(beat float64) float64 { return s.spaces(s.units(beat, part[0])-float64(s.x)) + shifted }
	lane := engrave.Lane{
		Width:  s.spaces(float64(s.w)) + shifted,
		At:     func(q passage.Quarters) float64 { return x(n.At(q)) },
		Pencil: n.Pencil,
	}
	if n.Breath > 0 && n.Breath >= part[0] && n.Breath < part[1] {
		lane.Breath = x(float64(n.Breath))
	}
	return engrave.Bound(e, lane)
}

// empty is a staff without notes.
func (s *staff) empty() *engrave.Drawing {
	w := s.spaces(float64(s.w))
	d := &engrave.Drawing{Systems: []engrave.System{{Ink: engrave.Box{Y0: -2, X1: w, Y1: 2}, End: 5}}}
	for y := -2.0; y <= 2; y++ {
		d.Shapes = append(d.Shapes, engrave.Shape{Kind: engrave.Bar, Role: engrave.StaffLine, Note: -1, Last: -1, Y: y, X2: w, Y2: y})
	}
	return d
}

// ink is how far the ink of the pages reaches above and below the middle line, in
// spaces.
func (s *staff) ink() (above, below float64) {
	above, below = 2, 2
	for _, d := range s.pages {
		y := d.Systems[0]
		above, below = max(above, y.Middle-y.Ink.Y0), max(below, y.Ink.Y1-y.Middle)
	}
	return above, below
}

// fits reports whether the ink has room between the labels and the strokes.
func (s *staff) fits() bool {
	above, below := s.ink()
	return (above+below)*s.space <= float64(s.h)*s.device
}

func (s *staff) crowded() bool {
	for _, d := range s.pages {
		if d.Crowded {
			return true
		}
	}
	return false
}

// easyGap is from head to head, in spaces, where larger notes are no burden.
const easyGap = 2.2

// easy reports whether the notes have room to spare.
func (s *staff) easy() bool {
	for _, d := range s.pages {
		for i, p := range d.Notes {
			if i > 0 && p.Onset != d.Notes[i-1].Onset && p.X()-d.Notes[i-1].X() < easyGap {
				return false
			}
		}
	}
	return true
}

// finish puts the staff in the middle of its room, or as near as its ink lets it.
func (s *staff) finish() *staff {
	above, below := s.ink()
	h := float64(s.h) * s.device
	s.middle = math.Round(min(max(h/2, above*s.space), max(h-below*s.space, above*s.space)))
	s.blank = s.empty()
	return s
}

// page is the page of the rep that a beat is on.
func (s *staff) page(beat int) int {
	i := 0
	for i+2 < len(s.begin) && s.begin[i+1] <= beat {
		i++
	}
	return i
}

// turned is what the lane shows of notes. A page of the rep is turned while its
// last beat sounds: that stays where it is, and before it stands the next page.
// What leads to a rep stands in the last beat's place, and before it the rep.
func (l *Lane) turned(s *staff) ([]stretch, int) {
	if s.per == 0 {
		return []stretch{{0, float64(s.total), s.left, s.beat}}, 1
	}
	on := func(from, to, column int) stretch {
		return stretch{float64(from), float64(to), s.left + float64(column)*s.beat, s.beat}
	}
	pages := len(s.begin) - 1
	whole := func() []stretch { return []stretch{on(s.begin[l.page], s.begin[l.page+1], 0)} }
	now := l.strokeAt(l.model.Heard)
	beat := int(math.Floor(now))
	switch {
	case now < 0:
		l.page = min(max(l.page, 0), pages-1)
		return whole(), pages
	case beat < s.first || beat >= s.end:
		l.page = 0
		return []stretch{on(s.first, min(s.first+s.per-1, s.begin[1]), 0), on(beat, beat+1, s.per-1)}, pages
	}
	l.page = s.page(beat)
	columns := s.begin[l.page+1] - 1 - s.begin[l.page]
	if beat < s.begin[l.page]+columns || pages == 1 {
		return whole(), pages
	}
	next := (l.page + 1) % pages
	return []stretch{on(s.begin[next], min(s.begin[next]+columns, s.begin[next+1]), 0), on(beat, beat+1, columns)}, pages
}
