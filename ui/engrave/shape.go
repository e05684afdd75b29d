package engrave

import "footing/ladder/passage"

// Glyph is a sign of the music font by its code point in the Standard Music Font
// Layout (SMuFL 1.4).
type Glyph rune

// Box is a rectangle, Y0 its upper edge.
type Box struct{ X0, Y0, X1, Y1 float64 }

func (b Box) at(x, y float64) Box { return Box{b.X0 + x, b.Y0 + y, b.X1 + x, b.Y1 + y} }

func (b Box) scaled(by float64) Box { return Box{b.X0 * by, b.Y0 * by, b.X1 * by, b.Y1 * by} }

func (b Box) union(c Box) Box {
	return Box{min(b.X0, c.X0), min(b.Y0, c.Y0), max(b.X1, c.X1), max(b.Y1, c.Y1)}
}

// Kind is the geometry of a [Shape].
type Kind uint8

// The kinds of shape.
const (
	Sign  Kind = iota // Glyph with its origin at X, Y, Size times its full size
	Bar               // a level or upright line from X, Y to X2, Y2, Thick across
	Slant             // a slanted bar with upright ends, Thick high: a beam
	Curve             // from X, Y to X2, Y2, pulled by Bend at a quarter and three quarters; Thick in its middle
	Text              // Text, its baseline at X, Y, Size high from baseline to the top of a capital
)

// Role is what a shape is, for its colour and for those who look for it.
type Role uint8

// The roles.
const (
	StaffLine Role = iota
	ClefSign
	KeySign
	MeterSign
	BarLine
	Ending
	Head
	Stem
	Flag
	Beam
	Accidental
	Ledger
	Dot
	Rest
	Tie
	Slur
	Tuplet
	Mark     // articulations, fermata, breath, ornaments
	Words    // what the score writes above or below the staff
	Number   // a bar's
	Pencil   // a player's mark
	Finger   // what fingers take a note
	HardArch // over a hard change
)

// Shape is one thing to paint.
type Shape struct {
	Kind Kind
	Role Role
	// Note and Last are the notes that it belongs to, by index in the line: the
	// same twice, or the first and the last of a beam, slur, tie or tuplet. Both are
	// −1 where it belongs to none.
	Note, Last int

	Glyph        Glyph
	Text         string
	X, Y, X2, Y2 float64
	Thick        float64
	Bend         float64 // negative: up
	Size         float64
}

// Ink is the box that the shape covers. A text's width is an estimate.
func (s Shape) Ink() Box {
	switch s.Kind {
	case Sign:
		return inks[s.Glyph].scaled(s.Size).at(s.X, s.Y)
	case Bar:
		t := s.Thick / 2
		if s.X == s.X2 {
			return Box{s.X - t, min(s.Y, s.Y2), s.X + t, max(s.Y, s.Y2)}
		}
		return Box{min(s.X, s.X2), s.Y - t, max(s.X, s.X2), s.Y + t}
	case Slant:
		return Box{s.X, min(s.Y, s.Y2) - s.Thick/2, s.X2, max(s.Y, s.Y2) + s.Thick/2}
	case Curve:
		top, bottom := min(s.Y, s.Y2), max(s.Y, s.Y2)
		return Box{s.X, min(top, top+0.75*s.Bend-s.Thick/2), s.X2, max(bottom, bottom+0.75*s.Bend+s.Thick/2)}
	}
	return Box{s.X, s.Y - s.Size, s.X + textWidth(s.Text, s.Size), s.Y + s.Size*0.3}
}

// textWidth is about how wide a text is whose capitals are cap high.
func textWidth(s string, cap float64) float64 { return float64(len([]rune(s))) * cap * 0.8 }

// Drawing is music laid out, its upper left corner at 0, 0.
type Drawing struct {
	Width, Height float64
	Systems       []System
	Shapes        []Shape // in the order of painting
	Notes         []Place // in the order of the line
	// Crowded says that signs touch, since they were bound to places that are too
	// close together, or the line is narrower than what cannot be broken.
	Crowded bool
}

// System is one line of the drawing.
type System struct {
	Middle      float64 // y of the staff's middle line
	Left, Right float64 // where the staff begins and ends
	Ink         Box     // of all that is drawn in it
	Music       float64 // where the music begins behind clef, key and meter
	From, To    passage.Quarters
	// First and End are the system's shapes, Shapes[First:End].
	First, End int
}

// Place is where a note or rest stands.
type Place struct {
	Note   int // its index in the line
	System int
	Bar    int // its bar's index
	Onset  passage.Quarters
	Head   Box // of its head or of the rest
}

// X is the middle of the head.
func (p Place) X() float64 { return (p.Head.X0 + p.Head.X1) / 2 }

// Place is where a note stands; false where it is not drawn.
func (d *Drawing) Place(note int) (Place, bool) {
	for _, p := range d.Notes {
		if p.Note == note {
			return p, true
		}
	}
	return Place{}, false
}

// At is the note that is meant by pointing at x, y: of the system that is nearest
// the one whose head is. It is −1 where there are no notes.
func (d *Drawing) At(x, y float64) int {
	system, best := -1, 0.0
	for i, s := range d.Systems {
		far := max(s.Ink.Y0-y, y-s.Ink.Y1, 0)
		if system < 0 || far < best {
			system, best = i, far
		}
	}
	note := -1
	for _, p := range d.Notes {
		if p.System != system {
			continue
		}
		dx, dy := p.X()-x, (p.Head.Y0+p.Head.Y1)/2-y
		if far := dx*dx + dy*dy/16; note < 0 || far < best {
			note, best = p.Note, far
		}
	}
	return note
}

// XOf is where the music has got to at a place, from the start of the piece: the
// heads' middles, with even steps between. It is for a cursor; false outside the
// drawing.
func (d *Drawing) XOf(at passage.Quarters) (x float64, system int, ok bool) {
	for i, s := range d.Systems {
		if at.Less(s.From) || !at.Less(s.To) {
			continue
		}
		fromX, toX, from, to := s.Music, s.Right, s.From, s.To
		for _, p := range d.Notes {
			switch {
			case p.System != i:
			case !at.Less(p.Onset):
				fromX, from = p.X(), p.Onset
			case p.Onset.Less(to):
				toX, to = p.X(), p.Onset
			}
		}
		share := at.Sub(from).Float() / to.Sub(from).Float()
		return fromX + share*(toX-fromX), i, true
	}
	return 0, 0, false
}
