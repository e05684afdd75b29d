//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package routine

import (
	"os"
	"syscall"
	"time"
)

// locked runs do while it holds the folder's advisory lock, so that of two
// windows that save in one folder one looks and renames after the other. Where
// the folder cannot be locked, or someone holds the lock for a second, do runs
// without.
func locked(folder string, do func() error) error {
	d, err := os.Open(folder)
	if err != nil {
		return do()
	}
	defer d.Close()
	for range 200 {
		err := syscall.Flock(int(d.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if err != syscall.EWOULDBLOCK && err != syscall.EINTR {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	return do() // closing the folder lets the lock go
}
