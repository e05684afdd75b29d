//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package files

import (
	"context"
	"os"
	"syscall"
	"time"
)

// locked runs do while it holds the folder's advisory lock, so that of two
// programs that write in one folder one looks and renames after the other. Where
// the folder cannot be locked, or someone holds the lock for a second, do runs
// without. It waits no longer than until ctx ends.
func locked(ctx context.Context, folder string, do func() error) error {
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
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(5 * time.Millisecond):
		}
	}
	return do() // closing the folder lets the lock go
}
