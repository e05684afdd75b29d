package track

import (
	"bufio"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
)

// Sink takes the samples of a file that is being written, in any container.
type Sink interface {
	// Write appends samples, interleaved by frame; see [Writer.Write].
	Write(samples []float32) error
	// WriteKept is Write for samples that come again; see [Writer.WriteKept].
	WriteKept(samples []float32) error
	// Mark names a frame. Where the container keeps no marks it does nothing.
	Mark(frame int64, label string) error
}

var (
	_ Sink = (*Writer)(nil)
	_ Sink = (*FLACWriter)(nil)
)

// A Tag says something of the sound in a FLAC file, such as TITLE.
type Tag struct{ Name, Value string }

// FLACWriter writes a FLAC file: the same samples as a [Writer] of the same encoding,
// without loss. It is for one goroutine at a time. A FLAC file keeps no marks.
type FLACWriter struct {
	format Format
	encode encoder
	stream *flac.Encoder
	out    *seekBuffer
	block  *frame.Frame
	raw    []byte // a few samples as a WAV file would have them
	have   int    // frames in the block
	frames int64  // taken so far
	err    error
}

// Blocks have so many frames, but for the last ones: the format allows none under 16
// except as the only one.
const (
	flacBlock = 4096
	flacLeast = 16
)

// NewFLACWriter begins a FLAC file at the start of w, with 16 or 24 bits. The rate is
// below 655 350 frames a second, the channels are 1 to 8. Its header is filled in by
// Close.
func NewFLACWriter(w io.WriteSeeker, f Format, tags ...Tag) (*FLACWriter, error) {
	switch {
	case f.Encoding != Int16 && f.Encoding != Int24:
		return nil, fmt.Errorf("cannot write %v samples to FLAC; 16-bit and 24-bit can be written", f.Encoding)
	case f.Channels < 1 || f.Channels > 8:
		return nil, fmt.Errorf("cannot write %d channels to FLAC; 1 to 8 can be written", f.Channels)
	case f.Rate < 1 || f.Rate > 655_350:
		return nil, fmt.Errorf("cannot write a rate of %d frames a second to FLAC; 48000 is usual", f.Rate)
	}
	comment := &meta.VorbisComment{Vendor: "Footing"}
	for _, t := range tags {
		comment.Tags = append(comment.Tags, [2]string{t.Name, cleanLabel(t.Value)})
	}
	out := &seekBuffer{Writer: bufio.NewWriterSize(w, bufferBytes), to: w}
	stream, err := flac.NewEncoder(out, &meta.StreamInfo{
		BlockSizeMin: flacLeast, BlockSizeMax: flacBlock + flacLeast,
		SampleRate: uint32(f.Rate), NChannels: uint8(f.Channels), BitsPerSample: uint8(8 * f.Encoding.bytes()),
	}, &meta.Block{Header: meta.Header{Type: meta.TypeVorbisComment, Length: 1}, Body: comment}) // a length of 0 would leave it out
	if err != nil {
		return nil, fmt.Errorf("writing a FLAC header: %w", err)
	}
	t := &FLACWriter{format: f, encode: encoderFor(f.Encoding), stream: stream, out: out, raw: make([]byte, flacBlock*f.Encoding.bytes())}
	t.block = &frame.Frame{Header: frame.Header{
		SampleRate: uint32(f.Rate), Channels: frame.Channels(f.Channels - 1), BitsPerSample: uint8(8 * f.Encoding.bytes()),
	}}
	for range f.Channels {
		t.block.Subframes = append(t.block.Subframes, &frame.Subframe{Samples: make([]int32, 0, flacBlock+flacLeast)})
	}
	return t, nil
}

// Write appends samples as [Writer.Write] does; a FLAC file has no bound that could be
// reached.
func (t *FLACWriter) Write(samples []float32) error {
	channels, size := t.format.Channels, t.format.Encoding.bytes()
	switch {
	case t.err != nil:
		return t.err
	case len(samples)%channels != 0:
		return fmt.Errorf("%d samples are no whole number of frames of %d channels", len(samples), channels)
	}
	for len(samples) > 0 {
		n := min(len(samples), len(t.raw)/size/channels*channels, (flacBlock+flacLeast-t.have)*channels)
		raw := t.raw[:n*size]
		if _, bad := t.encode(raw, samples[:n]); bad >= 0 {
			return fmt.Errorf("frame %d, channel %d: the sample is %v; it must be a finite number", t.frames+int64(bad/channels), bad%channels+1, samples[bad])
		}
		for i := range n {
			sub := t.block.Subframes[i%channels]
			sub.Samples = append(sub.Samples, integer(raw[i*size:], size))
		}
		t.have += n / channels
		t.frames += int64(n / channels)
		samples = samples[n:]
		if t.have == flacBlock+flacLeast {
			if t.err = t.flush(flacBlock); t.err != nil {
				return t.err
			}
		}
	}
	return nil
}

// WriteKept is Write: a block of FLAC seldom holds the same twice.
func (t *FLACWriter) WriteKept(samples []float32) error { return t.Write(samples) }

// integer is a sample of two or three bytes.
func integer(b []byte, size int) int32 {
	if size == 2 {
		return int32(int16(binary.LittleEndian.Uint16(b)))
	}
	return int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24) >> 8
}

// Mark does nothing.
func (t *FLACWriter) Mark(int64, string) error { return nil }

// flush writes the first n frames of the block.
func (t *FLACWriter) flush(n int) error {
	if n == 0 {
		return nil
	}
	all := make([][]int32, len(t.block.Subframes))
	for i, sub := range t.block.Subframes {
		all[i] = sub.Samples
		*sub = frame.Subframe{Samples: sub.Samples[:n], NSamples: n, SubHeader: frame.SubHeader{Pred: frame.PredVerbatim}}
	}
	t.block.BlockSize = uint16(n)
	if err := t.stream.WriteFrame(t.block); err != nil {
		return fmt.Errorf("writing sound after %d frames: %w", t.frames-int64(t.have), err)
	}
	for i, sub := range t.block.Subframes {
		sub.Samples = all[i][:copy(all[i], all[i][n:])]
	}
	t.have -= n
	return nil
}

// Close writes what is left and fills in the header; it does not close the underlying
// writer.
func (t *FLACWriter) Close() error {
	if t.err != nil {
		return t.err
	}
	t.err = errors.New("write to a closed file")
	if err := t.flush(t.have); err != nil {
		return err
	}
	if err := t.stream.Close(); err != nil {
		return fmt.Errorf("filling in the FLAC header: %w", err)
	}
	return t.out.Flush()
}

// CreateFLAC is [Create] for a FLAC file.
func CreateFLAC(ctx context.Context, path string, f Format, tags []Tag, fill func(*FLACWriter) error) error {
	return Replace(ctx, path, func(file io.WriteSeeker) error {
		w, err := NewFLACWriter(file, f, tags...)
		if err != nil {
			return err
		}
		if err := fill(w); err != nil {
			return err
		}
		return w.Close()
	})
}

// seekBuffer gathers small writes, and is not closed by who writes to it.
type seekBuffer struct {
	*bufio.Writer
	to io.WriteSeeker
}

func (b *seekBuffer) Seek(offset int64, whence int) (int64, error) {
	if err := b.Flush(); err != nil {
		return 0, err
	}
	return b.to.Seek(offset, whence)
}
