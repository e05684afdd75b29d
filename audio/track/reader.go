package track

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"

	"footing/files"
)

// A Reader streams the sound of a file. It is for one goroutine at a time.
type Reader interface {
	// Info says what is read. It doesn't change while reading.
	Info() Info

	// Read fills dst with samples, interleaved by frame, and returns their
	// number n, a multiple of Info().Channels. There are four cases:
	//  1. n > 0 and no error: these samples are next; there may be fewer than dst holds.
	//  2. n = 0 and io.EOF: the sound is at its end, now and at every later call.
	//  3. n = 0 and io.ErrShortBuffer: dst doesn't hold one frame; nothing is lost.
	//  4. n = 0 and another error, an *Error: the file is broken here; the same
	//     error comes at every later call.
	// Samples are always finite numbers. Integers lie in [-1, 1]; floats may go
	// beyond. Read keeps no hold of dst.
	Read(dst []float32) (n int, err error)

	// Marks returns the named places of the file in order of place. They don't
	// need to lie within the sound. FLAC files have none.
	Marks() []Mark

	// Notes says, a sentence each, what was wrong with the file and could be
	// got over, such as an end before its time. It is complete once Read has
	// returned io.EOF.
	Notes() []string

	// Close closes the file if [Open] opened it.
	Close() error
}

// Error says what is wrong with a file, in one sentence.
type Error struct {
	File   string // the name that was given for it
	Offset int64  // the byte at which it shows, or -1
	What   string // what is wrong; empty where Err says all
	Want   string // what would be right; may be empty
	Err    error  // what the system said, or nil
}

// Error returns "FILE: byte N: what is wrong; what would be right", with the
// name as [files.Name] shows it.
func (e *Error) Error() string {
	s := files.Name(e.File) + ": "
	if e.Offset >= 0 {
		s += fmt.Sprintf("byte %d: ", e.Offset)
	}
	s += e.What
	if e.Err != nil && e.What != "" {
		s += ": "
	}
	if e.Err != nil {
		s += e.Err.Error()
	}
	if e.Want != "" {
		s += "; " + e.Want
	}
	return s
}

// Unwrap returns what the system said.
func (e *Error) Unwrap() error { return e.Err }

// Open opens a WAV or FLAC file; which of them it is, its bytes say and not its
// name. It opens plain files only, so that it waits for no other program. The
// error is an *Error. The caller closes the Reader.
func Open(path string) (Reader, error) {
	f, err := files.Open(context.Background(), path)
	switch {
	case errors.Is(err, files.ErrFolder):
		return nil, &Error{File: path, Offset: -1, What: "is a folder", Want: wantSound}
	case errors.Is(err, files.ErrDevice):
		return nil, &Error{File: path, Offset: -1, What: "is a device or a pipe", Want: wantSound}
	case errors.Is(err, fs.ErrNotExist):
		return nil, &Error{File: path, Offset: -1, Err: files.ErrNone}
	case err != nil:
		return nil, &Error{File: path, Offset: -1, What: "cannot be opened", Err: files.Cause(err)}
	}
	r, err := NewReader(f, path)
	if err != nil {
		f.Close()
		return nil, err
	}
	switch r := r.(type) {
	case *wavReader:
		r.closer = f
	case *flacReader:
		r.closer = f
	}
	return r, nil
}

// NewReader reads sound from r, from where it stands to its end, under the name
// that errors shall give it. It takes the length of r at this moment: a file that
// still grows is read up to there. r must not be used by anyone else meanwhile.
func NewReader(r io.ReadSeeker, name string) (Reader, error) {
	src, err := newSource(r, name)
	if err != nil {
		return nil, err
	}
	head, err := src.head()
	if err != nil {
		return nil, err
	}
	var reader Reader
	switch kind := sniff(head); kind {
	case "WAV":
		reader, err = newWAVReader(src)
	case "FLAC":
		reader, err = newFLACReader(src)
	default:
		err = src.fail(-1, kind, wantSound)
		if isSound(kind) {
			err = Foreign{err}
		}
	}
	if err != nil {
		return nil, err // and no typed nil beside it
	}
	return reader, nil
}

// Foreign is the error of a file that holds sound in a format that is not read here.
type Foreign struct{ error }

// Unwrap returns what is wrong with the file.
func (f Foreign) Unwrap() error { return f.error }

const wantSound = "a WAV file (PCM or float) or a FLAC file is wanted"

// source is a file with its name and its size.
type source struct {
	r     io.ReadSeeker
	name  string
	start int64 // where the file begins in r
	size  int64 // bytes from there
}

func newSource(r io.ReadSeeker, name string) (*source, error) {
	s := &source{r: r, name: name}
	start, err := r.Seek(0, io.SeekCurrent)
	if err == nil {
		s.start = start
		s.size, err = r.Seek(0, io.SeekEnd)
		s.size -= start
	}
	if err == nil {
		_, err = r.Seek(start, io.SeekStart)
	}
	if err != nil {
		return nil, &Error{File: name, Offset: -1, What: "its length cannot be found", Err: files.Cause(err)}
	}
	return s, nil
}

// fail makes an Error of this file.
func (s *source) fail(offset int64, what, want string) *Error {
	return &Error{File: s.name, Offset: offset, What: what, Want: want}
}

// head returns the first bytes, fewer where there are fewer. Some programs put an
// ID3 tag before FLAC; the file then begins behind it.
func (s *source) head() ([]byte, error) {
	b := make([]byte, 512)
	n, err := s.readAt(b, 0)
	if err != nil {
		return nil, err
	}
	b = b[:n]
	if n < 10 || string(b[:3]) != "ID3" {
		return b, nil
	}
	// The size is 4 digits of 7 bits, without the 10 bytes of the tag's own header.
	tag := 10 + int64(b[6]&0x7F)<<21 + int64(b[7]&0x7F)<<14 + int64(b[8]&0x7F)<<7 + int64(b[9]&0x7F)
	var mark [4]byte
	if n, err := s.readAt(mark[:], tag); err != nil || string(mark[:n]) != "fLaC" {
		return b, err
	}
	s.start += tag
	s.size -= tag
	return mark[:], nil
}

// readAt reads into b as much as there is from the offset on; err is set only
// where the system failed.
func (s *source) readAt(b []byte, offset int64) (int, error) {
	if offset >= s.size {
		return 0, nil
	}
	b = b[:min(int64(len(b)), s.size-offset)]
	if _, err := s.r.Seek(s.start+offset, io.SeekStart); err != nil {
		return 0, s.systemError(offset, err)
	}
	n, err := io.ReadFull(s.r, b)
	if err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF) {
		return n, nil // it was cut shorter since its length was taken
	}
	if err != nil {
		return n, s.systemError(offset+int64(n), err)
	}
	return n, nil
}

func (s *source) systemError(offset int64, err error) error {
	if errors.Is(err, fs.ErrClosed) {
		return &Error{File: s.name, Offset: -1, What: "was closed before its end was read", Err: files.Cause(err)}
	}
	return &Error{File: s.name, Offset: offset, What: "reading failed", Err: files.Cause(err)}
}

// absurd32 is the magnitude of 2^64: what is beyond is no sound, and would run
// over in a mix or a filter.
const absurd32 = 0x5F800000

// finite replaces what isn't a number, or an absurd one, by 0 and returns how often.
func finite(samples []float32) (replaced int64) {
	for i, v := range samples {
		if math.Float32bits(v)&magnitude >= absurd32 {
			samples[i] = 0
			replaced++
		}
	}
	return replaced
}
