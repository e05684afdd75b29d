package track

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func unhex(t *testing.T, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.Join(strings.Fields(s), ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestWorkedHeader holds the writer and the reader against the 44-byte header of
// flute.wav in the public repository johnglover/modal: 101 719 frames of 16-bit
// mono at 44.1 kHz, RIFF size 203 474.
func TestWorkedHeader(t *testing.T) {
	want := unhex(t, `52494646 D21A0300 57415645 666D7420 10000000 0100 0100 44AC0000 88580100 0200 1000 64617461 AE1A0300`)
	const frames = 101719
	got := write(t, Format{Rate: 44100, Channels: 1}, make([]float32, frames), 4096)
	if !bytes.Equal(got[:44], want) {
		t.Errorf("header\n got % x\nwant % x", got[:44], want)
	}
	if len(got) != 203474+8 {
		t.Errorf("the file has %d bytes, want %d", len(got), 203474+8)
	}
	info := open(t, got).Info()
	if info.Frames != frames || math.Abs(info.Seconds()-2.30655) > 5e-6 {
		t.Errorf("read back as %d frames, %v s", info.Frames, info.Seconds())
	}
}

// TestLayouts pins every byte of small files down.
func TestLayouts(t *testing.T) {
	for _, c := range []struct {
		name    string
		format  Format
		samples []float32
		marks   []Mark
		want    []byte
	}{
		{
			"16-bit mono", Format{48000, 1, Int16}, []float32{0, 0.5, -1}, nil,
			riff(pcm(1, 1, 48000, 16), chunk("data", []int16{0, 16384, -32768})),
		},
		{
			"24-bit mono, odd size: pad after the sound", Format{48000, 1, Int24}, []float32{1.0 / 8388608}, nil,
			riff(chunk("fmt ", uint16(0xFFFE), uint16(1), uint32(48000), uint32(144000), uint16(3), uint16(24),
				uint16(22), uint16(24), uint32(4), uint16(1), guidTail[:]),
				chunk("fact", uint32(1)), chunk("data", []byte{1, 0, 0})),
		},
		{
			"float stereo", Format{44100, 2, Float32}, []float32{1.5, -0.25}, nil,
			riff(chunk("fmt ", uint16(3), uint16(2), uint32(44100), uint32(352800), uint16(8), uint16(32), uint16(0)),
				chunk("fact", uint32(1)), chunk("data", []float32{1.5, -0.25})),
		},
		{
			"16-bit of 3 channels", Format{8000, 3, Int16}, []float32{0, 0, 0}, nil,
			riff(chunk("fmt ", uint16(0xFFFE), uint16(3), uint32(8000), uint32(48000), uint16(6), uint16(16),
				uint16(22), uint16(16), uint32(0), uint16(1), guidTail[:]),
				chunk("fact", uint32(1)), chunk("data", []int16{0, 0, 0})),
		},
		{
			"float of 4 channels", Format{8000, 4, Float32}, []float32{0, 0, 0, 0}, nil,
			riff(chunk("fmt ", uint16(0xFFFE), uint16(4), uint32(8000), uint32(128000), uint16(16), uint16(32),
				uint16(22), uint16(32), uint32(0), uint16(3), guidTail[:]),
				chunk("fact", uint32(1)), chunk("data", make([]byte, 16))),
		},
		{
			"marks in order of place, labels of odd and even length", Format{8000, 1, Int16}, make([]float32, 4),
			[]Mark{{3, "rep 2"}, {0, "rung 64"}, {3, "ä"}},
			riff(pcm(1, 1, 8000, 16), chunk("data", make([]byte, 8)),
				chunk("cue ", uint32(3),
					uint32(1), uint32(0), "data", uint32(0), uint32(0), uint32(0),
					uint32(2), uint32(3), "data", uint32(0), uint32(0), uint32(3),
					uint32(3), uint32(3), "data", uint32(0), uint32(0), uint32(3)),
				chunk("LIST", "adtl",
					chunk("labl", uint32(1), "rung 64\x00"),
					chunk("labl", uint32(2), "rep 2\x00"),
					chunk("labl", uint32(3), "ä\x00"))),
		},
		{"nothing", Format{48000, 2, Int16}, nil, nil, riff(pcm(1, 2, 48000, 16), chunk("data"))},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := write(t, c.format, c.samples, c.format.Channels, c.marks...)
			if !bytes.Equal(got, c.want) {
				t.Errorf("\n got % x\nwant % x", got, c.want)
			}
		})
	}
}

