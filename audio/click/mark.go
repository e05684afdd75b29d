package click

// MarkKind says what a [Mark] reports.
type MarkKind uint8

// What is reported: a phrase began, a stroke was reached (sounding or silent),
// a phrase ended by its length, the click was stopped, the click stopped by
// itself after a final phrase.
const (
	Began MarkKind = iota
	Struck
	Ended
	Stopped
	RanOut
)

// Mark reports what a renderer did at a frame.
type Mark struct {
	Kind  MarkKind
	Frame int64 // counted from the renderer's first frame
	// Phrase is the phrase concerned; nil for Stopped and RanOut. It is shared:
	// read only.
	Phrase *Phrase
	Stroke int   // index into the phrase's strokes, for Struck
	Tempo  Tempo // the tempo in force
}

// NextMark takes the oldest mark. It reports false when there is none.
func (r *Renderer) NextMark() (Mark, bool) { return r.marks.Pop() }

// LostMarks counts the marks that nobody took in time.
func (r *Renderer) LostMarks() uint64 { return r.lost.Load() }

func (r *Renderer) report(m Mark) {
	if !r.marks.Push(m) {
		r.lost.Add(1)
	}
}
