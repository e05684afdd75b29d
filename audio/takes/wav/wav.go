// Package wav makes WAV files byte by byte, whole and broken ones, without the
// product's own writer. It serves tests and the table of takes, and nothing else.
package wav

import (
	"bytes"
	"encoding/binary"
	"slices"
)

// The format tags of a `fmt ` chunk (RFC 2361).
const (
	TagPCM        = 1
	TagFloat      = 3
	TagExtensible = 0xFFFE
)

// Bytes puts parts together: strings and byte slices as they are, numbers and
// slices of numbers little-endian in their width. A part of no fixed width is
// left out.
func Bytes(parts ...any) []byte {
	var b bytes.Buffer
	for _, p := range parts {
		if s, ok := p.(string); ok {
			p = []byte(s)
		}
		_ = binary.Write(&b, binary.LittleEndian, p) // a bytes.Buffer never fails
	}
	return b.Bytes()
}

// RIFF puts chunks into a RIFF WAVE file of a right size.
func RIFF(chunks ...[]byte) []byte {
	body := slices.Concat(chunks...)
	return Bytes("RIFF", uint32(4+len(body)), "WAVE", body)
}

// Chunk is a chunk of parts with a right size and pad.
func Chunk(id string, parts ...any) []byte {
	body := Bytes(parts...)
	b := Bytes(id, uint32(len(body)), body)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

// Format is a plain `fmt ` chunk: a format tag, channels, rate in Hz, and bits a
// sample.
func Format(tag, channels uint16, rate uint32, bits uint16) []byte {
	align := channels * ((bits + 7) / 8)
	return Chunk("fmt ", tag, channels, rate, rate*uint32(align), align, bits)
}

// Extensible is a `fmt ` chunk of WAVE_FORMAT_EXTENSIBLE whose subformat is a
// format tag, with valid bits in containers of so many bits, and no speakers.
func Extensible(sub, channels uint16, rate uint32, container, valid uint16) []byte {
	align := channels * (container / 8)
	// What follows the tag in KSDATAFORMAT_SUBTYPE_PCM and its relatives.
	guid := []byte{0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71}
	return Chunk("fmt ", uint16(TagExtensible), channels, rate, rate*uint32(align), align, container,
		uint16(22), valid, uint32(0), sub, guid)
}

// Float32 is a file of 32-bit float samples.
func Float32(channels, rate int, interleaved []float32) []byte {
	return RIFF(Format(TagFloat, uint16(channels), uint32(rate), 32), Chunk("data", interleaved))
}
