package hear

import "math"

// Onset is the beginning of one note.
type Onset struct {
	// Seconds from the first sample of the stream.
	Seconds float64
	// Midi is the nearest note number, 69 for A4 = 440 Hz; 0 when no pitch was heard.
	Midi int
	// Cents is how far the pitch lies from Midi, -50 to 50.
	Cents float64
	// Certainty that a note begins here, 0 to 1.
	Certainty float64
	// Slurred is true when the note was told by its pitch alone, with no
	// attack of its own.
	Slurred bool
	// PlacedMs is the standard deviation, in milliseconds, that Seconds is known
	// to, apart from what a whole take is late by; 0 when that is not known.
	PlacedMs float64

	recalled recalled
	turn     turn
	alone    float64 // PlacedMs in a dry room
	hardly   float64 // the least of it
	ahead    float64 // seconds before its harmonics, by the anchor
	hidden   float64 // 0 to 1, how little was seen of its beginning
	anchor   anchor
	// slurred is how surely, from 0 to 1, it is a slur by all of the take; torn is
	// by how much, in milliseconds (standard deviation), its place is unsure for that.
	slurred, torn float64
}

// Hearing sums up what came in, so that a take with nothing to judge can be
// told from one with notes in it.
type Hearing struct {
	// Seconds of sound taken in.
	Seconds float64
	// Peak is the largest absolute sample (full scale is 1); NaN and infinite
	// samples are counted in Broken and heard as silence.
	Peak float64
	// Broken counts samples that were no numbers.
	Broken int
	// Sounding and Pitched are the shares of the time, 0 to 1, with any sound
	// above the take's own floor, and with a steady pitch.
	Sounding, Pitched float64
	// SoftMs is how long the notes take, usually, from their first sign until their
	// tone comes up, in milliseconds; 0 when that is not known.
	SoftMs float64
	// Live is how live the room is, by what is left of a note once another has
	// begun: 0 is dry, 1 when half of it is.
	Live float64
	// Notes counts the onsets given up so far.
	Notes int
}

// Silent reports whether nothing in it was loud enough to be heard.
func (h Hearing) Silent() bool { return h.Peak < math.Pow(10, silenceDB/20.0) }
