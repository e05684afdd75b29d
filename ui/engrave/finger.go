package engrave

// FingerMark is what fingers take a note, in a few letters over it: "L", "side".
type FingerMark struct {
	Note int // its index in the line
	Text string
}

// Arch is a hard change, from one note to the next by their indexes in the line.
type Arch struct {
	From, To int
	Strong   bool // a very hard one
}

// Sizes in spaces: the letters of a finger mark; from them to what is under them;
// how thick an arch is in its middle; where it begins and ends; and how far it reaches where the other note is
// on another line.
const (
	fingerSize  = 0.95
	fingerGap   = 0.55
	archThick   = 0.17
	strongThick = 0.42
	archGap     = 0.35
	archApart   = 0.15 // an arch's end from the note's middle
	archStub    = 2.2
)

// drawFingers writes the finger marks over a system, and arches over its hard
// changes: each as low as it fits over what is there.
func (l *layout) drawFingers(sys int) {
	if len(l.o.Fingers) == 0 && len(l.o.Arches) == 0 {
		return
	}
	at := map[int]*event{}
	for _, e := range l.evs {
		if e.system == sys {
			for _, note := range e.notes {
				at[note] = e
			}
		}
	}
	for _, m := range l.o.Fingers {
		e := at[m.Note]
		if e == nil || m.Text == "" {
			continue
		}
		w := textWidth(m.Text, fingerSize)
		s := Shape{Kind: Text, Role: Finger, Text: m.Text, Size: fingerSize, X: max(0, e.middle()-w/2)}
		s.Y = l.roofOver(s.X, s.X+w) - fingerGap
		l.put(s, m.Note, m.Note)
	}
	var arches []Shape // put only once all are placed, so that none stands on its neighbour
	for _, a := range l.o.Arches {
		from, to := at[a.From], at[a.To]
		var x1, x2 float64
		switch {
		case from == nil && to == nil:
			continue
		case from == nil:
			x1, x2 = max(0, to.middle()-archStub), to.middle()
		case to == nil:
			x1, x2 = from.middle(), from.middle()+archStub
		default:
			x1, x2 = from.middle()+archApart, to.middle()-archApart
		}
		if x2-x1 < 0.5 {
			continue
		}
		thick := archThick
		if a.Strong {
			thick = strongThick
		}
		y := l.roofOver(x1, x2) - archGap
		arches = append(arches, Shape{Kind: Curve, Role: HardArch, X: x1, Y: y, X2: x2, Y2: y, Thick: thick, Bend: -height(1.6, 0.35, x2-x1) / 0.75, Note: a.From, Last: a.To})
	}
	for _, s := range arches {
		l.put(s, s.Note, s.Last)
	}
}
