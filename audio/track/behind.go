package track

import (
	"context"
	"io"
	"os"
	"sync/atomic"
	"unsafe"

	"footing/files"
)

// behindFile writes to a file in a goroutine of its own, a little behind the
// one that makes the bytes, so that both cores of a small machine are at work.
// What is written goes to the disk as it comes, so that the sync at the end has little
// left to wait for. Once its context is cancelled it writes no more.
type behindFile struct {
	ctx    context.Context
	file   *os.File
	block  []byte // being filled; nil for none
	made   int    // blocks
	full   chan []byte
	free   chan []byte
	direct direct
	early  *earlySync
	failed atomic.Bool
	err    error // the first error, to be read once all blocks are back
}

// blocks of blockBytes are on the way at most. The first has firstBytes, which is enough
// for a small file.
const (
	blocks     = 2
	firstBytes = 1 << 16
	blockBytes = 1 << 20
	// blockAlign is what blocks in memory and in a file are aligned to.
	blockAlign = 4096
)

func newBehindFile(ctx context.Context, file *os.File) *behindFile {
	b := &behindFile{ctx: ctx, file: file, full: make(chan []byte, blocks), free: make(chan []byte, blocks), early: syncEarly(file)}
	go b.run()
	return b
}

func (b *behindFile) run() {
	for block := range b.full {
		if b.err == nil {
			b.err = b.ctx.Err()
		}
		if b.err == nil {
			b.err = b.put(block)
		}
		if b.err != nil {
			b.failed.Store(true)
		}
		b.free <- block[:0]
	}
}

// put writes a block, past the system's cache as long as whole blocks come.
func (b *behindFile) put(block []byte) error {
	if len(block) == cap(block) && b.direct.begin(b.file) {
		n, err := b.file.Write(block)
		if err == nil || !refused(err) {
			return err
		}
		block = block[n:]
	}
	b.direct.end(b.file)
	n, err := b.file.Write(block)
	b.early.wrote(n)
	return err
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
		if b.block == nil {
			b.block = b.empty()
		}
		part := min(len(p)-n, cap(b.block)-len(b.block))
		b.block = append(b.block, p[n:n+part]...)
		n += part
		if len(b.block) == cap(b.block) {
			b.hand()
		}
	}
	return n, nil
}

// empty is a block to be filled: one that is back, or another as long as there may be.
func (b *behindFile) empty() []byte {
	if b.made == 0 {
		b.made++
		return aligned(firstBytes)
	}
	select {
	case block := <-b.free:
		return whole(block)
	default:
	}
	if b.made == blocks {
		return whole(<-b.free)
	}
	b.made++
	return aligned(blockBytes)
}

// whole is the block, or one of full size in place of the first.
func whole(block []byte) []byte {
	if cap(block) < blockBytes {
		return aligned(blockBytes)
	}
	return block
}

// aligned is an empty block that begins where a disk can take it from.
func aligned(size int) []byte {
	b := make([]byte, size+blockAlign)
	at := int(-address(b) % blockAlign)
	return b[at : at : at+size]
}

func address(b []byte) uintptr { return uintptr(unsafe.Pointer(unsafe.SliceData(b))) }

// hand hands over the block that is being filled.
func (b *behindFile) hand() {
	if b.block != nil {
		b.full <- b.block
		b.block = nil
	}
}

// settle waits until everything handed over has been written.
func (b *behindFile) settle() error {
	b.hand()
	var back [blocks][]byte
	for i := range b.made {
		back[i] = <-b.free
	}
	err := b.err
	for i := range b.made {
		b.free <- back[i]
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
