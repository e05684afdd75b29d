// Package smf writes Standard MIDI Files (MIDI Manufacturers Association, RP-001,
// "Standard MIDI Files 1.0"). It is pure.
package smf

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"
)

// MaxDivision is the most ticks of a quarter note: the field has 15 bits, of which
// the uppermost tells another kind of time.
const MaxDivision = 1<<15 - 1

// MaxTick is the furthest that an event can lie behind the one before it: a delta
// time has 28 bits.
const MaxTick = 1<<28 - 1

// Event is a message at a place in a track.
type Event struct {
	Tick    int64 // from the start of the file, 0 or more
	Message []byte
	run     run // of several messages, see [Track.Run]
}

// Track is events, in any order. Those at one tick are written in the order in which
// they stand, but the ends of notes before everything else there.
type Track []Event

// File is a file of format 1: tracks that sound together. The first holds the tempos,
// the time signatures and the markers.
type File struct {
	Division int // ticks of a quarter note, 1 to [MaxDivision]
	Tracks   []Track
}

// Meta events, by their type.
const (
	metaText   = 0x01
	metaName   = 0x03
	metaMarker = 0x06
	metaEnd    = 0x2F
	metaTempo  = 0x51
	metaMeter  = 0x58
)

// Drums is the channel of percussion in General MIDI, counted from 0.
const Drums = 9

func meta(kind byte, data []byte) []byte {
	return append(appendLength([]byte{0xFF, kind}, int64(len(data))), data...)
}

// Name is the name of a track.
func Name(text string) Event { return Event{Message: meta(metaName, []byte(text))} }

// Text is a remark at the start of a track.
func Text(text string) Event { return Event{Message: meta(metaText, []byte(text))} }

// Marker names a place.
func Marker(tick int64, text string) Event {
	return Event{Tick: tick, Message: meta(metaMarker, []byte(text))}
}

// MaxTempo is the longest quarter note in microseconds: the field has 24 bits.
const MaxTempo = 1<<24 - 1

// Tempo sets how long a quarter note is from here on, in microseconds, held to 1 to
// [MaxTempo].
func Tempo(tick int64, micros int64) Event {
	t := min(max(micros, 1), MaxTempo)
	return Event{Tick: tick, Message: meta(metaTempo, []byte{byte(t >> 16), byte(t >> 8), byte(t)})}
}

// Meter sets the time signature: above and the power of two below, and how many of
// the 24 clocks of a quarter note lie between two clicks of a metronome. In 4/4 these
// are 24, in 6/8 with a click on each dotted quarter 36.
func Meter(tick int64, above, below, clocks int) Event {
	power := 0
	for 1<<power < below {
		power++
	}
	return Event{Tick: tick, Message: meta(metaMeter, []byte{byte(above), byte(power), byte(clocks), 8})}
}

// Program takes an instrument, numbered from 0, on a channel from 0 to 15.
func Program(tick int64, channel, program int) Event {
	return Event{Tick: tick, Message: []byte{0xC0 | byte(channel&15), byte(program & 127)}}
}

// Note is a note on a channel from 0 to 15 from one tick to another: a key from 0 to
// 127, struck with a velocity from 1 to 127.
func Note(from, to int64, channel, key, velocity int) [2]Event {
	ch, k, to := byte(channel&15), byte(key&127), max(to, from+1)
	b := []byte{0x90 | ch, k, byte(min(max(velocity, 1), 127)), 0x80 | ch, k, 64} // of both, since there are many
	return [2]Event{{Tick: from, Message: b[:3:3]}, {Tick: to, Message: b[3:]}}
}

// Write writes a file of format 1.
func (f File) Write(w io.Writer) error { return f.write(w, 1) }

func (f File) write(w io.Writer, format uint16) error {
	switch {
	case f.Division < 1 || f.Division > MaxDivision:
		return fmt.Errorf("%d ticks in a quarter note; write 1 to %d", f.Division, MaxDivision)
	case len(f.Tracks) > math.MaxUint16:
		return fmt.Errorf("%d tracks; a file holds %d", len(f.Tracks), math.MaxUint16)
	}
	head := append([]byte("MThd"), 0, 0, 0, 6)
	head = binary.BigEndian.AppendUint16(head, format)
	head = binary.BigEndian.AppendUint16(head, uint16(len(f.Tracks)))
	head = binary.BigEndian.AppendUint16(head, uint16(f.Division))
	if _, err := w.Write(head); err != nil {
		return fmt.Errorf("writing the header: %w", err)
	}
	for i, t := range f.Tracks {
		data, err := t.encode()
		if err == nil {
			_, err = w.Write(data)
		}
		if err != nil {
			return fmt.Errorf("writing track %d: %w", i+1, err)
		}
	}
	return nil
}

