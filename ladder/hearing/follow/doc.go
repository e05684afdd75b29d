// Package follow follows a player through the notes that were to be played, and
// tells wrong notes, missed ones and extra ones apart.
//
// What was heard of a rep is aligned with its notes one to one and in order, by
// time and pitch, at least cost ([Align]); then each fault that this leaves is held
// against all that sounded there ([Follower.Rep]). The ears err: they miss the
// beginning of a note, take an octave or a twelfth for it, or hear one that nobody
// played. So a fault is only called one where what sounded can hardly be anything
// else; all that remains is [Unsure].
//
// The package is pure: it reads no file, no clock and no device.
package follow
