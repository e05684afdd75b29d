//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journalfile

import (
	"os"
	"syscall"
)

// lock waits for the file's advisory lock, which its closing lets go. Where it
// can't be had the file is used without.
func lock(f *os.File) {
	for syscall.Flock(int(f.Fd()), syscall.LOCK_EX) == syscall.EINTR {
	}
}
