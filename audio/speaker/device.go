package speaker

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// Format is what a device is asked for: interleaved stereo, little-endian float32.
type Format struct {
	Rate   int           // frames per second
	Buffer time.Duration // what the device is to hold
	Queue  time.Duration // what is to be held ready in front of it
	Device string        // its name among [Devices]; empty for the system's own choice
}

// Name is a device as the system names it, with what it says of it in a few words.
type Name struct {
	ID, Says string
}

// Device is one opened sound device that pulls from the reader it was opened with until that ends. Its methods are
// safe for concurrent use.
type Device interface {
	// Err is nil as long as the device can play, and stays what it became.
	Err() error
	// SetQueue changes how much is held ready in front of the device, while it plays.
	SetQueue(time.Duration)
	// Close lets go of the device. It does not wait for one that hangs.
	Close() error
}

// holder is a device that knows how many frames lie between the one that it has just been given and the one that is
// audible, when it holds what it is to hold. Others are taken to hold what they were asked for.
type holder interface{ Holds() int64 }

// Opener opens a device that pulls from src. It may block for as long as that takes. The device may begin to pull
// before Opener returns, but never two Reads at once.
type Opener func(src io.Reader, f Format) (Device, error)

// short is the first line of an error, at a length that fits a status line.
func short(err error) string {
	const most = 100
	line, _, _ := strings.Cut(err.Error(), "\n")
	line = strings.TrimRight(strings.TrimSpace(line), ".")
	if utf8.RuneCountInString(line) > most {
		line = string([]rune(line)[:most-1]) + "…"
	}
	return line
}

// deviceError says in plain words what the device did; the driver's own words are the cause.
type deviceError struct {
	what  string
	cause error
}

// Error keeps the end of the driver's message: before it stand the library's and the functions' names.
func (e deviceError) Error() string {
	text := e.cause.Error()
	if i := strings.LastIndex(text, ": "); i >= 0 {
		text = text[i+2:]
	}
	return fmt.Sprintf("%s (%s)", e.what, text)
}

func (e deviceError) Unwrap() error { return e.cause }
