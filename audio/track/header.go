package track

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
	"strings"
)

// Format tags of a `fmt ` chunk. The numbers of PCM and extensible are those of
// the published RIFF texts; IEEE float, the GUID tail and the channel masks are
// from memory of the Windows headers, and agree with what sox writes.
const (
	tagPCM        = 0x0001
	tagFloat      = 0x0003
	tagExtensible = 0xFFFE
)

// guidTail is what follows the 2-byte format tag in the sub-format of an
// extensible `fmt ` chunk: {0000xxxx-0000-0010-8000-00AA00389B71}.
var guidTail = [14]byte{0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xAA, 0x00, 0x38, 0x9B, 0x71}

// unknownSize stands in the size fields until [Writer.Close] fills them in: the
// customary "to the end of the file", so that what is there of a file whose
// writing was cut off can still be read.
const unknownSize = math.MaxUint32

// appendHeader appends everything before the first sample: plain PCM for 16 bits
// in one or two channels; IEEE float; and WAVE_FORMAT_EXTENSIBLE for more bits or
// more channels, as the standard asks. All but plain PCM carry a `fact` chunk.
func appendHeader(b []byte, f Format) []byte {
	le := binary.LittleEndian
	tag, fmtSize := uint16(tagPCM), uint32(16)
	switch {
	case f.Channels > 2 || f.Encoding == Int24:
		tag, fmtSize = tagExtensible, 40
	case f.Encoding == Float32:
		tag, fmtSize = tagFloat, 18
	}
	b = append(b, "RIFF"...)
	b = le.AppendUint32(b, unknownSize)
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, fmtSize)
	b = le.AppendUint16(b, tag)
	b = le.AppendUint16(b, uint16(f.Channels))
	b = le.AppendUint32(b, uint32(f.Rate))
	b = le.AppendUint32(b, uint32(f.Rate*f.frameBytes()))
	b = le.AppendUint16(b, uint16(f.frameBytes()))
	b = le.AppendUint16(b, uint16(8*f.Encoding.bytes()))
	if tag != tagPCM {
		b = le.AppendUint16(b, uint16(fmtSize-18))
	}
	if tag == tagExtensible {
		sub := uint16(tagPCM)
		if f.Encoding == Float32 {
			sub = tagFloat
		}
		b = le.AppendUint16(b, uint16(8*f.Encoding.bytes()))
		b = le.AppendUint32(b, speakerMask(f.Channels))
		b = le.AppendUint16(b, sub)
		b = append(b, guidTail[:]...)
	}
	if tag != tagPCM {
		b = append(b, "fact"...)
		b = le.AppendUint32(b, 4)
		b = le.AppendUint32(b, unknownSize)
	}
	b = append(b, "data"...)
	return le.AppendUint32(b, unknownSize)
}

// speakerMask is front centre for one channel, front left and right for two, and
// 0, no particular speakers, for more: what more channels mean is not ours to say.
func speakerMask(channels int) uint32 {
	switch channels {
	case 1:
		return 0x4
	case 2:
		return 0x3
	}
	return 0
}

// marksSize is the number of bytes appendMarks appends for n marks whose labels
// take labelBytes with their headers and pads; see labelSize.
func marksSize(n int, labelBytes int64) int64 {
	if n == 0 {
		return 0
	}
	return 8 + 4 + 24*int64(n) + 8 + 4 + labelBytes
}

// labelSize is the size of one `labl` chunk: header, cue id, text, NUL and pad.
func labelSize(label string) int64 {
	n := 8 + 4 + int64(len(label)) + 1
	return n + n&1
}

// appendMarks appends a `cue ` chunk and a `LIST` of type `adtl` with a `labl`
// for each mark, in order of place. With the sound in one `data` chunk, chunkStart
// and blockStart are 0; position and sampleOffset both hold the frame, which is
// practice where the sources disagree.
func appendMarks(b []byte, marks []Mark) []byte {
	if len(marks) == 0 {
		return b
	}
	le := binary.LittleEndian
	marks = slices.Clone(marks)
	slices.SortStableFunc(marks, byFrame)

	b = append(b, "cue "...)
	b = le.AppendUint32(b, uint32(4+24*len(marks)))
	b = le.AppendUint32(b, uint32(len(marks)))
	var labels int64
	for i, m := range marks {
		b = le.AppendUint32(b, uint32(i+1))
		b = le.AppendUint32(b, uint32(m.Frame))
		b = append(b, "data\x00\x00\x00\x00\x00\x00\x00\x00"...)
		b = le.AppendUint32(b, uint32(m.Frame))
		labels += labelSize(m.Label)
	}
	b = append(b, "LIST"...)
	b = le.AppendUint32(b, uint32(4+labels))
	b = append(b, "adtl"...)
	for i, m := range marks {
		b = append(b, "labl"...)
		b = le.AppendUint32(b, uint32(4+len(m.Label)+1))
		b = le.AppendUint32(b, uint32(i+1))
		b = append(append(b, m.Label...), 0)
		if len(m.Label)%2 == 0 { // the text, its NUL and a pad that isn't counted
			b = append(b, 0)
		}
	}
	return b
}

// cleanLabel makes a label fit for a NUL-terminated text.
func cleanLabel(s string) string {
	return strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\x00", "")
}

func byFrame(a, b Mark) int { return cmp.Compare(a.Frame, b.Frame) }
