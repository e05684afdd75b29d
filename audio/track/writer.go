package track

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// ErrTooLong is returned by [Writer.Write] when what is written would not fit
// into one WAV file: RIFF counts bytes in 32 bits, which is 4 GiB.
var ErrTooLong = errors.New("a WAV file holds at most 4 GiB; write fewer minutes or channels, or 16-bit samples")

// Writer writes a WAV file. Its sizes are filled in by Close. It is for one
// goroutine at a time.
type Writer struct {
	w      io.WriteSeeker
	format Format
	encode encoder

	start  int64  // where the file begins in w
	header int64  // bytes before the first sample
	sound  int64  // bytes of sound that w has taken
	buf    []byte // encoded samples that w has not taken yet
	limit  int64  // bytes of sound that fit beside the marks

	known map[*float32][]byte // what was made of samples that may be kept, by the first of them
	kept  int                 // bytes in known

	marks      []Mark
	labelBytes int64
	clipped    int64
	err        error // the first error of w; nothing is written after it
	closed     bool
}

// bufferBytes is the size of one write to the file: some 340 ms of 16-bit stereo.
const bufferBytes = 64 << 10

// NewWriter begins a WAV file at the place where w stands. It writes the header
// at once and returns an error where the format can't be written or w fails.
// Whatever w holds behind that place is overwritten, not cut off.
func NewWriter(w io.WriteSeeker, f Format) (*Writer, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	start, err := w.Seek(0, io.SeekCurrent)
	if err != nil {
		return nil, fmt.Errorf("finding the place to write a WAV header: %w", err)
	}
	head := appendHeader(nil, f)
	if _, err := w.Write(head); err != nil {
		return nil, fmt.Errorf("writing a WAV header: %w", err)
	}
	t := &Writer{
		w: w, format: f, encode: encoderFor(f.Encoding),
		start: start, header: int64(len(head)),
		buf: make([]byte, 0, max(1, bufferBytes/f.frameBytes())*f.frameBytes()),
	}
	t.limit = t.room()
	return t, nil
}

// room is how many bytes of sound the file can hold beside the marks it has.
func (t *Writer) room() int64 {
	const pad = 1
	return math.MaxUint32 - (t.header - 8) - pad - marksSize(len(t.marks), t.labelBytes)
}

// Write appends samples, interleaved by frame; their number must be a multiple
// of the channels. It refuses, writing nothing of them, samples that would not
// fit (ErrTooLong), and stops before the first that isn't a finite number. It
// allocates nothing.
func (t *Writer) Write(samples []float32) error {
	switch {
	case t.err != nil:
		return t.err
	case t.closed:
		return errors.New("write to a closed file")
	case len(samples)%t.format.Channels != 0:
		return fmt.Errorf("%d samples are no whole number of frames of %d channels", len(samples), t.format.Channels)
	}
	size := t.format.Encoding.bytes()
	if t.sound+int64(len(t.buf))+int64(len(samples)*size) > t.limit {
		return fmt.Errorf("after %d frames: %w", t.Frames(), ErrTooLong)
	}
	for len(samples) > 0 {
		have := len(t.buf)
		n := min(len(samples), (cap(t.buf)-have)/size)
		block := t.buf[:have+n*size]
		clipped, bad := t.encode(block[have:], samples[:n])
		if bad >= 0 {
			whole := bad - bad%t.format.Channels
			t.buf = block[:have+whole*size]
			return fmt.Errorf("frame %d, channel %d: the sample is %v; it must be a finite number",
				t.Frames(), bad%t.format.Channels+1, samples[bad])
		}
		t.clipped += clipped
		t.buf = block
		if len(t.buf) == cap(t.buf) {
			if err := t.flush(); err != nil {
				return err
			}
		}
		samples = samples[n:]
	}
	return nil
}

// mostKept is how many bytes of encoded samples are kept at most.
const mostKept = 4 << 20

// WriteKept is [Writer.Write] for samples that nobody writes to any more, and of which
// there is more than one slice that begins with the same of them: they are encoded once,
// and copied when they come again.
func (t *Writer) WriteKept(samples []float32) error {
	size := len(samples) * t.format.Encoding.bytes()
	if t.err != nil || t.closed || len(samples)%t.format.Channels != 0 || t.sound+int64(len(t.buf)+size) > t.limit || size == 0 {
		return t.Write(samples)
	}
	block := t.known[&samples[0]]
	if len(block) < size {
		block = make([]byte, size)
		if clipped, bad := t.encode(block, samples); clipped > 0 || bad >= 0 {
			return t.Write(samples)
		}
		if t.known == nil || t.kept+size > mostKept {
			t.known, t.kept = map[*float32][]byte{}, 0
		}
		t.known[&samples[0]] = block
		t.kept += size
	}
	return t.write(block[:size])
}

