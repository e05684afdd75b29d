package track

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// jargon is how the library speaks, and Go: names of functions and types, and
// words that say something to their makers alone.
var jargon = regexp.MustCompile(`(?i)\b[a-z0-9]+\.[a-z]*[A-Z]|\bEOF\b|parse|invalid|mismatch|expected|bit pattern|subframe|residual|coefficient|\*meta|%!`)

// quoted is what a sentence repeats of a file.
var quoted = regexp.MustCompile(`"(\\.|[^"\\])*"`)

// plainly checks that an error is one line that starts with the name, in words
// that a player understands.
func plainly(t *testing.T, name string, err error) {
	t.Helper()
	if err == nil {
		t.Fatal("no error")
	}
	var e *Error
	if !errors.As(err, &e) || !strings.HasPrefix(err.Error(), name+": ") || strings.ContainsAny(err.Error(), "\n\r") {
		t.Errorf("no sentence: %v", err)
	}
	own := quoted.ReplaceAllString(strings.TrimPrefix(err.Error(), name), "")
	if word := jargon.FindString(own); word != "" {
		t.Errorf("%q is jargon: %v", word, err)
	}
}

// Each kind of broken FLAC has a sentence of its own.
func TestBrokenFLAC(t *testing.T) {
	head := func(info []byte) []byte { return append([]byte("fLaC\x80\x00\x00\x22"), info...) }
	good := streamInfo(256, 48000, 1, 16, 0)
	// block is a block of five frames of silence whose header says so much (RFC 9639, section 9.1).
	block := func(sizes, channelsBits, subframe byte) []byte {
		b := []byte{0xFF, 0xF8, sizes, channelsBits, 0, 4}
		b = append(b, crc8(b))
		b = append(b, subframe, 0, 0)
		return binary.BigEndian.AppendUint16(b, crc16(b))
	}
	sound := block(0x60, 0x08, 0)
	turned := func(b []byte, at int) []byte {
		b = slices.Clone(b)
		b[at] ^= 0x10
		return b
	}
	const after = "the FLAC sound is broken after 5 frames (0.000 s): "
	for _, c := range []struct {
		name, want string
		file       []byte
	}{
		{"cut short", "byte 20: the FLAC header is cut short; save or record it again", head(good)[:20]},
		{"begins with padding", "byte 4: the FLAC header does not begin with what the sound is like; save or record it again", append([]byte("fLaC\x81\x00\x00\x22"), good...)},
		{"tiny blocks", "byte 8: the FLAC header says blocks of 15 to 15 frames; 16 or more would be right", head(streamInfo(15, 48000, 1, 16, 0))},
		{"no rate", "byte 18: the FLAC header says 0 frames a second; save or record it again", head(streamInfo(256, 0, 1, 16, 0))},
		{"32 bits", "the FLAC file has samples of 32 bits; 4 to 24 bits can be read", head(streamInfo(256, 48000, 1, 32, 0))},
		{"no block", after + "no block of sound begins where the next one should; save or record it again", slices.Concat(head(good), sound, []byte("nothing at all"))},
		{"a block's header damaged", after + "the next block does not match its checksum; save or record it again", slices.Concat(head(good), sound, turned(sound, 4))},
		{"a block damaged", after + "the next block does not match its checksum; save or record it again", slices.Concat(head(good), sound, turned(sound, 9))},
		{"a reserved width", after + "the next block is written in a way that the format keeps for later; save or record it again", slices.Concat(head(good), sound, block(0x60, 0x06, 0))},
		{"a reserved method", after + "the next block is written in a way that the format keeps for later; save or record it again", slices.Concat(head(good), sound, block(0x60, 0x08, 0x04))},
		{"padding that is none", after + "the next block makes no sense; save or record it again", slices.Concat(head(good), sound, block(0x60, 0x08, 0x80))},
		{"other bits", after + "the next block has 8 bits where the file has 16; save or record it again", slices.Concat(head(good), sound, block(0x60, 0x02, 0))},
		{"other channels", after + "the next block has 2 channels where the file has 1; save or record it again", slices.Concat(head(good), sound, block(0x60, 0x18, 0))},
		{"another rate", after + "the next block has 44100 frames a second where the file has 48000; save or record it again", slices.Concat(head(good), sound, block(0x69, 0x08, 0))},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := NewReader(bytes.NewReader(c.file), "x.flac")
			if err == nil {
				_, err = drain(t, r, 64)
			}
			if err == nil || err.Error() != "x.flac: "+c.want {
				t.Errorf("says  %v\nwant x.flac: %s", err, c.want)
			}
			plainly(t, "x.flac", err)
		})
	}
}

// torn fails like a disk from a place on.
type torn struct {
	*bytes.Reader
	from int64
	err  error
}

func (d torn) Read(b []byte) (int, error) {
	at, _ := d.Seek(0, io.SeekCurrent)
	if at >= d.from {
		return 0, d.err
	}
	return d.Reader.Read(b[:min(int64(len(b)), d.from-at)])
}

// A disk that fails is no broken file, and what the system said is kept for who asks.
func TestFLACOnADiskThatFails(t *testing.T) {
	file := smallFLAC(t)
	oops := errors.New("input/output error")
	for from := range int64(len(file)) {
		r, err := NewReader(torn{bytes.NewReader(file), from, oops}, "x.flac")
		if err == nil {
			_, err = drain(t, r, 64)
		}
		if !errors.Is(err, oops) || !strings.Contains(err.Error(), "reading failed: input/output error") {
			t.Fatalf("a disk that fails at byte %d of %d: %v", from, len(file), err)
		}
	}
}
