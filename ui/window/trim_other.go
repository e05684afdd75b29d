//go:build !linux || !cgo

package window

// trim does nothing: the system's C library gives back what is free by itself.
func trim() {}
