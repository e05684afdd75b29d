package track

import (
	"context"
	"io"
	"os"
	"sync/atomic"

	"footing/files"
)

// behindFile writes to a file in a goroutine of its own, a little behind the
// one that makes the bytes, so that both cores of a small machine are at work.
// Now and then it brings to the disk what has been written, so that the sync at
// the end has little left to wait for. Once its context is cancelled it writes
// no more.
type behindFile struct {
	ctx    context.Context
	file   *os.File
	full   chan []byte
	free   chan []byte
	early  *earlySync
	failed atomic.Bool
	err    error // the first error, to be read once all blocks are back
}

// blocks of blockBytes are on the way at most.
const (
	blocks     = 4
	blockBytes = 1 << 17
)

func newBehindFile(ctx context.Context, file *os.File) *behindFile {
	b := &behindFile{ctx: ctx, file: file, full: make(chan []byte, blocks), free: make(chan []byte, blocks), early: syncEarly(file)}
	for range blocks {
		b.free <- make([]byte, 0, blockBytes)
	}
	go b.run()
	return b
}

func (b *behindFile) run() {
	for block := range b.full {
		if b.err == nil {
			b.err = b.ctx.Err()
		}
		if b.err == nil {
			var n int
			n, b.err = b.file.Write(block)
			b.early.wrote(n)
		}
		if b.err != nil {
			b.failed.Store(true)
		}
		b.free <- block[:0]
	}
}

// Write hands p over. It may return the error of an earlier write.
func (b *behindFile) Write(p []byte) (int, error) {
	if err := b.ctx.Err(); err != nil {
		return 0, err
	}
	n := 0
	for n < len(p) {
		if b.failed.Load() {
			return n, b.settle()
		}
		block := <-b.free
		part := min(len(p)-n, blockBytes)
		b.full <- append(block, p[n:n+part]...)
		n += part
	}
	return n, nil
}

// settle waits until everything handed over has been written.
func (b *behindFile) settle() error {
	var back [blocks][]byte
	for i := range back {
		back[i] = <-b.free
	}
	err := b.err
	for _, block := range back {
		b.free <- block
	}
	if err != nil {
		return files.Cause(err)
	}
	return nil
}

// Seek waits for what was written before.
func (b *behindFile) Seek(offset int64, whence int) (int64, error) {
	if err := b.settle(); err != nil {
		return 0, err
	}
	return b.file.Seek(offset, whence)
}

// close ends the goroutines, whatever has happened. The file stays open.
func (b *behindFile) close() error {
	err := b.settle()
	close(b.full)
	b.early.close()
	return err
}

var _ io.WriteSeeker = (*behindFile)(nil)

// earlySync syncs a file on demand in a goroutine of its own.
type earlySync struct {
	due     chan struct{}
	done    chan struct{}
	written int
}

// syncEvery is how many bytes are worth a sync of their own.
const syncEvery = 8 << 20

func syncEarly(file *os.File) *earlySync {
	e := &earlySync{due: make(chan struct{}, 1), done: make(chan struct{})}
	go func() {
		defer close(e.done)
		for range e.due {
			_ = file.Sync() // whether all is well is told by the sync at the end
		}
	}()
	return e
}

// wrote takes note of n bytes more.
func (e *earlySync) wrote(n int) {
	if e.written += n; e.written < syncEvery {
		return
	}
	e.written = 0
	select {
	case e.due <- struct{}{}:
	default: // one is under way and one waits
	}
}

func (e *earlySync) close() {
	close(e.due)
	<-e.done
}
