// Package ladder is the practice session: the steps of a routine, the rungs of
// a step, the rules by which verdicts move the player from rung to rung, and
// [Session], a reducer that takes events and answers with effects.
//
// The package is pure: no clock, no file, no device, no randomness. Any list
// of events leads to the same state again.
package ladder
