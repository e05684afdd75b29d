// Package notes finds the notes of a step: where a score, typed notes or a pattern
// gives them, with their places in the step's own beats; what of them a chunk
// holds; and the chunk set by notes. Pure: a score that a step names is handed in
// by whoever has read it (see notesfile).
//
// A [Notes] is made anew when a step's words change and is not written to after
// that, so that any number of goroutines may read it. The session carries none:
// whoever shows or hears notes keeps them beside the step.
package notes
