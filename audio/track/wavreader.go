package track

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
)

// wavReader reads the sound of a WAV file.
type wavReader struct {
	src    *source
	closer io.Closer // nil unless Open opened it
	format wavFormat
	decode decoder
	frames int64 // that are there
	marks  []Mark
	notes  []string

	next     int64 // the frame to be read next
	buf      []byte
	replaced int64 // samples that weren't finite
	err      error
}

func newWAVReader(src *source) (*wavReader, error) {
	w, err := scanWAV(src)
	if err != nil {
		return nil, err
	}
	r := &wavReader{src: src, format: w.format, decode: decoderFor(w.format.encoding), notes: w.notes}
	r.marks = w.placedMarks()
	r.frames = w.dataSize / int64(w.format.frameBytes)
	r.buf = make([]byte, max(1, bufferBytes/w.format.frameBytes)*w.format.frameBytes)
	if _, err := src.r.Seek(src.start+w.dataAt, io.SeekStart); err != nil {
		return nil, src.systemError(w.dataAt, err)
	}
	return r, nil
}

func (r *wavReader) Info() Info {
	f := r.format
	return Info{Container: "WAV", Rate: f.rate, Channels: f.channels, Frames: r.frames, Encoding: f.encoding, Bits: f.bits}
}

func (r *wavReader) Marks() []Mark { return slices.Clone(r.marks) }

func (r *wavReader) Notes() []string {
	notes := slices.Clone(r.notes)
	if r.replaced > 0 {
		notes = append(notes, fmt.Sprintf("%d samples are no finite numbers, or absurdly large; they are taken as silence", r.replaced))
	}
	return notes
}

func (r *wavReader) Close() error {
	if r.closer == nil {
		return nil
	}
	return r.closer.Close()
}

func (r *wavReader) Read(dst []float32) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	if len(dst) < r.format.channels {
		return 0, io.ErrShortBuffer
	}
	frames := min(int64(len(dst)/r.format.channels), int64(len(r.buf)/r.format.frameBytes), r.frames-r.next)
	if frames == 0 {
		r.err = io.EOF
		return 0, io.EOF
	}
	b := r.buf[:int(frames)*r.format.frameBytes]
	n, err := io.ReadFull(r.src.r, b)
	switch {
	case err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF):
		// The file was cut since it was opened.
		frames = int64(n / r.format.frameBytes)
		r.notes = append(r.notes, fmt.Sprintf("the file was cut short while it was read, after %d frames", r.next+frames))
		r.err = io.EOF
	case err != nil:
		r.err = r.src.systemError(-1, err)
		frames = int64(n / r.format.frameBytes)
	}
	if frames == 0 {
		return 0, r.err
	}
	dst = dst[:int(frames)*r.format.channels]
	r.decode(dst, b[:int(frames)*r.format.frameBytes])
	if r.format.encoding == Float32 || r.format.encoding == Float64 {
		r.replaced += finite(dst)
	}
	r.next += frames
	return len(dst), nil
}

// wavScan is what the chunks of a WAV file say.
type wavScan struct {
	src      *source
	format   wavFormat
	hasFmt   bool
	dataAt   int64 // offset of the first sample
	dataSize int64 // bytes of sound that are there
	hasData  bool
	long     int64 // the size of the data chunk by the ds64 chunk of a file beyond 4 GiB; 0 without
	cues     []cue
	labels   map[uint32]string
	text     int // bytes of labels held
	notes    []string
}

// maxChunks bounds the walk through a file made of empty chunks.
const maxChunks = 4096

// streamedSize is from where on a size field is taken as a placeholder of a
// program that couldn't go back: they use 0xFFFFFFFF, 0x7FFFFFFF or a little less.
const streamedSize = 0x7FFF0000

