// Package abc reads notes as they are typed: a subset of the tune body of the
// ABC music standard 2.1 (December 2011), sections 4.1 to 4.20 and 3.1.8, for one line
// of notes. Pure; nothing here is shared between calls, so any number may run at once.
//
//	C D E F G A B c d e f g a b   from middle C; , an octave lower, ' higher
//	^ ^^ _ __ =                   accidentals, to the bar's end in their octave
//	A2 A3/2 A/ A//                lengths in units
//	z Z Z4                        a rest, a bar of rest, four of them
//	A-A (abc)                     tie, slur
//	(3abc (6:4abcdef (5:4:5abcde  so many in the time of so many, for so many
//	A>B A<<B                      dotted one way, doubly dotted the other
//	{g} {/g}                      grace notes, crushed
//	.A TA HA LA !tenuto!A !1!A    staccato, trill, fermata, accent, by name, a finger
//	| || |]                       bar lines
//	Q:1/4=104 Q:"Andante" [Q:…]   a tempo, on a line of its own or within one
//	% …                           a comment to the line's end
//
// Spaces are free. In two things the reader is narrower than the standard: an
// accidental holds in its own octave, as in print, and where another reader would
// carry it to another octave the text has to say which is meant; and bars are
// checked against the meter, only the first and the last may be short.
package abc
