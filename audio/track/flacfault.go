package track

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/mewkiz/flac/frame"
)

// What the FLAC library says is made for its makers: names of its functions
// and patterns of bits. These are the player's sentences for the same faults.

const wantAgain = "save or record it again"

// errTooLong is of a block that the library can't hold the length of.
var errTooLong = errors.New("a block of 65 536 frames cannot be read")

// flacHeaderFault says what is wrong with the header of a FLAC file (RFC 9639,
// section 8.2).
func (s *source) flacHeaderFault() error {
	const (
		body = 8 // where the stream's information begins, behind the mark and the head of its block
		rate = body + 10
	)
	var b [rate + 3]byte
	n, err := s.readAt(b[:], 0)
	switch be := binary.BigEndian; {
	case err != nil:
		return s.systemError(0, err)
	case n < len(b):
		return s.fail(s.size, "the FLAC header is cut short", wantAgain)
	case b[4]&0x7F != 0:
		return s.fail(4, "the FLAC header does not begin with what the sound is like", wantAgain)
	case be.Uint16(b[body:]) < 16 || be.Uint16(b[body+2:]) < 16:
		return s.fail(body, fmt.Sprintf("the FLAC header says blocks of %d to %d frames", be.Uint16(b[body:]), be.Uint16(b[body+2:])), "16 or more would be right")
	case b[rate] == 0 && b[rate+1] == 0 && b[rate+2]>>4 == 0:
		return s.fail(rate, "the FLAC header says 0 frames a second", wantAgain)
	}
	return s.fail(-1, "the FLAC header is broken", wantAgain)
}

// flacFault says what is wrong with the block of sound that comes next.
func (r *flacReader) flacFault(err error) *Error {
	why, want := "", wantAgain
	var odd oddBlock
	switch {
	case errors.As(err, &odd):
		why = odd.Error()
	case errors.Is(err, errTooLong):
		why, want = err.Error(), "save it with shorter blocks, as is usual"
	case errors.Is(err, frame.ErrInvalidSync):
		why = "no block of sound begins where the next one should"
	case strings.Contains(err.Error(), "checksum"):
		why = "the next block does not match its checksum"
	case strings.Contains(err.Error(), "reserved"):
		why = "the next block is written in a way that the format keeps for later"
	default:
		why = "the next block makes no sense"
	}
	return r.src.fail(-1, fmt.Sprintf("the FLAC sound is broken after %d frames (%.3f s): %s", r.next, float64(r.next)/float64(r.info.Rate), why), want)
}

// oddBlock says in what a block is unlike its file.
type oddBlock string

func (o oddBlock) Error() string { return string(o) }

// watched remembers what the system said when reading failed: the library's
// errors don't keep it.
type watched struct {
	r   io.Reader
	err error
}

func (w *watched) Read(b []byte) (int, error) {
	n, err := w.r.Read(b)
	if err != nil && err != io.EOF {
		w.err = err
	}
	return n, err
}
