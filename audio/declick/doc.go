// Package declick takes a metronome's clicks out of a recording, so that what
// was played can be heard as if it had been played alone.
//
// It needs no copy of the click. A click begins with an edge that no breath
// makes. What follows on such edges is put into spectra, aligned between
// samples, and averaged with weights: a click that fell where few of a note's
// harmonics are says more of those frequencies than one that did not. What is
// the same in all is the click, and is subtracted wherever it is found again,
// as strong and as late as it is there. A metronome that sounds its beats and
// its subdivisions differently has several such sounds. Once clicks lie evenly
// the next one is looked for where it is expected, though notes drown it. What a
// room makes of a click is learned with it, as long as it is heard; one that rings on
// there is told from a note by coming out of silence at its loudest, the same each time
// and evenly.
//
// On notes of sampled winds with synthetic clicks as loud as they, 20 to 35 dB
// of the clicks go; of clicks from a loudspeaker in a living room 15 to 35 dB,
// what the room makes of them included, where they sounded alone for a while, as
// in a count-in. A click without an edge, as a soft mallet's, is found only by its
// sound or its place, and one that differs each time is not. A sound without edges comes out as it went
// in, sample by sample; so did sampled winds, staccato ones too. Plucked and
// struck notes have edges of their own, and may lose some of their beginnings.
//
// The package is pure.
package declick
