package smf

import (
	"bytes"
	"encoding/hex"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func bytesOf(t *testing.T, text string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(strings.ReplaceAll(text, " ", ""), "\n", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The twelve rows of the specification's table of variable-length quantities
// (RP-001, "Standard MIDI Files 1.0", section on conventions).
func TestVariableLengthQuantities(t *testing.T) {
	for v, want := range map[int64]string{
		0x00000000: "00", 0x00000040: "40", 0x0000007F: "7F", 0x00000080: "81 00", 0x00002000: "C0 00", 0x00003FFF: "FF 7F",
		0x00004000: "81 80 00", 0x00100000: "C0 80 00", 0x001FFFFF: "FF FF 7F", 0x00200000: "81 80 80 00", 0x08000000: "C0 80 80 00", 0x0FFFFFFF: "FF FF FF 7F",
	} {
		if got := appendLength(nil, v); !bytes.Equal(got, bytesOf(t, want)) {
			t.Errorf("%08X is % X, want %s", v, got, want)
		}
	}
}

// The specification's example (RP-001, appendix 2) in format 0, byte for byte.
func TestTheExampleOfTheSpecification(t *testing.T) {
	msg := func(tick int64, b ...byte) Event { return Event{Tick: tick, Message: b} }
	example := File{Division: 96, Tracks: []Track{{
		Meter(0, 4, 4, 24), Tempo(0, 500_000), Program(0, 0, 5), Program(0, 1, 46), Program(0, 2, 70),
		msg(0, 0x92, 48, 96), msg(0, 0x92, 60, 96), msg(96, 0x91, 67, 64), msg(192, 0x90, 76, 32),
		msg(384, 0x82, 48, 64), msg(384, 0x82, 60, 64), msg(384, 0x81, 67, 64), msg(384, 0x80, 76, 64),
	}}}
	var got bytes.Buffer
	if err := example.write(&got, 0); err != nil {
		t.Fatal(err)
	}
	want := bytesOf(t, `4D546864 00000006 0000 0001 0060  4D54726B 0000003B
00FF580404021808 00FF510307A120 00C005 00C12E 00C246 00923060 003C60
60914340 60904C20 8140823040 003C40 00814340 00804C40 00FF2F00`)
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("format 0 is\n% X, want\n% X", got.Bytes(), want)
	}

	// The same music in format 1: notes end as the specification has them there, struck
	// with a velocity of 0.
	one := File{Division: 96, Tracks: []Track{
		{Meter(0, 4, 4, 24), Tempo(0, 500_000), msg(384, 0xFF, metaEnd, 0)},
		{Program(0, 0, 5), msg(192, 0x90, 76, 32), msg(384, 0x90, 76, 0)},
		{Program(0, 1, 46), msg(96, 0x91, 67, 64), msg(384, 0x91, 67, 0)},
		{Program(0, 2, 70), msg(0, 0x92, 48, 96), msg(0, 0x92, 60, 96), msg(384, 0x92, 48, 0), msg(384, 0x92, 60, 0)},
	}}
	got.Reset()
	if err := one.Write(&got); err != nil {
		t.Fatal(err)
	}
	want = bytesOf(t, `4D546864 00000006 0001 0004 0060
4D54726B 00000014 00FF580404021808 00FF510307A120 8300FF2F00
4D54726B 00000010 00C005 8140904C20 81404C00 00FF2F00
4D54726B 0000000F 00C12E 60914340 82204300 00FF2F00
4D54726B 00000015 00C246 00923060 003C60 83003000 003C00 00FF2F00`)
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("format 1 is\n% X, want\n% X", got.Bytes(), want)
	}
}

// Time signatures as the specification writes them: 6/8 with a click on each dotted
// quarter has 36 clocks, 4/4 has 24. Tempos to the nearest microsecond.
func TestMetersAndTempos(t *testing.T) {
	for _, tt := range []struct {
		got  Event
		want string
	}{
		{Meter(0, 6, 8, 36), "FF 58 04 06 03 24 08"},
		{Meter(0, 4, 4, 24), "FF 58 04 04 02 18 08"},
		{Meter(0, 2, 2, 48), "FF 58 04 02 01 30 08"},
		{Meter(0, 5, 1, 96), "FF 58 04 05 00 60 08"},
		{Tempo(0, 500_000), "FF 51 03 07 A1 20"},
		{Tempo(0, 1_500_000), "FF 51 03 16 E3 60"},
		{Tempo(0, 0), "FF 51 03 00 00 01"},
		{Tempo(0, 1<<40), "FF 51 03 FF FF FF"},
		{Program(0, 9, 75), "C9 4B"},
		{Marker(0, "rung 76"), "FF 06 07 72 75 6E 67 20 37 36"},
	} {
		if !bytes.Equal(tt.got.Message, bytesOf(t, tt.want)) {
			t.Errorf("% X, want %s", tt.got.Message, tt.want)
		}
	}
}

func TestWhatCannotBeWritten(t *testing.T) {
	for _, f := range []File{
		{Division: 0}, {Division: MaxDivision + 1},
		{Division: 96, Tracks: []Track{{{Tick: -1, Message: []byte{0x90, 60, 1}}}}},
		{Division: 96, Tracks: []Track{{{Tick: MaxTick + 1, Message: []byte{0x90, 60, 1}}}}},
		{Division: 96, Tracks: []Track{{{Tick: 0, Message: []byte{60, 1}}}}},
		{Division: 96, Tracks: []Track{{{Tick: 0, Message: nil}}}},
	} {
		if err := f.Write(&bytes.Buffer{}); err == nil {
			t.Errorf("%+v is written", f)
		}
	}
	if err := (File{Division: 96, Tracks: []Track{{{Tick: MaxTick, Message: []byte{0x90, 60, 1}}}}}).Write(&bytes.Buffer{}); err != nil {
		t.Errorf("the furthest tick: %v", err)
	}
}

// What is written is read back by a second, plain reader: the same messages at the same
// ticks, notes ended before others begin there.
func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var track Track
		for range rapid.IntRange(0, 40).Draw(t, "events") {
			from := rapid.Int64Range(0, 50_000).Draw(t, "tick")
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				track = append(track, Marker(from, rapid.StringN(0, 200, -1).Draw(t, "text")))
			case 1:
				track = append(track, Tempo(from, rapid.Int64Range(1, MaxTempo).Draw(t, "micros")))
			default:
				n := Note(from, from+rapid.Int64Range(1, 999).Draw(t, "length"), rapid.IntRange(0, 15).Draw(t, "channel"), rapid.IntRange(0, 127).Draw(t, "key"), rapid.IntRange(1, 127).Draw(t, "velocity"))
				track = append(track, n[:]...)
			}
		}
		data, err := track.encode()
		if err != nil {
			t.Fatal(err)
		}
		got := read(t, data)
		if len(got) != len(track)+1 {
			t.Fatalf("%d events, want %d and the end", len(got), len(track))
		}
		count := map[string]int{}
		key := func(e Event) string {
			return hex.EncodeToString(e.Message) + "@" + hex.EncodeToString([]byte{byte(e.Tick >> 16), byte(e.Tick >> 8), byte(e.Tick)})
		}
		for _, e := range track {
			count[key(e)]++
		}
		for i, e := range got[:len(got)-1] {
			count[key(e)]--
			if i > 0 && got[i-1].Tick > e.Tick || i > 0 && got[i-1].Tick == e.Tick && e.ends() && !got[i-1].ends() {
				t.Fatalf("event %d stands behind what it should come before", i)
			}
		}
		for k, n := range count {
			if n != 0 {
				t.Fatalf("%s is there %d times too few", k, n)
			}
		}
	})
}

