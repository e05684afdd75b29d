package output

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"footing/audio/speaker"
)

// Kept is what is remembered of a device. Its zero value is how a device comes.
type Kept struct {
	Level  int // dB, −60 to 0; never above Cap
	Cap    int // dB, −60 to 0
	Buffer int // milliseconds to be held, 0 for as it comes
	// Grown is what was found to be needed beyond Buffer, in milliseconds; 0 for nothing.
	Grown  int
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
	text := fmt.Sprintf("level %d cap %d buffer %d offset %d", k.Level, k.Cap, k.Buffer, k.Offset)
	if k.Grown > 0 {
		text += fmt.Sprintf(" grown %d", k.Grown)
	}
	return text
}

// ParseKept reads what String wrote. What is out of bounds, or no such text, is as
// a device comes.
func ParseKept(text string) Kept {
	var k Kept
	text, grown, has := strings.Cut(text, " grown ")
	n, err := fmt.Sscanf(text, "level %d cap %d buffer %d offset %d", &k.Level, &k.Cap, &k.Buffer, &k.Offset)
	if has && err == nil {
		k.Grown, err = strconv.Atoi(grown)
	}
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
	for _, held := range []*int{&k.Buffer, &k.Grown} {
		if *held != 0 {
			*held = min(max(*held, int(speaker.LeastBuffer.Milliseconds())), int(speaker.MostBuffer.Milliseconds()))
		}
	}
	return k
}

// held is k with more or less held, counted from what has grown.
func (k Kept) held(by int) Kept {
	i, found := slices.BinarySearch(buffers, max(k.Buffer, k.Grown))
	if by > 0 && !found {
		i-- // what lies between two goes to the next
	}
	k.Buffer, k.Grown = buffers[min(max(i+by, 0), len(buffers)-1)], 0
	return k
}

// words are what is held now.
func (k Kept) words(now time.Duration) string {
	switch {
	case k.Grown > 0:
		return milliseconds(now) + ", grown"
	case k.Buffer == 0:
		return milliseconds(now) + ", as it comes"
	}
	return milliseconds(now)
}

// apply brings a speaker to what is kept.
func (k Kept) apply(s Speaker) {
	s.SetLevel(float64(k.Level))
	s.SetOffset(time.Duration(k.Offset) * time.Millisecond)
	s.SetBuffer(k.asks())
}

// asks is how much is to be held.
func (k Kept) asks() time.Duration {
	buffer := speaker.DefaultBuffer + speaker.DefaultQueue
	if k.Buffer > 0 {
		buffer = time.Duration(k.Buffer) * time.Millisecond
	}
	return max(buffer, time.Duration(k.Grown)*time.Millisecond)
}

// Grew remembers how much the speaker holds since it ran dry, where that is more than was
// asked for: the next start on this device begins with it.
func (v *View) Grew() {
	if k, now := v.kept(), v.o.Speaker.Buffer(); now > k.asks() {
		k.Grown = int(now.Milliseconds())
		v.o.Keep(v.o.Device(), k.bounded())
	}
}