// write takes encoded samples. They go to w at once where there are enough of them.
func (t *Writer) write(p []byte) error {
	const enough = 4 << 10
	if len(t.buf) > 0 && (len(p) >= enough || len(p) > cap(t.buf)-len(t.buf)) {
		if err := t.flush(); err != nil {
			return err
		}
	}
	if len(p) < enough && len(p) <= cap(t.buf) {
		t.buf = append(t.buf, p...)
		return nil
	}
	return t.hand(p)
}

// flush hands the buffer to w.
func (t *Writer) flush() error {
	if t.err != nil {
		return t.err
	}
	err := t.hand(t.buf)
	t.buf = t.buf[:0]
	return err
}

// hand hands encoded samples to w.
func (t *Writer) hand(p []byte) error {
	n, err := t.w.Write(p)
	t.sound += int64(n)
	if err == nil && n < len(p) {
		err = io.ErrShortWrite
	}
	if err != nil {
		t.err = fmt.Errorf("writing sound after %d frames: %w", t.sound/int64(t.format.frameBytes()), err)
	}
	return t.err
}

// Frames is the number of frames written so far.
func (t *Writer) Frames() int64 {
	return (t.sound + int64(len(t.buf))) / int64(t.format.frameBytes())
}

// Clipped is the number of samples so far that lay beyond full scale and were
// written as full scale; always 0 with Float32.
func (t *Writer) Clipped() int64 { return t.clipped }

// Mark names a frame, counted from the start of the sound. Marks may be set in
// any order, before or after their frame is written, and several on one frame;
// they are written by Close in order of place. A label is UTF-8; characters that
// it can't hold (NUL, broken UTF-8) are dropped or replaced. It returns an error,
// and sets no mark, where the frame is below 0 or beyond what a file can hold, or
// the file has no room for another mark or is closed.
func (t *Writer) Mark(frame int64, label string) error {
	label = cleanLabel(label)
	switch {
	case t.closed:
		return errors.New("mark in a closed file")
	case frame < 0 || frame > t.format.MaxFrames():
		return fmt.Errorf("mark %q at frame %d: a mark lies between frame 0 and %d", label, frame, t.format.MaxFrames())
	}
	grown := t.limit - labelSize(label) - marksSize(len(t.marks)+1, 0) + marksSize(len(t.marks), 0)
	if t.sound+int64(len(t.buf)) > grown {
		return fmt.Errorf("mark %q at frame %d: %w", label, frame, ErrTooLong)
	}
	t.limit = grown
	t.marks = append(t.marks, Mark{frame, label})
	t.labelBytes += labelSize(label)
	return nil
}

// Close writes what is left and the marks, and fills in the sizes; it doesn't
// close the underlying writer. A mark beyond the last frame is an error, and the
// file is whole without it. After a failed Write, Close still fills in the sizes
// of what was written, if it can, and returns that first error. A second Close
// does nothing.
func (t *Writer) Close() error {
	if t.closed {
		return t.err
	}
	t.closed = true
	err := t.flush()
	frames := t.Frames()

	kept := t.marks[:0]
	for _, m := range t.marks {
		if m.Frame > frames {
			err = errors.Join(err, fmt.Errorf("mark %q at frame %d lies beyond the end, frame %d", m.Label, m.Frame, frames))
			continue
		}
		kept = append(kept, m)
	}
	tail := make([]byte, 0, 1+marksSize(len(kept), t.labelBytes))
	if t.sound%2 == 1 {
		tail = append(tail, 0)
	}
	if t.err == nil {
		tail = appendMarks(tail, kept)
		if _, werr := t.w.Write(tail); werr != nil {
			t.err = fmt.Errorf("writing marks after the sound: %w", werr)
			err = errors.Join(err, t.err)
			tail = tail[:0]
		}
	}
	if t.err != nil {
		tail = tail[:0]
	}
	if serr := t.fillIn(frames, int64(len(tail))); serr != nil && t.err == nil {
		t.err = serr
		err = errors.Join(err, serr)
	}
	if t.err == nil {
		t.err = err
	}
	return err
}

// fillIn writes the sizes into the header and leaves w at the end of the file.
func (t *Writer) fillIn(frames, tail int64) error {
	put := func(at int64, v int64) error {
		if _, err := t.w.Seek(t.start+at, io.SeekStart); err != nil {
			return fmt.Errorf("going back to the WAV header: %w", err)
		}
		var b [4]byte
		binary.LittleEndian.PutUint32(b[:], uint32(v))
		if _, err := t.w.Write(b[:]); err != nil {
			return fmt.Errorf("filling in the WAV header: %w", err)
		}
		return nil
	}
	end := t.header + t.sound + tail
	if err := put(4, end-8); err != nil {
		return err
	}
	if t.header != plainHeader {
		if err := put(t.header-12, frames); err != nil {
			return err
		}
	}
	if err := put(t.header-4, t.sound); err != nil {
		return err
	}
	if _, err := t.w.Seek(t.start+end, io.SeekStart); err != nil {
		return fmt.Errorf("going to the end of the file: %w", err)
	}
	return nil
}

// plainHeader is the size of the header without a `fact` chunk.
const plainHeader = 44
