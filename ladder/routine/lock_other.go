//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package routine

// locked runs do. Folders can't be locked on this system; what is left is the
// look right before the rename.
func locked(_ string, do func() error) error { return do() }
