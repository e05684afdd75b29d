package passage

import "footing/audio/click"

// Score is a piece as written: its parts, over the same bars. A typed passage or
// a pattern is a score of one part. It is a value to read: whoever makes one
// calls [Score.Settle] at the end, and nobody writes to it after that.
type Score struct {
	Title   string
	Version string // of MusicXML, empty for other sources
	Source  string // the score's name in its archive; empty for a plain file
	Parts   []Part

	// Order is the indexes of the bars as they are played, with repeats and jumps.
	Order []int
	// Unsure says why good readers may read the order otherwise; else it is empty.
	Unsure string
}

// Part is one instrument's music.
type Part struct {
	ID   string // as in the file
	Name string // "Bassoon"; may be empty or repeat
	// Staves is how many staves it is written on, at least 1.
	Staves int
	Bars   []Bar
	// Notes are the notes and rests of all voices, in the file's order. Those of a
	// bar stand together; within it voices follow each other.
	Notes      []Note
	Changes    []Change // of meter, key, clef, transposition, in the file's order
	Directions []Direction
	Tempos     []Tempo
}

// Bar is one bar of a part. Index, Start and Length are the same for all parts.
type Bar struct {
	Index    int
	Number   string // as printed; may repeat, be empty or be "X1"
	Implicit bool   // not counted in the printed numbers: a pickup, half a bar

	Start Quarters // from the start of the piece, in written order
	// Length is how far the longest part reaches; the meter's where nothing
	// stands in the bar.
	Length Quarters
	Meter  Meter // in force at the bar's first note
	// Offset is how far behind the full bar's start the bar begins: 3 in the
	// pickup of one quarter to 4/4, or in the last quarter of a split bar; else 0.
	Offset Quarters

	Left, Right Barline // at the bar's start and end
	Jumps       []Jump
}

// Barline is what stands at a bar's start or end. The zero value is a plain line.
type Barline struct {
	// Style is the standard's: "light-light", "light-heavy", "dotted", …; empty
	// where the file does not say.
	Style string
	// Repeat is Start where a repeat begins, Stop where it goes back.
	Repeat    Edge
	Times     int  // how often the repeated part is played in all, 2 unless said
	AfterJump bool // the repeat is taken after a jump, too
	// Ending is Start or Stop of an ending; Continue at the Stop of one that stays
	// open. Endings are the passes it is for.
	Ending  Edge
	Endings []int
	Text    string // what is printed at the ending, "1." unless said
}

// JumpKind is a kind of [Jump].
type JumpKind uint8

// What can be said of the way through a score.
const (
	DaCapo JumpKind = iota
	DalSegno
	ToCoda
	Fine
	Segno         // where DalSegno leads
	Coda          // where ToCoda leads
	ForwardRepeat // a repeat begins that is not printed
)

// Jump is an instruction to go elsewhere at the bar's end, or a place to go to at
// its start.
type Jump struct {
	Kind JumpKind
	Name string // pairs a Segno with its DalSegno, a Coda with its ToCoda; often empty
	// Only is the times the bar is played at which the jump is made; empty: the
	// first time, ToCoda and Fine after another jump.
	Only []int
}

// DirectionKind is a kind of [Direction].
type DirectionKind uint8

// What can be written above or below the staff.
const (
	Words DirectionKind = iota
	Rehearsal
	Dynamics
	Wedge
	SegnoSign
	CodaSign
	Metronome
	OctaveShift
	InnerBarline // a line within the bar
)

// Direction is a text or sign at a place of a bar, not on one note.
type Direction struct {
	Bar   int
	At    Quarters // from the bar's start
	Staff int      // 0 where the file does not say
	Kind  DirectionKind
	// Text is the words, the rehearsal letter, the dynamics ("mf"), the wedge
	// ("crescendo", "diminuendo", "stop"), the metronome mark ("quarter=c. 72"), the
	// octave shift ("up", "down", "stop") or the inner line's style.
	Text string
	Dots int // of a metronome mark's note value
	Size int // of an octave shift: 8, 15, …
}

// Tempo is a tempo from a place on.
type Tempo struct {
	Bar int
	At  Quarters
	// MilliQuarters is in thousandths of a quarter a minute; 0 where the score
	// says that the player is to choose.
	MilliQuarters int64
}

// Onset is where a note of the part begins, from the start of the piece.
func (p *Part) Onset(n Note) Quarters { return p.Bars[n.Bar].Start.Add(n.At) }

// Beat is where in its bar a place lies as musicians count: from 1, in the
// meter's lower number, a pickup from the full bar's start.
func (b Bar) Beat(at Quarters) Quarters {
	q := b.Offset.Add(at)
	return click.Frac(q.Num()*int64(b.Meter.Below()), 4*q.Den()).Add(click.Whole(1))
}
