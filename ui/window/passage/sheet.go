package passage

import (
	"image"
	"math"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/fingering"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/window/draw"
	"footing/ui/window/look"
)

// sheet is the notes laid out for a size of the view, on pages of whole systems.
type sheet struct {
	notes   *notes.Notes
	fingers *fingering.Fingered // nil where none are shown
	size    fyne.Size
	device  float32 // pixels of the screen to a unit of the window
	space   float64 // pixels of the screen to a staff space
	drawing *engrave.Drawing
	note    []int // of each note of the line, its index in notes.All; −1 for a rest
	pages   []page
}

// page is the systems from first up to end, moved so that they come to lie on
// the view.
type page struct {
	first, end int
	dx, dy     float64 // spaces
	drawing    *engrave.Drawing
}

// In staff spaces: from the view's edge to the notes; from a staff's middle line
// to the chunk's ends above and below, and from a head of the chunk; and what is
// kept free between systems.
const (
	edge    = 2.5
	reach   = 5.5
	above   = 1.1
	around  = 0.4 // a mark
	between = 2
)

// layOut lays notes out: as large as they fit on one page, and never smaller than
// can be read from behind a music stand. The error says what cannot be drawn.
func layOut(n *notes.Notes, f *fingering.Fingered, size fyne.Size, scale, device float32) (s *sheet, err error) {
	for _, space := range []float64{paint.LargeSpace, (paint.LargeSpace + paint.DefaultSpace) / 2, paint.DefaultSpace} {
		if space > paint.DefaultSpace && n.Last-n.First >= fewBars {
			continue // would not fit; laid out once is enough
		}
		s, err = layOutAt(n, f, size, math.Round(space*float64(max(scale, 1)*device)), device)
		if err != nil || len(s.pages) == 1 {
			break
		}
	}
	return s, err
}

// fewBars may fit on one page in large notes.
const fewBars = 12

// layOutAt lays notes out with a staff space of so many pixels, whole so that all
// staff lines are alike.
func layOutAt(n *notes.Notes, f *fingering.Fingered, size fyne.Size, space float64, device float32) (*sheet, error) {
	s := &sheet{notes: n, fingers: f, size: size, device: device, space: space}
	o := engrave.Options{Width: float64(size.Width*device)/s.space - 2*edge, Numbers: true, Between: between}
	o.Fingers, o.Arches = fingersOver(f, n)
	for _, m := range n.Marks {
		text := m.Text
		if text == "" {
			text = m.Finger
		}
		o.Pencil = append(o.Pencil, engrave.PencilMark{Note: n.All[m.Note].First, Text: text})
	}
	var err error
	if s.drawing, err = engrave.Layout(engrave.Bars(n.Line, n.First, n.Last), o); err != nil {
		return nil, err
	}
	s.note = make([]int, len(n.Line.Notes))
	for i := range s.note {
		s.note[i] = -1
	}
	for i, note := range n.All {
		for k := note.First; k <= note.Last; k++ {
			if s.note[k] < 0 {
				s.note[k] = i
			}
		}
	}
	s.paginate(float64(size.Height*device) / s.space)
	return s, nil
}

// box is what a system covers, the bracket of a chunk included.
func (s *sheet) box(system int) (top, bottom float64) {
	y := s.drawing.Systems[system]
	return min(y.Ink.Y0, y.Middle-reach) - above, max(y.Ink.Y1, y.Middle+reach) + above
}

// paginate puts as many systems on a page as there is height for.
func (s *sheet) paginate(height float64) {
	for first := 0; first < len(s.drawing.Systems); {
		top, bottom := s.box(first)
		end := first + 1
		for ; end < len(s.drawing.Systems); end++ {
			_, next := s.box(end)
			if next-top > height {
				break
			}
			bottom = next
		}
		spare := max(height-(bottom-top), 0) / 3
		whole := func(v float64) float64 { return math.Round(v*s.space) / s.space }
		p := page{first: first, end: end, dx: whole(edge), dy: whole(spare - top)}
		p.drawing = moved(s.drawing, first, end, p.dx, p.dy)
		s.pages = append(s.pages, p)
		first = end
	}
}