func TestQuantising(t *testing.T) {
	for _, c := range []struct {
		in      float32
		want16  int32
		want24  int32
		clipped bool
		reason  string
	}{
		{0, 0, 0, false, "silence is silence"},
		{float32(math.Copysign(0, -1)), 0, 0, false, "so is a negative zero"},
		{1e-9, 1, 1, false, "a sound has begun, however softly"},
		{-1e-9, -1, -1, false, ""},
		{math.SmallestNonzeroFloat32, 1, 1, false, ""},
		{1.5 / 32768, 2, 384, false, "halves away from zero"},
		{-1.5 / 32768, -2, -384, false, ""},
		{1.49 / 32768, 1, 381, false, ""},
		{32767.0 / 32768, 32767, 8388352, false, "the largest 16-bit integer"},
		{-1, -32768, -8388608, false, "the smallest integer is full scale"},
		{1, 32767, 8388607, true, "there is no +32768"},
		{1 - 1.0/(1<<24), 32767, 8388607, true, "the float next to 1 lies halfway to +8388608"},
		{2, 32767, 8388607, true, ""},
		{-1.01, -32768, -8388608, true, ""},
		{math.MaxFloat32, 32767, 8388607, true, ""},
	} {
		for _, e := range []struct {
			encoding Encoding
			want     int32
		}{{Int16, c.want16}, {Int24, c.want24}} {
			var m memFile
			w, err := NewWriter(&m, Format{48000, 1, e.encoding})
			if err != nil {
				t.Fatal(err)
			}
			if err := w.Write([]float32{c.in}); err != nil {
				t.Fatal(err)
			}
			if err := w.Close(); err != nil {
				t.Fatal(err)
			}
			b := m.b[w.header:]
			got := int32(int16(binary.LittleEndian.Uint16(b)))
			if e.encoding == Int24 {
				got = int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24) >> 8
			}
			if got != e.want || (w.Clipped() == 1) != c.clipped {
				t.Errorf("%v as %v: got %d, clipped %d; want %d, %v %s", c.in, e.encoding, got, w.Clipped(), e.want, c.clipped, c.reason)
			}
		}
	}
}

func TestWriterRefuses(t *testing.T) {
	for _, c := range []struct {
		format Format
		want   string
	}{
		{Format{48000, 2, Int8}, "cannot write 8-bit samples"},
		{Format{48000, 2, Encoding(99)}, "cannot write Encoding(99) samples"},
		{Format{48000, 0, Int16}, "cannot write 0 channels"},
		{Format{48000, 1025, Int16}, "cannot write 1025 channels"},
		{Format{0, 1, Int16}, "a rate of 0"},
		{Format{-5, 1, Int16}, "a rate of -5"},
		{Format{1 << 31, 1, Int16}, "a rate of 2147483648"},
	} {
		if _, err := NewWriter(&memFile{}, c.format); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v; want %q", c.format, err, c.want)
		}
		if c.format.MaxFrames() != 0 {
			t.Errorf("%+v: MaxFrames is %d", c.format, c.format.MaxFrames())
		}
	}

	var m memFile
	w, _ := NewWriter(&m, Format{48000, 2, Int16})
	if err := w.Write([]float32{1, 2, 3}); err == nil {
		t.Error("half a frame was written")
	}
	for _, bad := range []float32{float32(math.NaN()), float32(math.Inf(1)), float32(math.Inf(-1))} {
		err := w.Write([]float32{0.5, 0.5, 0.5, bad, 0.5, 0.5})
		if err == nil || !strings.Contains(err.Error(), "channel 2: the sample is") {
			t.Errorf("%v was written: %v", bad, err)
		}
	}
	if w.Frames() != 3 {
		t.Errorf("%d frames written, want the 3 before each bad one", w.Frames())
	}
	if err := w.Mark(-1, "x"); err == nil {
		t.Error("a mark before the start was set")
	}
	if err := w.Mark(1<<40, "x"); err == nil {
		t.Error("a mark beyond any file was set")
	}
	if err := w.Mark(3, "end"); err != nil {
		t.Error(err)
	}
	if err := w.Mark(4, "beyond"); err != nil {
		t.Error(err)
	}
	if err := w.Close(); err == nil || !strings.Contains(err.Error(), `mark "beyond" at frame 4 lies beyond the end, frame 3`) {
		t.Errorf("Close: %v", err)
	}
	if w.Write([]float32{0, 0}) == nil || w.Mark(0, "x") == nil {
		t.Error("written after Close")
	}
	r := open(t, m.b)
	if r.Info().Frames != 3 || !slices.Equal(r.Marks(), []Mark{{3, "end"}}) || len(r.Notes()) != 0 {
		t.Errorf("the file is not whole: %+v, %v, %v", r.Info(), r.Marks(), r.Notes())
	}
}

