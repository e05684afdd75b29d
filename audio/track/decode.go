package track

import (
	"encoding/binary"
	"math"
)

// A decoder turns src into the samples of dst; src holds exactly len(dst) samples.
// The numbers it makes may be infinite or no numbers where floats are stored.
type decoder func(dst []float32, src []byte)

func decoderFor(e Encoding) decoder {
	switch e {
	case Int8:
		return decode8
	case Int24:
		return decode24
	case Int32:
		return decode32
	case Float32:
		return decodeFloat32
	case Float64:
		return decodeFloat64
	default:
		return decode16
	}
}

func decode8(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = float32(int(src[i])-128) * (1.0 / 128)
	}
}

func decode16(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = float32(int16(binary.LittleEndian.Uint16(src[2*i:]))) * (1.0 / 32768)
	}
}

func decode24(dst []float32, src []byte) {
	for i := range dst {
		b := src[3*i : 3*i+3 : 3*i+3]
		k := int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24) >> 8
		dst[i] = float32(k) * (1.0 / 8388608)
	}
}

func decode32(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = float32(int32(binary.LittleEndian.Uint32(src[4*i:]))) * (1.0 / 2147483648)
	}
}

func decodeFloat32(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = math.Float32frombits(binary.LittleEndian.Uint32(src[4*i:]))
	}
}

func decodeFloat64(dst []float32, src []byte) {
	for i := range dst {
		dst[i] = float32(math.Float64frombits(binary.LittleEndian.Uint64(src[8*i:])))
	}
}
