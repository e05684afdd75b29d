package picture

import (
	"image"
	"image/color"
	"math"
	"strings"

	"footing/audio/judge"
	"footing/ladder/hearing"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
)

// Notes are those of a rep, written above its columns.
type Notes struct {
	Staff hearing.Staff
	// Pitches are those of the slots as written.
	Pitches []passage.Pitch
	// Faults are the notes that were surely not played as written.
	Faults []hearing.Fault
}

// notesOf are the notes of a report, nil where they are not known.
func notesOf(r hearing.Report) *Notes {
	staff, ok := r.Staff()
	if !ok {
		return nil
	}
	n := &Notes{Staff: staff, Pitches: r.Pitches()}
	if r.Reading != nil {
		n.Faults = r.Reading.Faults
	}
	return n
}

// noteName is a pitch's name without its octave, in words where there is room, else
// with its sign: "B flat", "Bb".
func (g *pen) noteName(p passage.Pitch, room float64, w weight, size float64) string {
	if name := p.Name(); g.width(name, w, size) <= room {
		return name
	}
	return g.cut(signName(p), room, w, size)
}

// signName is a pitch's name with its sign: "Bb".
func signName(p passage.Pitch) string { return strings.TrimRight(p.String(), "-0123456789") }

// pitch is the written pitch of a slot; false where it is not known.
func (s *sheet) pitch(slot int) (passage.Pitch, bool) {
	n := s.m.Notes
	if n == nil || slot < 1 || slot > len(n.Pitches) {
		return passage.Pitch{}, false
	}
	return n.Pitches[slot-1], true
}

// half is how far what is written above a slot reaches to either side, and a little
// more.
func (s *sheet) half(slot int) float64 {
	return s.width(s.name(slot), bold, min(28, s.col*0.5))/2 + 8
}

// staffRoom is how high the staff is, with what stands above and below it.
const staffRoom = 128

// staff draws the notes above their columns: of a rep that is shown whole, where
// there is room for each sign.
func (s *sheet) staff(b box) {
	space := math.Round(s.u * b.h / 12)
	if space < 4 {
		return
	}
	d := s.engraved(b, space)
	if d == nil {
		return
	}
	painter, err := paint.New()
	dst, ok := s.dc.Image().(*image.RGBA)
	if err != nil || !ok {
		return
	}
	warm := map[int]bool{}
	for _, slot := range []int{s.from, s.to} {
		if slot > 0 && slot <= len(s.m.Notes.Staff.Notes) {
			warm[s.m.Notes.Staff.Notes[slot-1]] = true
		}
	}
	ink := paint.Colours(s.p)
	of := *s.p
	of.Ink = s.p.Warm
	hot := paint.Colours(&of)
	top := s.u*(b.y+b.h/2) - d.Systems[0].Middle*space
	painter.Draw(dst, d, paint.View{Space: space, X: s.u * b.x, Y: top, Ink: func(sh engrave.Shape) color.NRGBA {
		if sh.Note >= 0 && sh.Note == sh.Last && warm[sh.Note] {
			return hot(sh)
		}
		return ink(sh)
	}})
}

// engraved is the staff of a box, in spaces of so many pixels; nil where it cannot be
// drawn so.
func (s *sheet) engraved(b box, space float64) *engrave.Drawing {
	staff := s.m.Notes.Staff
	if s.n < s.all || len(staff.At) != s.all {
		return nil
	}
	x := func(slot int) float64 { return s.u * (s.x(slot) - b.x) / space }
	at := func(q passage.Quarters) float64 {
		i := 0
		for i < len(staff.At)-1 && !q.Less(staff.At[i+1]) {
			i++
		}
		step := x(2) - x(1)
		if s.all == 1 {
			step = s.u * s.col / space
		}
		from, long := staff.At[i], staff.To.Sub(staff.At[i])
		if i+1 < len(staff.At) {
			long = staff.At[i+1].Sub(from)
		}
		part := q.Sub(from)
		if long.Sign() <= 0 {
			return x(i + 1)
		}
		share := float64(part.Num()) / float64(part.Den()) * float64(long.Den()) / float64(long.Num())
		return x(i+1) + step*share
	}
	d, err := engrave.Bound(engrave.Excerpt{Line: staff.Line, From: staff.From, To: staff.To}, engrave.Lane{Width: s.u * b.w / space, At: at})
	if err != nil || d.Crowded || len(d.Systems) != 1 {
		return nil
	}
	return d
}

// faults marks the notes that were not played as written: a cross through a wrong one,
// with what it was.
func (s *sheet) faults() {
	if s.m.Notes == nil || s.group > 1 {
		return
	}
	r := min(10, s.row*0.36, s.col*0.16)
	size := min(18, s.row*0.8)
	type wrong struct {
		x, y, left float64
		heard      passage.Pitch
	}
	var all []wrong
	words := true // as long as all find room
	for _, f := range s.m.Notes.Faults {
		if f.Kind != hearing.WrongNote || !s.shown(f.Slot) {
			continue
		}
		for _, n := range s.r.Notes {
			if n.Kind != judge.Played || n.Slot != f.Slot || n.Rep != f.Rep {
				continue
			}
			d := max(-s.reach, min(s.reach, n.DeviationMs)) * s.perMs
			x := s.x(f.Slot) + d
			w := wrong{x, s.y(f.Rep), s.x(f.Slot) + s.col/2 - x - 2*r - 2, f.Heard}
			words = words && s.width(f.Heard.Name(), bold, size) <= w.left
			all = append(all, w)
		}
	}
	for _, w := range all {
		s.cross(w.x, w.y, r*1.5)
		name := signName(w.heard)
		if words {
			name = w.heard.Name()
		}
		s.text(s.cut(name, w.left, bold, size), w.x+2*r, w.y, style{bold, size, s.p.Ink, 0})
	}
}

// cross is the mark of a wrong note.
func (g *pen) cross(x, y, r float64) {
	g.line(x-r, y-r, x+r, y+r, 3, g.p.Ink)
	g.line(x-r, y+r, x+r, y-r, 3, g.p.Ink)
}

// wrong counts the wrong notes that are shown.
func (s *sheet) wrong() (n int) {
	if s.m.Notes == nil || s.group > 1 {
		return 0
	}
	for _, f := range s.m.Notes.Faults {
		if f.Kind == hearing.WrongNote && s.shown(f.Slot) {
			n++
		}
	}
	return n
}
