// Package spoken is the count aloud: words from folders of sound files, laid on the
// strokes of a phrase so that each vowel falls on its place. Pure but for the file
// systems that it is given.
package spoken
