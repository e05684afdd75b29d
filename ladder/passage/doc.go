// Package passage is notes in bars: the score, what it says about time and
// pitch, and its reader for MusicXML. Typed notes and patterns make the same
// [Score]. It is pure: bytes come in through an io.Reader, nothing here opens a
// file, a device or a window.
//
// # Time
//
// All times of a score are [Quarters]: exact fractions of a quarter note, so
// that they do not depend on what a step calls its beat, and change nowhere when
// the meter does. [InBeats] and [FromBeats] lead to a step's beats and back. A
// place is a bar's index and what lies behind that bar's start; bars are
// addressed by index and shown by their printed number, which is a token that
// may repeat, be left out or be "X1".
//
// Written order is kept everywhere; [Score.Order] alone plays repeats out.
package passage
