// Package speaker plays a rendered click on a real sound device, says what is audible now, and goes on when the
// device goes.
//
// A [Source] renders frames without end; stop is silence inside the source. One device player is started once and
// pulls them. While there is no device, a clock pulls them instead and they are discarded, so that the musical
// position, and the picture that follows it, never stops; the device is tried again every two seconds and taken up
// without a jump in the frames of the source. Only for the first device the source waits, for ten seconds at most: a
// player who begins at once is to hear the first beat.
//
// Positions are in frames of the source at [Speaker.Rate], counted from the first frame ever rendered.
package speaker