// A run stands for its events wherever it is put: the bytes are the same.
func TestARunIsWrittenAsItsEvents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var notes, plain, runs Track
		for range rapid.IntRange(1, 20).Draw(t, "notes") {
			from := rapid.Int64Range(0, 2_000).Draw(t, "tick")
			n := Note(from, from+rapid.Int64Range(1, 300).Draw(t, "length"), rapid.IntRange(0, 1).Draw(t, "channel"), rapid.IntRange(0, 127).Draw(t, "key"), 64)
			notes = append(notes, n[:]...)
		}
		run, ok := notes.Run()
		if !ok {
			t.Fatal("notes make no run")
		}
		tick := rapid.Int64Range(0, 100_000).Draw(t, "first")
		for range rapid.IntRange(1, 4).Draw(t, "times") {
			for _, e := range notes.sorted() {
				plain = append(plain, Event{Tick: tick + e.Tick, Message: e.Message})
			}
			e := run
			e.Tick += tick
			runs = append(runs, e)
			tick = e.Last() + rapid.Int64Range(0, 500).Draw(t, "gap") + 1
			if rapid.Bool().Draw(t, "between") {
				n := Note(tick, tick+9, rapid.IntRange(0, 1).Draw(t, "channel"), 60, 1)
				plain, runs = append(plain, n[:]...), append(runs, n[:]...)
				tick += 10
			}
		}
		want, err := plain.encode()
		if err != nil {
			t.Fatal(err)
		}
		if got, err := runs.encode(); err != nil || !bytes.Equal(got, want) {
			t.Fatalf("as a run\n% X, %v, want\n% X", got, err, want)
		}
	})
	for _, none := range []Track{nil, {Marker(0, "a")}, {{Tick: 0}}, {{Tick: -1, Message: []byte{0x90, 60, 1}}}} {
		if _, ok := none.Run(); ok {
			t.Errorf("%v is a run", none)
		}
	}
}

// read takes a track's chunk apart.
func read(t *rapid.T, data []byte) (out Track) {
	if string(data[:4]) != "MTrk" || int(data[4])<<24|int(data[5])<<16|int(data[6])<<8|int(data[7]) != len(data)-8 {
		t.Fatalf("% X is no track of its length", data)
	}
	data = data[8:]
	number := func() (v int64) {
		for {
			b := data[0]
			data = data[1:]
			if v = v<<7 | int64(b&0x7F); b < 0x80 {
				return v
			}
		}
	}
	tick, status := int64(0), byte(0)
	for len(data) > 0 {
		tick += number()
		if data[0] == 0xFF {
			head := data[:2]
			data = data[2:]
			n := number()
			message := append([]byte{}, head...)
			out = append(out, Event{Tick: tick, Message: append(appendLength(message, n), data[:n]...)})
			data, status = data[n:], 0
			continue
		}
		if data[0] >= 0x80 {
			status, data = data[0], data[1:]
		}
		n := 2
		if status&0xF0 == 0xC0 {
			n = 1
		}
		out = append(out, Event{Tick: tick, Message: append([]byte{status}, data[:n]...)})
		data = data[n:]
	}
	return out
}
