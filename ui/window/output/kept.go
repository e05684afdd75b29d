package output

import (
	"fmt"
	"time"

	"footing/audio/speaker"
)

// Kept is what is remembered of a device. Its zero value is how a device comes.
type Kept struct {
	Level  int // dB, −60 to 0; never above Cap
	Cap    int // dB, −60 to 0
	Buffer int // milliseconds to be held, 0 for as it comes
	Offset int // milliseconds by which the sound is later at the ear than estimated; negative for earlier
}

// Bounds of what is kept, and steps in which it is turned.
const (
	mostOffset = 500
	stepOffset = 5
)

// buffers are what can be held, in milliseconds; 0 is as it comes.
var buffers = []int{0, 70, 90, 118, 180, 270, 400, 600}

// String writes what [ParseKept] reads.
func (k Kept) String() string {
	return fmt.Sprintf("level %d cap %d buffer %d offset %d", k.Level, k.Cap, k.Buffer, k.Offset)
}

// ParseKept reads what String wrote. What is out of bounds, or no such text, is as
// a device comes.
func ParseKept(text string) Kept {
	var k Kept
	n, err := fmt.Sscanf(text, "level %d cap %d buffer %d offset %d", &k.Level, &k.Cap, &k.Buffer, &k.Offset)
	if err != nil || n != 4 || k != k.bounded() {
		return Kept{}
	}
	return k
}

// bounded is what is nearest to k and can be.
func (k Kept) bounded() Kept {
	k.Cap = min(max(k.Cap, speaker.LeastLevel), speaker.MostLevel)
	k.Level = min(max(k.Level, speaker.LeastLevel), k.Cap)
	k.Offset = min(max(k.Offset, -mostOffset), mostOffset)
	if k.Buffer != 0 {
		k.Buffer = min(max(k.Buffer, int(speaker.LeastBuffer.Milliseconds())), int(speaker.MostBuffer.Milliseconds()))
	}
	return k
}

// apply brings a speaker to what is kept.
func (k Kept) apply(s Speaker) {
	s.SetLevel(float64(k.Level))
	s.SetOffset(time.Duration(k.Offset) * time.Millisecond)
	buffer := speaker.DefaultBuffer + speaker.DefaultQueue
	if k.Buffer > 0 {
		buffer = time.Duration(k.Buffer) * time.Millisecond
	}
	s.SetBuffer(buffer)
}