// encode is the track's chunk.
func (t Track) encode() ([]byte, error) {
	size := 0
	for _, e := range t {
		size += 2 + len(e.Message)
	}
	out, sorted := append(make([]byte, 0, 16+size), "MTrk\x00\x00\x00\x00"...), t.sorted()
	out, _, err := sorted.append(out)
	if err != nil {
		return nil, err
	}
	end := meta(metaEnd, nil)
	if n := len(sorted); n == 0 || !slices.Equal(sorted[n-1].Message, end) {
		out = append(append(out, 0), end...)
	}
	if len(out)-8 > math.MaxUint32 {
		return nil, fmt.Errorf("%d bytes are more than a track holds", len(out)-8)
	}
	binary.BigEndian.PutUint32(out[4:], uint32(len(out)-8))
	return out, nil
}

// sorted is the track in the order in which it is written.
func (t Track) sorted() Track {
	if slices.IsSortedFunc(t, before) { // as it mostly is
		return t
	}
	t = slices.Clone(t)
	slices.SortStableFunc(t, before)
	return t
}

// append appends events that are in order, with running status where a message has the
// status of the one before it, and returns the status that is in force behind them.
func (t Track) append(out []byte) (_ []byte, running byte, err error) {
	var last int64
	for _, e := range t {
		delta := e.Tick - last
		if e.Tick < 0 || delta < 0 || delta > MaxTick || len(e.Message) == 0 || e.Message[0] < 0x80 {
			return nil, 0, fmt.Errorf("an event at tick %d, %d behind the one before it, cannot be written", e.Tick, delta)
		}
		out, last = appendLength(out, delta), e.Tick+e.run.length
		message := e.Message
		switch status := message[0]; {
		case status >= 0xF0:
			running = 0 // a meta event ends it
		case status == running:
			message = message[1:]
		default:
			running = status
		}
		if e.run.status != 0 {
			running = e.run.status
		}
		out = append(out, message...)
	}
	return out, running, nil
}

// run is what else is known of an event that is several.
type run struct {
	length int64 // ticks from its first message to its last
	status byte  // in force behind its last message; 0 for a single message
}

// Run is the track's notes as one event, which costs little to write and can stand at any
// number of places: moved by so many ticks, its messages lie where those of the track would.
// Between the first and the last of them nothing else may stand. It reports false where the
// track has no events, one that cannot be written, or one that is no message of a channel.
func (t Track) Run() (Event, bool) {
	for _, e := range t {
		if len(e.Message) == 0 || e.Message[0] >= 0xF0 || e.run.status != 0 {
			return Event{}, false
		}
	}
	if len(t) == 0 {
		return Event{}, false
	}
	t = t.sorted()
	first, last := t[0].Tick, t[len(t)-1].Tick
	out, status, err := t.append(nil)
	if err != nil {
		return Event{}, false
	}
	return Event{first, out[len(appendLength(nil, first)):], run{last - first, status}}, true
}

// Last is the tick of the event's last message.
func (e Event) Last() int64 { return e.Tick + e.run.length }

// before is the order of events: by place, and the ends of notes first.
func before(a, b Event) int {
	switch {
	case a.Tick != b.Tick:
		return cmp.Compare(a.Tick, b.Tick)
	case a.ends() && !b.ends():
		return -1
	case b.ends() && !a.ends():
		return 1
	}
	return 0
}

// ends reports whether the event ends a note.
func (e Event) ends() bool { return len(e.Message) > 0 && e.Message[0]&0xF0 == 0x80 }

// appendLength appends a number below 2^28 as a variable-length quantity: seven bits
// a byte, the uppermost set in all but the last.
func appendLength(b []byte, v int64) []byte {
	for shift := 21; shift > 0; shift -= 7 {
		if v>>shift > 0 {
			b = append(b, byte(v>>shift)&0x7F|0x80)
		}
	}
	return append(b, byte(v)&0x7F)
}
