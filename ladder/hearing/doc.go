// Package hearing sets a recording against a routine's step, or against the grid
// that fits it, and reports what was heard: in figures, in words, as JSON. It
// also says where the notes of a rep are expected, and proposes a verdict on one
// rep at a time.
//
// An [Ear] takes the samples, [Compare] answers with a [Report].
//
// The package is pure: it reads no file, no clock and no device.
package hearing