// TestFourGiB moves the writer to just under its limit, since writing 4 GiB
// would take too long here.
func TestFourGiB(t *testing.T) {
	f := Format{48000, 2, Int16}
	if got, want := f.MaxFrames(), int64((math.MaxUint32-36)/4); got != want {
		t.Errorf("MaxFrames is %d, want %d", got, want)
	}
	var m memFile
	w, _ := NewWriter(&m, f)
	if err := w.Mark(5, "a"); err != nil {
		t.Fatal(err)
	}
	w.sound = w.limit - w.limit%4 - 8
	if err := w.Write(make([]float32, 6)); !errors.Is(err, ErrTooLong) {
		t.Errorf("3 frames into room for 2: %v", err)
	}
	if err := w.Write(make([]float32, 4)); err != nil {
		t.Errorf("2 frames into room for 2: %v", err)
	}
	if err := w.Mark(6, "one more"); !errors.Is(err, ErrTooLong) {
		t.Errorf("a mark without room: %v", err)
	}
	end := w.header + w.sound + int64(len(w.buf)) + marksSize(1, labelSize("a"))
	if end-8 > math.MaxUint32 || end-8 < math.MaxUint32-8 {
		t.Errorf("the RIFF size would be %d", end-8)
	}
}

// TestFullDisk fills the file at every byte. What stands there can be read.
func TestFullDisk(t *testing.T) {
	f := Format{48000, 2, Float32}
	samples := make([]float32, 40)
	for i := range samples {
		samples[i] = 0.25
	}
	whole := write(t, f, samples, 8, Mark{1, "a"})
	for room := 1; room < len(whole); room++ {
		m := memFile{room: room}
		w, err := NewWriter(&m, f)
		if err != nil {
			if !errors.Is(err, errFull) {
				t.Fatalf("room %d: %v", room, err)
			}
			continue
		}
		w.Write(samples)
		w.Mark(1, "a")
		err = w.Close()
		if !errors.Is(err, errFull) || !errors.Is(w.Close(), errFull) {
			t.Fatalf("room %d: Close: %v, then %v", room, err, w.Close())
		}
		got := readAll(t, open(t, m.b), 8)
		if want := (room - int(w.header)) / 8 * 2; len(got) != min(want, len(samples)) {
			t.Fatalf("room %d: %d samples can be read, want %d", room, len(got), min(want, len(samples)))
		}
	}
}

// TestUnfinished reads a file whose writer never came to Close.
func TestUnfinished(t *testing.T) {
	for _, e := range []Encoding{Int16, Int24, Float32} {
		var m memFile
		f := Format{48000, 2, e}
		w, _ := NewWriter(&m, f)
		if err := w.Write(make([]float32, 100000)); err != nil {
			t.Fatal(err)
		}
		r := open(t, m.b)
		if want := w.sound / int64(f.frameBytes()); r.Info().Frames != want || want == 0 || len(r.Notes()) > 0 {
			t.Errorf("%v: %d frames, want %d; notes %v", e, r.Info().Frames, want, r.Notes())
		}
	}
}

// TestWriteMidFile writes behind something else.
func TestWriteMidFile(t *testing.T) {
	m := memFile{b: []byte("before"), at: 6}
	w, _ := NewWriter(&m, Format{48000, 1, Int16})
	w.Write([]float32{0.5})
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	want := write(t, Format{48000, 1, Int16}, []float32{0.5}, 1)
	if string(m.b[:6]) != "before" || !bytes.Equal(m.b[6:], want) {
		t.Errorf("got % x", m.b)
	}
	at := bytes.NewReader(m.b)
	at.Seek(6, 0)
	r, err := NewReader(at, "x")
	if err != nil {
		t.Fatal(err)
	}
	if got := readAll(t, r, 1); !slices.Equal(got, []float32{0.5}) {
		t.Errorf("read %v", got)
	}
}

