//go:build linux && cgo

package window

// #include <stdlib.h>
// #ifdef __GLIBC__
// #include <malloc.h>
// static void trim(void) { malloc_trim(0); }
// #else
// static void trim(void) {}
// #endif
import "C"

// trim has the C library give back what is free in its heaps. The GNU one keeps what
// lies under something that is still in use, and the graphics driver leaves tens of
// megabytes there when the window had many sizes (malloc_trim(3)).
func trim() { C.trim() }
