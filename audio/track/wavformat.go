package track

import (
	"encoding/binary"
	"fmt"
	"strings"
)

// wavFormat is what a `fmt ` chunk says.
type wavFormat struct {
	encoding   Encoding
	bits       int // that carry sound
	rate       int
	channels   int
	frameBytes int
}

// maxRate is 32 times 48 kHz: more than any recorder gives, and little enough
// for the arithmetic of time to be exact.
const maxRate = 32 * 48000

// codecs names the compressed encodings most likely to be met in a WAV file;
// tags from memory of the Windows headers, the first ones in the published RIFF
// texts too.
var codecs = map[uint16]string{
	0x0002: "Microsoft ADPCM", 0x0006: "A-law", 0x0007: "µ-law", 0x0011: "IMA ADPCM",
	0x0031: "GSM 6.10", 0x0050: "MPEG audio", 0x0055: "MP3", 0x0092: "Dolby AC-3",
	0x00FF: "AAC", 0x0160: "Windows Media", 0x0161: "Windows Media", 0x0162: "Windows Media",
	0x1610: "AAC", 0x2000: "Dolby AC-3", 0xF1AC: "FLAC", 0x704F: "Opus",
}

const wantPCM = "save it as PCM or float WAV, or as FLAC"

// parseFormat reads the body of a `fmt ` chunk that begins at the offset.
func parseFormat(s *source, b []byte, offset int64) (wavFormat, error) {
	le := binary.LittleEndian
	if len(b) < 16 {
		return wavFormat{}, s.fail(offset, fmt.Sprintf("the fmt chunk has %d bytes", len(b)), "it must have 16 or more")
	}
	tag := le.Uint16(b[0:])
	channels := int(le.Uint16(b[2:]))
	rate := le.Uint32(b[4:])
	align := int(le.Uint16(b[12:]))
	bits := int(le.Uint16(b[14:]))

	valid := bits
	if tag == tagExtensible {
		if len(b) < 40 {
			return wavFormat{}, s.fail(offset, fmt.Sprintf("the extensible fmt chunk has %d bytes", len(b)), "it must have 40")
		}
		if tail := [14]byte(b[26:40]); tail != guidTail {
			return wavFormat{}, s.fail(offset+24, fmt.Sprintf("the sub-format % x is unknown", b[24:40]), wantPCM)
		}
		tag = le.Uint16(b[24:])
		// 0 means "all" to many programs that write it.
		if v := int(le.Uint16(b[18:])); v > 0 && v < bits {
			valid = v
		}
	}
	switch {
	case tag != tagPCM && tag != tagFloat:
		name, known := codecs[tag]
		if !known {
			name = "an unknown codec"
		}
		return wavFormat{}, s.fail(offset, fmt.Sprintf("the sound is compressed with %s (format tag 0x%04X)", name, tag), wantPCM)
	case channels == 0 || channels > maxChannels:
		return wavFormat{}, s.fail(offset+2, fmt.Sprintf("the header says %d channels", channels),
			fmt.Sprintf("1 to %d can be read", maxChannels))
	case rate == 0 || rate > maxRate:
		return wavFormat{}, s.fail(offset+4, fmt.Sprintf("the header says %d frames a second", rate),
			fmt.Sprintf("1 to %d can be read", maxRate))
	}

	// The standard puts samples of odd widths at the top of the next whole byte,
	// or of a container that the frame's size tells; below them are zeros.
	container := (bits + 7) / 8
	if align != 0 && align%channels == 0 && align/channels > container {
		container = align / channels
	}
	if align != 0 && align != container*channels {
		return wavFormat{}, s.fail(offset+12, fmt.Sprintf("a frame of %d channels and %d bits cannot take %d bytes", channels, bits, align),
			fmt.Sprintf("%d bytes would be right", container*channels))
	}
	encoding, ok := encodingOf(tag, container)
	if !ok || bits == 0 || tag == tagFloat && bits != 8*container {
		kind := "integers"
		if tag == tagFloat {
			kind = "floats"
		}
		return wavFormat{}, s.fail(offset+14, fmt.Sprintf("the samples are %s of %d bits in %d bytes", kind, bits, container),
			"integers of 1 to 32 bits and floats of 32 or 64 bits can be read")
	}
	return wavFormat{encoding, valid, int(rate), channels, container * channels}, nil
}

func encodingOf(tag uint16, container int) (Encoding, bool) {
	if tag == tagFloat {
		switch container {
		case 4:
			return Float32, true
		case 8:
			return Float64, true
		}
		return 0, false
	}
	switch container {
	case 1:
		return Int8, true
	case 2:
		return Int16, true
	case 3:
		return Int24, true
	case 4:
		return Int32, true
	}
	return 0, false
}

// labelText turns the bytes of a label, up to the first NUL, into UTF-8. Older
// programs write labels in their country's code page; the bytes of those that
// aren't UTF-8 are read as Latin-1, which gives the letters of western Europe.
func labelText(b []byte) string {
	for i, c := range b {
		if c == 0 {
			b = b[:i]
			break
		}
	}
	s := string(b)
	if strings.ToValidUTF8(s, "") == s {
		return s
	}
	runes := make([]rune, len(b))
	for i, c := range b {
		runes[i] = rune(c)
	}
	return string(runes)
}