// scanWAV walks through all chunks, in whatever order, and reads none but small
// ones. Sound that ends before its time is what is there, with a note.
func scanWAV(src *source) (*wavScan, error) {
	w := &wavScan{src: src, labels: map[uint32]string{}}
	at := int64(12)
	for range maxChunks {
		var head [8]byte
		n, err := src.readAt(head[:], at)
		if err != nil {
			return nil, err
		}
		if n < len(head) {
			break
		}
		id, size := string(head[:4]), int64(binary.LittleEndian.Uint32(head[4:]))
		if id == "data" {
			size = w.soundSize(at+8, size)
		}
		if err := w.chunk(id, at+8, size); err != nil {
			return nil, err
		}
		at += 8 + size + size&1
		if at >= src.size {
			break
		}
	}
	switch {
	case !w.hasFmt && w.hasData:
		return nil, src.fail(w.dataAt, "there is no fmt chunk, which says what the sound is like", "save or record it again")
	case !w.hasFmt:
		return nil, src.fail(src.size, "the header ends before it says what the sound is like", "the file was cut short; save or record it again")
	case !w.hasData:
		return nil, src.fail(src.size, "there is no data chunk, which holds the sound", "the file was cut short; save or record it again")
	}
	if rest := w.dataSize % int64(w.format.frameBytes); rest != 0 {
		w.note("the last frame is cut off: %d of its %d bytes are there", rest, w.format.frameBytes)
	}
	return w, nil
}

func (w *wavScan) note(format string, args ...any) {
	w.notes = append(w.notes, fmt.Sprintf(format, args...))
}

// soundSize is the true size of a data chunk whose samples begin at the offset:
// programs that can't go back leave 0 or a placeholder in the size field.
func (w *wavScan) soundSize(at, size int64) int64 {
	there := w.src.size - at
	if size == math.MaxUint32 && w.long > 0 {
		size = w.long
	}
	switch {
	case size == 0 && there > 0 && !w.chunkFollows(at):
		return there
	case size > there:
		if size < streamedSize || w.long > 0 {
			w.note("the file ends early: its header promises %d bytes of sound, %d are there", size, there)
		}
		return there
	}
	return size
}

// chunkFollows reports whether a well-known chunk that fits into the file
// begins at the offset, as it does after a data chunk that is truly empty.
func (w *wavScan) chunkFollows(at int64) bool {
	var head [8]byte
	if n, err := w.src.readAt(head[:], at); err != nil || n < len(head) {
		return false
	}
	switch string(head[:4]) {
	case "fmt ", "LIST", "cue ", "fact", "smpl", "bext", "id3 ", "ID3 ", "JUNK", "PAD ", "iXML", "inst", "_PMX", "data":
		return at+8+int64(binary.LittleEndian.Uint32(head[4:])) <= w.src.size
	}
	return false
}

// chunk takes note of one chunk; body is the offset of what follows its header.
func (w *wavScan) chunk(id string, body, size int64) error {
	switch id {
	case "fmt ":
		if w.hasFmt {
			return nil
		}
		// 40 bytes are the longest form; what may follow says nothing of use.
		b := make([]byte, min(size, 40))
		n, err := w.src.readAt(b, body)
		if err != nil {
			return err
		}
		if n < len(b) {
			return w.src.fail(w.src.size, "the header ends within the fmt chunk", "the file was cut short; save or record it again")
		}
		w.format, err = parseFormat(w.src, b, body)
		w.hasFmt = err == nil
		return err
	case "ds64": // RF64 and BW64: the true sizes as 64-bit numbers (EBU Tech 3306, from memory)
		var b [16]byte
		if n, err := w.src.readAt(b[:min(size, 16)], body); err != nil || n < 16 {
			return err
		}
		if v := binary.LittleEndian.Uint64(b[8:]); v <= math.MaxInt64 {
			w.long = int64(v)
		}
	case "data":
		if w.hasData {
			w.note("there is a second data chunk at byte %d; only the first is read", body-8)
			return nil
		}
		w.hasData, w.dataAt, w.dataSize = true, body, size
	case "cue ":
		return w.readCues(body, size)
	case "LIST":
		return w.readList(body, size)
	}
	return nil
}
