package track

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
)

// flacReader reads the sound of a FLAC file, block by block.
type flacReader struct {
	src    *source
	closer io.Closer // nil unless Open opened it
	stream *flac.Stream
	system *watched
	info   Info
	scale  float32

	block  *frame.Frame // being read, or nil
	at     int          // the next sample of the block
	length int          // samples of the block
	next   int64        // the frame to be read next
	notes  []string
	err    error
}

func newFLACReader(src *source) (*flacReader, error) {
	if _, err := src.r.Seek(src.start, io.SeekStart); err != nil {
		return nil, src.systemError(0, err)
	}
	system := &watched{r: io.LimitReader(src.r, src.size)}
	stream, err := flac.New(bufio.NewReaderSize(system, bufferBytes))
	switch {
	case err != nil && system.err != nil:
		return nil, src.systemError(-1, system.err)
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return nil, src.fail(src.size, "the FLAC header is cut short", wantAgain)
	case err != nil:
		return nil, src.flacHeaderFault()
	}
	head := stream.Info
	bits := int(head.BitsPerSample)
	if bits < 4 || bits > 24 {
		return nil, src.fail(-1, fmt.Sprintf("the FLAC file has samples of %d bits", bits), "4 to 24 bits can be read")
	}
	r := &flacReader{src: src, stream: stream, system: system, scale: 1 / float32(int64(1)<<(bits-1))}
	r.info = Info{
		Container: "FLAC", Rate: int(head.SampleRate), Channels: int(head.NChannels),
		Frames: int64(head.NSamples), Encoding: Int16, Bits: bits,
	}
	switch {
	case bits <= 8:
		r.info.Encoding = Int8
	case bits > 16:
		r.info.Encoding = Int24
	}
	if head.NSamples == 0 {
		r.info.Frames = -1 // the encoder didn't know
	}
	return r, nil
}

func (r *flacReader) Info() Info      { return r.info }
func (r *flacReader) Marks() []Mark   { return nil }
func (r *flacReader) Notes() []string { return slices.Clone(r.notes) }

func (r *flacReader) Close() error {
	if r.closer == nil {
		return nil
	}
	return r.closer.Close()
}

func (r *flacReader) Read(dst []float32) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	channels := r.info.Channels
	want := len(dst) / channels
	if want == 0 {
		return 0, io.ErrShortBuffer
	}
	if r.at == r.length {
		if r.err = r.nextBlock(); r.err != nil {
			return 0, r.err
		}
	}
	n := min(want, r.length-r.at)
	for c, sub := range r.block.Subframes {
		samples := sub.Samples[r.at : r.at+n]
		for i, k := range samples {
			dst[i*channels+c] = float32(k) * r.scale
		}
	}
	r.at += n
	r.next += int64(n)
	return n * channels, nil
}

// nextBlock decodes one block that isn't empty. What a FLAC stream calls a frame
// is called a block here, since a frame is one sample of each channel elsewhere.
func (r *flacReader) nextBlock() error {
	if r.info.Frames >= 0 && r.next >= r.info.Frames {
		return io.EOF // what may follow is no sound, such as a tag
	}
	block, err := r.stream.Next()
	if err == io.EOF {
		if r.info.Frames >= 0 {
			r.notes = append(r.notes, fmt.Sprintf("the file ends early: its header promises %d frames, %d are there", r.info.Frames, r.next))
		}
		return io.EOF
	}
	if err == nil {
		err = r.fit(block)
	}
	if err == nil {
		err = block.Parse()
	}
	if err != nil && r.system.err != nil {
		return r.src.systemError(-1, r.system.err)
	}
	if errors.Is(err, io.ErrUnexpectedEOF) {
		r.notes = append(r.notes, fmt.Sprintf("the file ends early, within a block of sound: %d frames are there", r.next))
		return io.EOF
	}
	if err != nil {
		return r.flacFault(err)
	}
	r.block, r.at, r.length = block, 0, int(block.BlockSize)
	if r.info.Frames >= 0 {
		r.length = int(min(int64(r.length), r.info.Frames-r.next))
	}
	for _, sub := range block.Subframes {
		if len(sub.Samples) < r.length {
			return r.flacFault(oddBlock("the next block lacks samples"))
		}
	}
	return nil
}

// fit holds the header of a block against that of the file. A block may leave
// its sample width to the file's header; the library doesn't look it up.
func (r *flacReader) fit(block *frame.Frame) error {
	if block.BitsPerSample == 0 {
		block.BitsPerSample = uint8(r.info.Bits)
	}
	switch {
	case int(block.BitsPerSample) != r.info.Bits:
		return oddBlock(fmt.Sprintf("the next block has %d bits where the file has %d", block.BitsPerSample, r.info.Bits))
	case block.Channels.Count() != r.info.Channels:
		return oddBlock(fmt.Sprintf("the next block has %d channels where the file has %d", block.Channels.Count(), r.info.Channels))
	case block.SampleRate != 0 && int(block.SampleRate) != r.info.Rate:
		return oddBlock(fmt.Sprintf("the next block has %d frames a second where the file has %d", block.SampleRate, r.info.Rate))
	case block.BlockSize == 0:
		return errTooLong
	}
	return nil
}
