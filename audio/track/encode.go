package track

import (
	"encoding/binary"
	"math"
)

// An encoder puts samples into dst, which holds exactly len(src) samples. It
// returns how many were clipped, and the index of the first sample that isn't a
// finite number, or -1.
type encoder func(dst []byte, src []float32) (clipped int64, bad int)

func encoderFor(e Encoding) encoder {
	switch e {
	case Int16:
		return encode16
	case Int24:
		return encode24
	default:
		return encodeFloat32
	}
}

const (
	magnitude  = 1<<31 - 1  // the bits of a float32 without its sign
	infinity32 = 0x7F800000 // the magnitude of ±Inf; NaNs lie above it
)

// Magnitudes of float32, read as integers, sort like the numbers they stand
// for, so one integer comparison finds clipping, infinities and NaNs at once,
// and the rest needs no branch: noise would mispredict one at every sample.
const (
	clip16 = 0x3F7FFF00 // 32767.5 / 32768
	clip24 = 0x3F7FFFFF // 8388607.5 / 8388608
)

func encode16(dst []byte, src []float32) (clipped int64, bad int) {
	const group = 64
	for at := 0; at < len(src); at += group {
		end := min(at+group, len(src))
		from, to := src[at:end], dst[2*at:2*end]
		if silent(from) {
			// Most of a click is silence; telling it is much cheaper than encoding it.
			clear(to)
			continue
		}
		if end-at == group && encode16Fours(to, from) {
			continue
		}
		n, bad := encode16Group(to, from)
		clipped += n
		if bad >= 0 {
			return clipped, at + bad
		}
	}
	return clipped, -1
}

// silent reports whether all samples are zero.
func silent(src []float32) bool {
	if src[0] != 0 {
		return false // as almost everywhere in a sound
	}
	var all uint32
	for _, v := range src {
		all |= math.Float32bits(v)
	}
	return all&magnitude == 0
}

// encode16Fours is encode16Group for a multiple of four samples. It reports false
// where one of them is clipped or broken; what it wrote is of no use then.
func encode16Fours(dst []byte, src []float32) bool {
	var over uint32 // its uppermost bit is set by a sample that is not below clip16
	for len(src) >= 4 && len(dst) >= 8 {
		a, b, c, d := math.Float32bits(src[0]), math.Float32bits(src[1]), math.Float32bits(src[2]), math.Float32bits(src[3])
		const most = clip16 - 1
		over |= (most - a&magnitude) | (most - b&magnitude) | (most - c&magnitude) | (most - d&magnitude)
		low := uint32(uint16(round16(a))) | uint32(uint16(round16(b)))<<16
		high := uint32(uint16(round16(c))) | uint32(uint16(round16(d)))<<16
		binary.LittleEndian.PutUint64(dst, uint64(low)|uint64(high)<<32)
		src, dst = src[4:], dst[8:]
	}
	return over>>31 == 0
}

// round16 is the integer nearest to the sample of these bits, away from zero where
// that is not zero itself.
func round16(bits uint32) int32 {
	const half, one = 0x3F000000, 1
	sign := bits &^ magnitude
	k := int32(math.Float32frombits(bits)*32768 + math.Float32frombits(sign|half))
	if k == 0 && bits != sign {
		return int32(sign)>>31 | one
	}
	return k
}

func encode16Group(dst []byte, src []float32) (clipped int64, bad int) {
	for i, v := range src {
		mag := math.Float32bits(v) & magnitude
		k := int32(0)
		switch {
		case mag >= infinity32:
			return clipped, i
		case mag < clip16:
			k = round16(math.Float32bits(v))
		case v < 0: // -32768 can be written, +32768 can't
			k = -32768
		default:
			k = 32767
		}
		if mag >= clip16 && (v > 0 || v < -1) {
			clipped++
		}
		binary.LittleEndian.PutUint16(dst[2*i:], uint16(k))
	}
	return clipped, -1
}

func encode24(dst []byte, src []float32) (clipped int64, bad int) {
	for i, v := range src {
		bits := math.Float32bits(v)
		mag := bits & magnitude
		sign := int32(bits) >> 31
		var k int32
		if mag >= clip24 {
			if mag >= infinity32 {
				return clipped, i
			}
			k = 8388607 - sign
			if v > 0 || v < -1 {
				clipped++
			}
		} else {
			// In float64, since adding a half to 23 bits needs 24.
			k = int32(float64(math.Float32frombits(mag))*8388608 + 0.5)
			k = max(k, int32(-mag>>31))
		}
		k = k ^ sign - sign
		b := dst[3*i : 3*i+3 : 3*i+3]
		b[0], b[1], b[2] = byte(k), byte(k>>8), byte(k>>16)
	}
	return clipped, -1
}

func encodeFloat32(dst []byte, src []float32) (clipped int64, bad int) {
	for i, v := range src {
		bits := math.Float32bits(v)
		if bits&magnitude >= infinity32 {
			return 0, i
		}
		binary.LittleEndian.PutUint32(dst[4*i:], bits)
	}
	return 0, -1
}
