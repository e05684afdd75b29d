// Package declick takes a metronome's clicks out of a recording, so that what
// was played can be heard as if it had been played alone.
//
// It needs no copy of the click. A click begins with an edge that no breath
// makes, seen in what is left of the sound when all that its past predicts is
// taken away. Clicks are such edges at regular distances, to a tenth of a
// millisecond, as no player's are, that are followed by the same each time. What
// follows is put into spectra, aligned between samples, and averaged with
// weights: a click that fell where few of a note's harmonics are says more of
// those frequencies than one that did not. What is the same in all is the click,
// and is subtracted wherever it is found again, as strong and as late as it is
// there. A metronome that sounds its beats and its subdivisions differently has
// several such sounds.
//
// On notes of sampled winds with synthetic clicks as loud as they, 20 to 35 dB
// of bright clicks go, and some 8 dB, over a take of two dozen, of ones that are
// a tone near the notes' own. A click without an edge, as a soft mallet's, is not
// found, nor is one that differs each time. Sampled winds came out as they went
// in, staccato ones too, but for notes that a sampler plays alike at exactly
// regular distances: those may lose some of their beginnings.
//
// The package is pure.
package declick
