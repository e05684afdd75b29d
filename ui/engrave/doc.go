// Package engrave lays out a line of notes as one staff to be read from a music
// stand. It is pure: a score in, a [Drawing] out, in staff spaces; ui/engrave/paint
// makes pixels of it.
//
// Lengths are staff spaces (a quarter of the staff's height), x to the right, y
// downwards. Where a note stands on its staff is a position: half spaces above the
// middle line. Thicknesses and the boxes of glyphs are the music font's own.
// Spacing, beams, stems and signs follow common practice; where a number has no
// source, it is ours.
package engrave
