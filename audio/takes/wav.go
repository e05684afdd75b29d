package takes

import (
	"bytes"
	"encoding/binary"
	"os"
)

// WriteWAV writes the samples as a mono 32-bit float WAV file (RIFF, format
// tag 3), for other programs to read.
func WriteWAV(path string, samples []float32) error {
	var b bytes.Buffer
	size := uint32(4 * len(samples))
	b.WriteString("RIFF")
	put := func(v ...any) {
		for _, x := range v {
			_ = binary.Write(&b, binary.LittleEndian, x) // a bytes.Buffer never fails
		}
	}
	put(36 + size)
	b.WriteString("WAVEfmt ")
	put(uint32(16), uint16(3), uint16(1), uint32(Rate), uint32(4*Rate), uint16(4), uint16(32))
	b.WriteString("data")
	put(size, samples)
	return os.WriteFile(path, b.Bytes(), 0o600)
}