// moved is a drawing of some of the systems of another, at another place.
func moved(d *engrave.Drawing, first, end int, dx, dy float64) *engrave.Drawing {
	out := &engrave.Drawing{Width: d.Width, Height: d.Height}
	for _, system := range d.Systems[first:end] {
		shapes := d.Shapes[system.First:system.End]
		system.First = len(out.Shapes)
		for _, shape := range shapes {
			shape.X, shape.X2 = shape.X+dx, shape.X2+dx
			shape.Y, shape.Y2 = shape.Y+dy, shape.Y2+dy
			out.Shapes = append(out.Shapes, shape)
		}
		system.End = len(out.Shapes)
		system.Middle, system.Ink.Y0, system.Ink.Y1 = system.Middle+dy, system.Ink.Y0+dy, system.Ink.Y1+dy
		system.Left, system.Right, system.Music = system.Left+dx, system.Right+dx, system.Music+dx
		system.Ink.X0, system.Ink.X1 = system.Ink.X0+dx, system.Ink.X1+dx
		out.Systems = append(out.Systems, system)
	}
	return out
}

// place is where a note stands.
func (s *sheet) place(note int) engrave.Place {
	p, _ := s.drawing.Place(s.notes.All[note].First)
	return p
}

// pageOf is the page that a system is on.
func (s *sheet) pageOf(system int) int {
	for i, p := range s.pages {
		if system < p.end {
			return i
		}
	}
	return 0
}

// units is a length in the window's units.
func (s *sheet) units(spaces float64) float32 { return float32(spaces*s.space) / s.device }

// at is the note that is meant by pointing at a place on a page; −1 for none.
func (s *sheet) at(pos fyne.Position, on int) int {
	if on >= len(s.pages) {
		return -1
	}
	p := s.pages[on]
	spaces := func(v float32) float64 { return float64(v*s.device) / s.space }
	top, _ := s.box(p.first)
	_, bottom := s.box(p.end - 1)
	i := s.drawing.At(spaces(pos.X)-p.dx, min(max(spaces(pos.Y)-p.dy, top+0.01), bottom-0.01))
	if i < 0 {
		return -1
	}
	for k := i; k < len(s.note); k++ { // a rest stands for the note after it
		if s.note[k] >= 0 {
			return s.note[k]
		}
	}
	return len(s.notes.All) - 1
}

// nextTo is the note nearest below or above a note, so many systems on.
func (s *sheet) nextTo(note, by int) int {
	from := s.place(note)
	to := from.System + by
	if to < 0 || to >= len(s.drawing.Systems) {
		return note
	}
	if i := s.drawing.At(from.X(), s.drawing.Systems[to].Middle); i >= 0 && s.note[i] >= 0 {
		return s.note[i]
	}
	return note
}

// clear is from a head to an end of the chunk beside it, in spaces.
const clear = 0.75

// x is where a place among those that notes are struck at lies: a little before the head of the
// note that begins there. The end of a chunk lies at the end of a system rather
// than at the start of the next.
func (s *sheet) x(all []notes.Note, at click.Beats, end bool) (system int, x float64) {
	next := len(all)
	for i, note := range all {
		if at.Cmp(note.From) <= 0 {
			next = i
			break
		}
	}
	right := func(note int) (int, float64) {
		i := s.place(note).System
		return i, s.drawing.Systems[i].Right
	}
	if next == len(all) {
		return right(next - 1)
	}
	after := s.place(next)
	if next == 0 {
		return after.System, after.Head.X0 - clear
	}
	before := s.place(next - 1)
	gap := clear
	if before.System == after.System {
		gap = min(clear, (after.Head.X0-before.Head.X1)/2)
	}
	apart := before.System != after.System
	if at == all[next].From && !(end && apart) {
		return after.System, after.Head.X0 - gap
	}
	if apart {
		if at == all[next].From {
			return right(next - 1)
		}
		right := s.drawing.Systems[before.System].Right
		return before.System, share(before.Head.X1, right, all[next-1].From, all[next].From, at)
	}
	return before.System, share(before.Head.X1, after.Head.X0-gap, all[next-1].From, all[next].From, at)
}

// share is the place between two as a time lies between theirs.
func share(x0, x1 float64, from, to, at click.Beats) float64 {
	return x0 + (x1-x0)*at.Sub(from).Float()/to.Sub(from).Float()
}

