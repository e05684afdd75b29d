package click

// Kind says what a phrase is.
type Kind uint8

// The kinds of phrase. A vamp is plain beats that the renderer plays by itself
// while it has been given nothing else.
const (
	CountIn Kind = iota
	Rep
	Breath
	Vamp
)

// String names the kind for logs and labels.
func (k Kind) String() string {
	return [...]string{"count-in", "rep", "breath", "vamp"}[min(k, Vamp)]
}

// Part says which part of a phrase a stroke belongs to.
type Part uint8

// The parts. A rep is led in when its chunk starts within a beat, is filled up
// with silence to the end of its beat, and may have a landing.
const (
	InCountIn Part = iota
	InLead
	InChunk
	InFill
	InLanding
	InBreath
	InVamp
)

// Stroke is one place of the click within a phrase, sounding or silent.
type Stroke struct {
	// At is counted from the start of the phrase.
	At Beats
	// Bar is the number of the bar in the passage; Beat counts from 0 in that
	// bar, and Slot from 0 in that beat. Slot is −1 for a click that stands on
	// no slot (the second click of a doubled pulse over three slots, say).
	Bar, Beat, Slot int
	Part            Part
	// Cell is which cell of a path begins on the stroke, from 1; 0 where there is
	// no path or outside the chunk, Between where none begins.
	Cell     int
	Dynamics Dynamics
	Voice    Voice
	Rank     Rank
	// Hushed is silent to test the inner pulse. Meant is what its dynamics would be
	// where the picture shows them all the same; Silent where that hushes too.
	Hushed bool
	Meant  Dynamics
	// Syllable is the word that is counted on the stroke, or empty.
	Syllable string
}

// Phrase is what sounds for some beats at one tempo: a count-in, a rep, a
// breath. It is a value: on the screen, in a file and in the speaker it is the
// same. Strokes are in order of At and shared between copies: once a phrase
// has been handed to a renderer they are not written to.
//
// The first slot of every beat has a stroke, silent or not.
type Phrase struct {
	// Seq is given by whoever feeds the renderer; it rises from phrase to
	// phrase and is above 0.
	Seq    uint64
	Kind   Kind
	Tempo  Tempo
	Length Beats // a whole number of beats, at least 1
	// Strokes are in order of At, all of them before Length.
	Strokes []Stroke
	// Tones are what the model sounds, in order of At, all of them before Length;
	// none by default. Like the strokes they are shared and not written to. A tone
	// out of order is passed over, and one that reaches beyond Length ends there.
	Tones []Tone
	// Words are what is spoken, in order of At, all of them before Length; none by
	// default. They are shared and not written to. A word out of order is passed over,
	// and each ends the one before it. One at the very start begins within the phrase
	// before, if that is not the first to sound.
	Words []Word
	// Sounds are how the strokes sound, and the drone under them; nil as usual.
	Sounds *Sounds
	// Final lets the click stop by itself at the phrase's end.
	Final bool
}
