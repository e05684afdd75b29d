package takes

import (
	"bytes"
	"encoding/binary"
	"math"
	"sort"
)

// event is a MIDI message at a time in seconds; order breaks ties, so that a
// note ends before the next one begins.
type event struct {
	seconds float64
	order   int
	data    []byte
}

// ticksPerSecond makes one tick 20 µs: 25 000 ticks to a quarter of half a second.
const (
	ticksPerQuarter  = 25_000
	microsPerQuarter = 500_000
	ticksPerSecond   = ticksPerQuarter * 1_000_000 / microsPerQuarter
)

// standardMIDIFile writes the events as a format 0 file (Standard MIDI Files
// 1.0, MIDI Manufacturers Association 1996).
func standardMIDIFile(events []event) []byte {
	sort.SliceStable(events, func(i, j int) bool {
		if events[i].seconds != events[j].seconds {
			return events[i].seconds < events[j].seconds
		}
		return events[i].order < events[j].order
	})
	var track bytes.Buffer
	track.Write([]byte{0, 0xff, 0x51, 3, microsPerQuarter >> 16, microsPerQuarter >> 8 & 0xff, microsPerQuarter & 0xff})
	at := uint32(0)
	for _, e := range events {
		tick := uint32(math.Round(e.seconds * ticksPerSecond))
		writeVarint(&track, tick-at)
		track.Write(e.data)
		at = tick
	}
	track.Write([]byte{0, 0xff, 0x2f, 0})

	var file bytes.Buffer
	file.WriteString("MThd")
	for _, v := range []any{uint32(6), uint16(0), uint16(1), uint16(ticksPerQuarter)} {
		_ = binary.Write(&file, binary.BigEndian, v) // a bytes.Buffer never fails
	}
	file.WriteString("MTrk")
	_ = binary.Write(&file, binary.BigEndian, uint32(track.Len()))
	file.Write(track.Bytes())
	return file.Bytes()
}

func writeVarint(b *bytes.Buffer, v uint32) {
	for shift := 28; shift > 0; shift -= 7 {
		if v>>shift != 0 {
			b.WriteByte(byte(v>>shift&0x7f | 0x80))
		}
	}
	b.WriteByte(byte(v & 0x7f))
}

func noteOn(at float64, key, velocity int) event {
	return event{at, 2, []byte{0x90, byte(key), byte(velocity)}}
}

func noteOff(at float64, key int) event {
	return event{at, 1, []byte{0x80, byte(key), 64}}
}

func program(n int) event { return event{0, 0, []byte{0xc0, byte(n)}} }

func control(n, value int) event { return event{0, 0, []byte{0xb0, byte(n), byte(value)}} }

// bendRange sets the pitch bend range by registered parameter 0.
func bendRange(semitones int) []event {
	return []event{control(101, 0), control(100, 0), control(6, semitones), control(38, 0)}
}

// bend moves every sounding note by semitones, within a range of ±24.
func bend(at float64, semitones float64) event {
	v := 8192 + int(math.Round(semitones/24*8192))
	v = max(0, min(16383, v))
	return event{at, 1, []byte{0xe0, byte(v & 0x7f), byte(v >> 7)}}
}
