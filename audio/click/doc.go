// Package click is musical time and the click: beats, tempo, meters, grids of
// slots, phrases with the tones of a model, and the renderer that turns phrases into
// samples.
//
// The package is pure: it opens no device and no file and reads no clock. The
// only clock of Footing is the number of frames that a [Renderer] has been
// asked for.
package click
