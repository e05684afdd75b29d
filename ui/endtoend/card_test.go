//go:build rig

package endtoend

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os/exec"
	"sync/atomic"
	"testing"
	"time"
)

// rate is the rate of the sound card in the rig.
const rate = 48_000

// gap is how much exact silence parts two clicks: 40 ms.
const gap = rate * 40 / 1000

// card records what the sound card plays and finds the clicks in it as they
// come. The recording is the test's only clock.
type card struct {
	t      *testing.T
	in     io.Reader
	clicks chan int64
	failed chan error
	heard  []int64      // the clicks taken so far
	frames atomic.Int64 // recorded so far
}

// record starts recording. It ends with the test.
func record(t *testing.T) *card {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	// The recorder is the instrument of the measurement: it goes before what
	// keeps the cores busy, where it may, so that it loses nothing itself.
	cmd := exec.CommandContext(ctx, "nice", "-n", "-11", "parecord", "--raw", "--device=loop.monitor", "--format=float32le",
		fmt.Sprint("--rate=", rate), "--channels=2", "--latency-msec=80")
	cmd.SysProcAttr = ownSession()
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		cancel()
		t.Fatalf("recording the sound card: %v", err)
	}
	c := &card{t: t, in: bufio.NewReaderSize(out, 1<<16), clicks: make(chan int64, 4096), failed: make(chan error, 1)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		c.failed <- c.listen()
		close(c.clicks)
	}()
	t.Cleanup(func() {
		cancel()
		<-done
		_ = cmd.Wait() // it was ended by the cancel
	})
	return c
}

// listen turns samples into clicks until the recording ends.
func (c *card) listen() error {
	var frame [8]byte
	silent := int64(gap)
	for at := int64(0); ; at++ {
		if _, err := io.ReadFull(c.in, frame[:]); err != nil {
			return err
		}
		c.frames.Store(at)
		left := math.Float32frombits(binary.LittleEndian.Uint32(frame[:4]))
		if left == 0 {
			silent++
			continue
		}
		if silent >= gap {
			c.clicks <- at
		}
		silent = 0
	}
}

// next waits for the next click and returns its frame.
func (c *card) next() int64 {
	c.t.Helper()
	at, ok := <-c.clicks
	if !ok {
		c.t.Fatalf("the recording ended after %d clicks: %v", len(c.heard), <-c.failed)
	}
	c.heard = append(c.heard, at)
	return at
}

// within waits for n clicks more, for so long altogether, and reports whether they came.
func (c *card) within(n int, long time.Duration) bool {
	late := time.After(long)
	for range n {
		select {
		case at, ok := <-c.clicks:
			if !ok {
				c.t.Fatalf("the recording ended after %d clicks: %v", len(c.heard), <-c.failed)
			}
			c.heard = append(c.heard, at)
		case <-late:
			return false
		}
	}
	return true
}

// pass waits until so many frames more are recorded.
func (c *card) pass(frames int64) {
	look := time.NewTicker(50 * time.Millisecond)
	defer look.Stop()
	for until := c.frames.Load() + frames; c.frames.Load() < until; {
		select {
		case <-look.C:
		case err := <-c.failed:
			c.t.Fatalf("the recording ended: %v", err)
		}
	}
}

// skip waits for n clicks more.
func (c *card) skip(n int) {
	c.t.Helper()
	for range n {
		c.next()
	}
}
