package track

import (
	"fmt"
	"math"
)

// Encoding is how one sample is stored in a file.
//
// The integer encodings are written without dither, so that the same samples
// always give the same file. A sample goes to the nearest integer, halves away
// from zero, with one exception: a sample that isn't exactly zero is never
// written as zero, but as ±1 of the smallest step. Thus a sound begins and ends
// in the file on the very samples where it begins and ends in the rendering,
// however soft its first sample is, and silence is exact silence. The price is an
// error of up to one step, instead of half of one, in samples under half a step
// (in 16 bits, -96 dBFS).
//
// Full scale is symmetric in float32 but not in integers: what lies above the
// largest integer is clipped to it and counted, see [Writer.Clipped].
type Encoding uint8

// Int16 is the default. The encodings from Int8 on are read but never written.
const (
	Int16   Encoding = iota // 16-bit integers
	Int24                   // 24-bit integers in 3 bytes
	Float32                 // IEEE 754 single precision
	Int8                    // 8-bit integers; WAV stores them unsigned
	Int32                   // 32-bit integers
	Float64                 // IEEE 754 double precision
)

var encodingNames = [...]string{
	Int16: "16-bit", Int24: "24-bit", Float32: "32-bit float",
	Int8: "8-bit", Int32: "32-bit", Float64: "64-bit float",
}

// String names the encoding as a person would, for example "24-bit".
func (e Encoding) String() string {
	if int(e) < len(encodingNames) {
		return encodingNames[e]
	}
	return fmt.Sprintf("Encoding(%d)", uint8(e))
}

// bytes is the size of a sample in a file; 0 for an unknown encoding.
func (e Encoding) bytes() int {
	switch e {
	case Int8:
		return 1
	case Int16:
		return 2
	case Int24:
		return 3
	case Float32, Int32:
		return 4
	case Float64:
		return 8
	}
	return 0
}

// Format says how a [Writer] stores samples.
type Format struct {
	Rate     int      // frames per second, 1 to 4 294 967 295 / (Channels · bytes of a sample)
	Channels int      // samples in a frame, 1 to 1024
	Encoding Encoding // Int16, Int24 or Float32
}

// check returns an error that names the first field out of range.
func (f Format) check() error {
	switch {
	case f.Encoding > Float32:
		return fmt.Errorf("cannot write %v samples; Int16, Int24 and Float32 can be written", f.Encoding)
	case f.Channels < 1 || f.Channels > maxChannels:
		return fmt.Errorf("cannot write %d channels; 1 to %d can be written", f.Channels, maxChannels)
	case f.Rate < 1 || int64(f.Rate)*int64(f.frameBytes()) > math.MaxUint32:
		return fmt.Errorf("cannot write a rate of %d frames a second with %d channels; 48000 is usual", f.Rate, f.Channels)
	}
	return nil
}

func (f Format) frameBytes() int { return f.Channels * f.Encoding.bytes() }

// MaxFrames is the number of frames that fit into one WAV file of this format
// without marks: a RIFF file counts its bytes in 32 bits. 16-bit stereo at
// 48 kHz has room for 6 h 12 min. The result is 0 for a format that can't be written.
func (f Format) MaxFrames() int64 {
	if f.check() != nil {
		return 0
	}
	return (math.MaxUint32 - int64(len(appendHeader(nil, f))) + 8) / int64(f.frameBytes())
}

// maxChannels bounds what is read and written; the frame buffer grows with it.
const maxChannels = 1024

// A Mark is a named place in a file: a cue point with its label.
type Mark struct {
	Frame int64  // frames from the start of the sound, 0 being the first
	Label string // UTF-8; may be empty
}

// Info describes the sound in a file.
type Info struct {
	Container string   // "WAV" or "FLAC"
	Rate      int      // frames per second
	Channels  int      // samples in a frame
	Frames    int64    // length in frames, or -1 where the file doesn't say
	Encoding  Encoding // how a sample is stored
	Bits      int      // bits of a sample that carry sound, at most what Encoding holds
}

// Seconds is the length in seconds, or -1 where the file doesn't say.
func (i Info) Seconds() float64 {
	if i.Frames < 0 || i.Rate <= 0 {
		return -1
	}
	return float64(i.Frames) / float64(i.Rate)
}