// spans are the parts of the step's chunk on a page.
func (s *sheet) spans(step ladder.Step, on int) []draw.ChunkSpan {
	if on >= len(s.pages) {
		return nil
	}
	p := s.pages[on]
	from, all := step.ChunkStart(), s.notes.Struck(step.Slots).All
	first, x0 := s.x(all, from, false)
	last, x1 := s.x(all, from.Add(step.Chunk.Length), true)
	var out []draw.ChunkSpan
	for i := max(first, p.first); i <= last && i < p.end; i++ {
		system := s.drawing.Systems[i]
		a, b := system.Music-clear, system.Right
		if i == first {
			a = x0
		}
		if i == last {
			b = x1
		}
		top, bottom := system.Middle-reach, system.Middle+reach
		for _, note := range s.notes.Chunk(step).Begin {
			if place := s.place(note); place.System == i {
				top, bottom = min(top, place.Head.Y0-above), max(bottom, place.Head.Y1+above)
			}
		}
		span := draw.ChunkSpan{Begins: i == first, Ends: i == last}
		for _, shape := range s.drawing.Shapes[system.First:system.End] {
			ink := shape.Ink()
			if !overNotes(shape.Role) || ink.X1 < a-around || ink.X0 > b+around {
				continue
			}
			top = min(top, ink.Y0-2*around)
			gap := draw.Gap{From: s.units(ink.Y0 - around + p.dy), To: s.units(ink.Y1 + around + p.dy)}
			if ink.X0 < a+around {
				span.First = append(span.First, gap)
			}
			if ink.X1 > b-around {
				span.Last = append(span.Last, gap)
			}
		}
		span.Area = draw.Area{X: s.units(a + p.dx), Y: s.units(top + p.dy), W: s.units(b - a), H: s.units(bottom - top)}
		out = append(out, span)
	}
	return out
}

// overNotes reports whether a shape is a mark, over which the chunk's lines break off.
func overNotes(r engrave.Role) bool {
	return r == engrave.Pencil || r == engrave.Finger || r == engrave.HardArch
}

// frame is around a note on a page, where it is there.
func (s *sheet) frame(note, on int) draw.Area {
	if on >= len(s.pages) {
		return draw.Area{}
	}
	p, place := s.pages[on], s.place(note)
	if place.System < p.first || place.System >= p.end {
		return draw.Area{}
	}
	const room = 0.55
	h := place.Head
	return draw.Area{
		X: s.units(h.X0 - room + p.dx), Y: s.units(h.Y0 - room + p.dy),
		W: s.units(h.X1 - h.X0 + 2*room), H: s.units(h.Y1 - h.Y0 + 2*room),
	}
}

// image paints the page that is shown.
func (v *View) image(w, h int) image.Image {
	if v.still == nil {
		return image.NewUniform(look.Current().Paper)
	}
	var d *engrave.Drawing
	space := 1.0
	if v.sheet != nil && v.page < len(v.sheet.pages) {
		d, space = v.sheet.pages[v.page].drawing, v.sheet.space
	}
	return v.still.Image(d, look.Current(), false, w, h, space)
}

// relay lays the notes out where the notes or the size are others.
func (v *View) relay() {
	size := v.p.sheet.Size()
	if v.found == nil || size.Width <= 0 || size.Height <= 0 {
		v.sheet = nil
		v.p.notes.Refresh()
		return
	}
	device := float32(1)
	if c := fyne.CurrentApp().Driver().CanvasForObject(v.p.root); c != nil {
		device = c.Scale()
	}
	f := v.fingered()
	if s := v.sheet; s != nil && s.notes == v.found && s.fingers == f && s.size == size && s.device == device {
		return
	}
	s, err := layOut(v.found, f, size, v.p.scale, device)
	if err != nil {
		v.sheet, v.found, v.fault = nil, nil, err
		v.p.notes.Refresh()
		return
	}
	v.sheet = s
	v.page = min(v.page, max(len(s.pages)-1, 0))
	v.cursor = min(v.cursor, len(v.found.All)-1)
	v.toCursor()
	v.p.notes.Refresh()
	v.show()
}

// toCursor turns to the page of the note under the cursor.
func (v *View) toCursor() {
	if v.sheet != nil && v.cursor < len(v.found.All) {
		v.toPage(v.sheet.pageOf(v.sheet.place(v.cursor).System))
	}
}

func (v *View) toPage(page int) {
	if page != v.page {
		v.page = page
		v.p.notes.Refresh()
	}
}
