// Package endtoend holds the test of the main job as a player does it: the
// real program in a real window, keys pressed, the sound card recorded. It
// needs a screen and a sound card, and so is built only with the tag rig:
//
//	.ci/rig go test -tags rig ./ui/endtoend
package endtoend
