// Package conduct joins a practice session to a renderer.
//
// A [Session] is the one owner of a [ladder.State]: keys, pedals and ticks reach
// its goroutine as requests on a channel; phrases leave to the renderer, reps
// on a channel of any length, and the rest of the program reads values.
// [HandsFree] is the same session without anybody at it: the phrases of a whole
// routine, one after the other, for whatever writes or counts them.
//
// The package opens no device and no file, and reads no clock.
package conduct