func TestWriteAllocatesNothing(t *testing.T) {
	samples := make([]float32, 4096)
	for i := range samples {
		samples[i] = float32(i) / 5000
	}
	for _, e := range []Encoding{Int16, Int24, Float32} {
		w, _ := NewWriter(&memFile{b: make([]byte, 64<<20)}, Format{48000, 2, e})
		if n := testing.AllocsPerRun(100, func() { w.Write(samples) }); n != 0 {
			t.Errorf("%v: %v allocations a Write", e, n)
		}
	}
}

// TestRoundTrip: whatever is written is read back: floats and integers exactly,
// other samples within a step, zeros and only zeros as zeros; whatever the pieces.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Format{
			Rate:     rapid.IntRange(1, 192000).Draw(t, "rate"),
			Channels: rapid.IntRange(1, 9).Draw(t, "channels"),
			Encoding: rapid.SampledFrom([]Encoding{Int16, Int24, Float32}).Draw(t, "encoding"),
		}
		step := map[Encoding]float64{Int16: 1.0 / 32768, Int24: 1.0 / 8388608}[f.Encoding]
		frames := rapid.IntRange(0, 300).Draw(t, "frames")
		samples := make([]float32, frames*f.Channels)
		exact := rapid.Bool().Draw(t, "integers") && step > 0
		for i := range samples {
			v := rapid.OneOf(rapid.Just(float32(0)), rapid.Float32Range(-1.2, 1.2), rapid.Float32Range(-1e-5, 1e-5)).Draw(t, "v")
			if exact {
				v = float32(min(1-step, max(-1, math.Round(float64(v)/step)*step)))
			}
			samples[i] = v
		}
		var marks []Mark
		for range rapid.IntRange(0, 5).Draw(t, "marks") {
			marks = append(marks, Mark{rapid.Int64Range(0, int64(frames)).Draw(t, "mark"),
				rapid.StringN(0, 20, -1).Draw(t, "label")})
		}
		file := write(t, f, samples, f.Channels*rapid.IntRange(1, 50).Draw(t, "write"), marks...)
		if len(file)%2 != 0 || int(binary.LittleEndian.Uint32(file[4:])) != len(file)-8 {
			t.Fatalf("RIFF size %d in a file of %d bytes", binary.LittleEndian.Uint32(file[4:]), len(file))
		}
		r := open(t, file)
		if info := r.Info(); info.Rate != f.Rate || info.Channels != f.Channels || info.Encoding != f.Encoding || info.Frames != int64(frames) {
			t.Fatalf("%+v was written, %+v read", f, info)
		}
		got := readAll(t, r, rapid.IntRange(1, 500).Draw(t, "read"))
		if len(got) != len(samples) {
			t.Fatalf("%d samples written, %d read", len(samples), len(got))
		}
		for i, v := range samples {
			d := math.Abs(float64(got[i]) - math.Min(1-step, math.Max(-1, float64(v))))
			switch {
			case step == 0 || exact:
				if got[i] != v {
					t.Fatalf("sample %d: %v was written, %v read", i, v, got[i])
				}
			case (got[i] == 0) != (v == 0):
				t.Fatalf("sample %d: %v was written, %v read: silence and sound are mixed up", i, v, got[i])
			case d > step/2*1.0001 && math.Abs(float64(v)) >= step/2 || d > step:
				t.Fatalf("sample %d: %v was written, %v read, off by %v steps", i, v, got[i], d/step)
			}
		}
		want := make([]Mark, len(marks))
		for i, m := range marks {
			want[i] = Mark{m.Frame, cleanLabel(m.Label)}
		}
		slices.SortStableFunc(want, byFrame)
		if !slices.Equal(r.Marks(), want) {
			t.Fatalf("marks %+v written, %+v read", want, r.Marks())
		}
		if len(r.Notes()) > 0 {
			t.Fatalf("notes: %v", r.Notes())
		}
	})
}
