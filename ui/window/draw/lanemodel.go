package draw

// SectionKind is a part of what is looped.
type SectionKind int

// The parts of the loop.
const (
	SectionCountIn SectionKind = iota
	SectionChunk
	SectionLanding
	SectionBreath
)

// Stroke is one slot of the lane.
type Stroke struct {
	At       float64 // beats from the start of the lane
	Level    int     // dynamics from 0, silent, to 4, f
	Syllable string
	Beat     bool // the first slot of a beat
	Faint    bool // it only fills up the time
	Strand   bool // it is of the strand that lies against the beat's
	Editable bool // a click changes its dynamics
	Chosen   bool // keys change its dynamics
}

// Section is a run of strokes under one label.
type Section struct {
	Kind    SectionKind
	Label   string
	Short   string // in place of Label where there is no room for it
	Beats   float64
	Strokes []Stroke
}

// LaneModel is the loop in time. Now is the stroke that is heard, counted over
// all sections, or −1.
type LaneModel struct {
	Sections []Section
	Now      int
	// Active is the section that is heard, or −1.
	Active int
	// Heard is the stroke that is heard, or −1, also where no light follows it:
	// notes turn their pages by it.
	Heard int
	// Staff makes room for notes, which may still have to be found.
	Staff bool
	Notes *LaneNotes
}
