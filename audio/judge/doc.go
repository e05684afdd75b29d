// Package judge sets notes against a grid: how early or late each one comes on
// its slot, which change between two neighbouring notes is uneven, and whether
// one rep has a fault.
//
// [FindGrid] lays a [Grid] under onsets, [Evenness] compares the two, and [SetRep]
// sets a single rep against the places of its notes. What is said of a [Report] in
// words stands above this package.
//
// Slots and reps are counted from 1, as on the page; 0 means none. Times are
// seconds from the first sample. A note's asynchrony is the time from its place to
// its onset, as the field has it; its deviation is that with the take's own offset
// and drift taken out. Both are milliseconds, positive when late.
//
// The package is pure: it reads no file, no clock and no device.
package judge
