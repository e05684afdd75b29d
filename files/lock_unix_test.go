//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package files

import (
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
)

// Of those who lock a folder, one is inside at a time. Within a process, too:
// each opens the folder for itself.
func TestLocked(t *testing.T) {
	folder := t.TempDir()
	var inside, most atomic.Int32
	var done sync.WaitGroup
	for range 4 {
		done.Go(func() {
			for range 20 {
				err := locked(t.Context(), folder, func() error {
					if n := inside.Add(1); n > 1 {
						most.Store(n)
					}
					for range 50 {
						runtime.Gosched()
					}
					inside.Add(-1)
					return nil
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	done.Wait()
	if most.Load() > 1 {
		t.Errorf("%d were inside at a time", most.Load())
	}
}
