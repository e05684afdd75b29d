// Package hear says what a recording of one wind or string instrument
// contains: where each note begins, its pitch, how the notes lie on the
// click's grid, and which change between two neighbouring notes is uneven.
//
// A [Listener] takes mono samples as they come, in one pass and in bounded
// memory, and gives up each [Onset] about [Listener.Delay] seconds after it
// was played, so it serves a file and a player at work alike. [FindGrid] lays
// a [Grid] under the onsets and [Evenness] compares the two.
//
// Slots and reps are counted from 1, as on the page; 0 means none. Times are
// seconds from the first sample; deviations are milliseconds, positive when
// late.
//
// The package is pure: it reads no file, no clock and no device.
package hear
