package track

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// goodFiles are files by hand that can be read, with what they hold. They are
// seeds of the fuzz target too.
var goodFiles = []struct {
	name    string
	file    []byte
	info    Info
	samples []float32
	marks   []Mark
	notes   string // part of the only note, or empty where there is none
}{
	{
		name:    "16-bit",
		file:    riff(pcm(1, 1, 44100, 16), chunk("data", []int16{0, 1, -32768, 32767})),
		info:    Info{"WAV", 44100, 1, 4, Int16, 16},
		samples: []float32{0, 1.0 / 32768, -1, 32767.0 / 32768},
	},
	{
		name:    "8-bit is unsigned; odd size and pad",
		file:    riff(pcm(1, 1, 8000, 8), chunk("data", []byte{0, 128, 255}), chunk("cue ", uint32(1), cueAt(7, 2))),
		info:    Info{"WAV", 8000, 1, 3, Int8, 8},
		samples: []float32{-1, 0, 127.0 / 128}, marks: []Mark{{2, ""}},
	},
	{
		name:    "24-bit stereo",
		file:    riff(pcm(1, 2, 96000, 24), chunk("data", []byte{0, 0, 0x80, 1, 0, 0})),
		info:    Info{"WAV", 96000, 2, 1, Int24, 24},
		samples: []float32{-1, 1.0 / 8388608},
	},
	{
		name:    "32-bit",
		file:    riff(pcm(1, 1, 48000, 32), chunk("data", []int32{math.MinInt32, 1 << 30, 128})),
		info:    Info{"WAV", 48000, 1, 3, Int32, 32},
		samples: []float32{-1, 0.5, 128.0 / (1 << 31)},
	},
	{
		name:    "12 bits stand at the top of 16",
		file:    riff(pcm(1, 1, 48000, 12), chunk("data", []int16{0x7FF0, 0x0010})),
		info:    Info{"WAV", 48000, 1, 2, Int16, 12},
		samples: []float32{2047.0 / 2048, 1.0 / 2048},
	},
	{
		name:    "32-bit float, beyond full scale",
		file:    riff(pcm(3, 1, 48000, 32), chunk("fact", uint32(2)), chunk("data", []float32{1.5, -0.1})),
		info:    Info{"WAV", 48000, 1, 2, Float32, 32},
		samples: []float32{1.5, -0.1},
	},
	{
		name:    "64-bit float",
		file:    riff(pcm(3, 1, 48000, 64), chunk("data", []float64{0.1, -2})),
		info:    Info{"WAV", 48000, 1, 2, Float64, 64},
		samples: []float32{0.1, -2},
	},
	{
		name: "floats that are no numbers",
		file: riff(pcm(3, 1, 48000, 32), chunk("data", []float32{float32(math.NaN()), 0.5, float32(math.Inf(-1)), 1e30})),
		info: Info{"WAV", 48000, 1, 4, Float32, 32}, samples: []float32{0, 0.5, 0, 0}, notes: "3 samples are no finite numbers",
	},
	{
		name: "doubles too large for a float",
		file: riff(pcm(3, 1, 48000, 64), chunk("data", []float64{1e300, 0.5})),
		info: Info{"WAV", 48000, 1, 2, Float64, 64}, samples: []float32{0, 0.5}, notes: "1 samples are no finite numbers",
	},
	{
		name:    "extensible 24 bits in 32",
		file:    riff(extensible(1, 1, 48000, 32, 24), chunk("data", []int32{-1 << 31, 1 << 8})),
		info:    Info{"WAV", 48000, 1, 2, Int32, 24},
		samples: []float32{-1, 1.0 / 8388608},
	},
	{
		name:    "extensible float of 6 channels",
		file:    riff(extensible(3, 6, 96000, 32, 32), chunk("data", []float32{1, 2, 3, 4, 5, 6})),
		info:    Info{"WAV", 96000, 6, 1, Float32, 32},
		samples: []float32{1, 2, 3, 4, 5, 6},
	},
	{
		name:    "extensible with valid bits left 0",
		file:    riff(extensible(1, 1, 48000, 16, 0), chunk("data", []int16{16384})),
		info:    Info{"WAV", 48000, 1, 1, Int16, 16},
		samples: []float32{0.5},
	},
	{
		name: "unknown chunks, JUNK and an odd one before the format",
		file: riff(chunk("JUNK", make([]byte, 28)), chunk("bext", make([]byte, 603)), pcm(1, 1, 8000, 16),
			chunk("odd ", []byte{1}), chunk("data", []int16{16384}), chunk("LIST", "INFO", chunk("INAM", "x\x00"))),
		info:    Info{"WAV", 8000, 1, 1, Int16, 16},
		samples: []float32{0.5},
	},
	{
		name: "sound before the format, labels before the cues",
		file: riff(chunk("LIST", "adtl", chunk("note", uint32(1), "no\x00"), chunk("labl", uint32(1), "yes\x00"),
			chunk("note", uint32(2), "only a note\x00"), chunk("ltxt", uint32(2), uint32(5), "rgn ", make([]byte, 8))),
			chunk("data", []int16{16384, 0, 0, 0, 0}), chunk("cue ", uint32(2), cueAt(2, 3), cueAt(1, 1)), pcm(1, 1, 8000, 16)),
		info:    Info{"WAV", 8000, 1, 5, Int16, 16},
		samples: []float32{0.5, 0, 0, 0, 0}, marks: []Mark{{1, "yes"}, {3, "only a note"}},
	},
	{
		name: "a cue whose sample offset was left 0, and a Latin-1 label",
		file: riff(pcm(1, 1, 8000, 16), chunk("data", []int16{0, 0}),
			chunk("cue ", uint32(1), uint32(9), uint32(1), "data", uint32(0), uint32(0), uint32(0)),
			chunk("LIST", "adtl", chunk("labl", uint32(9), "Stra\xDFe\x00"))),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0, 0}, marks: []Mark{{1, "Straße"}},
	},
	{
		name:    "a cue chunk that promises more points than it holds",
		file:    riff(pcm(1, 1, 8000, 16), chunk("data", []int16{0, 0}), chunk("cue ", uint32(math.MaxUint32), cueAt(1, 1))),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0, 0}, marks: []Mark{{1, ""}},
	},
	{
		name:    "streamed: sizes 0xFFFFFFFF",
		file:    bin("RIFF", uint32(math.MaxUint32), "WAVE", pcm(1, 1, 8000, 16), "data", uint32(math.MaxUint32), []int16{16384, 0}),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0.5, 0},
	},
	{
		name:    "streamed: sizes as sox writes into a pipe",
		file:    bin("RIFF", uint32(0x7FFFF024), "WAVE", pcm(1, 1, 8000, 16), "data", uint32(0x7FFFF000), []int16{16384, 0}),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0.5, 0},
	},
	{
		name:    "streamed: sizes 0",
		file:    bin("RIFF", uint32(0), "WAVE", pcm(1, 1, 8000, 16), "data", uint32(0), []int16{16384, 0}),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0.5, 0},
	},
	{
		name: "truly empty, with a chunk behind",
		file: riff(pcm(1, 1, 8000, 16), chunk("data"), chunk("LIST", "INFO", chunk("INAM", "nothing yet\x00"))),
		info: Info{"WAV", 8000, 1, 0, Int16, 16},
	},
	{
		name: "truly empty",
		file: riff(pcm(1, 1, 8000, 16), chunk("data")),
		info: Info{"WAV", 8000, 1, 0, Int16, 16},
	},
	{
		name:    "cut short",
		file:    bin("RIFF", uint32(1036), "WAVE", pcm(1, 1, 8000, 16), "data", uint32(1000), []int16{16384, 0}),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0.5, 0}, notes: "the file ends early: its header promises 1000 bytes of sound, 4 are there",
	},
	{
		name:    "half a frame at the end",
		file:    riff(pcm(1, 2, 8000, 16), chunk("data", []int16{16384, 0, 1})),
		info:    Info{"WAV", 8000, 2, 1, Int16, 16},
		samples: []float32{0.5, 0}, notes: "the last frame is cut off: 2 of its 4 bytes are there",
	},
	{
		name:    "two data chunks",
		file:    riff(pcm(1, 1, 8000, 16), chunk("data", []int16{16384}), chunk("data", []int16{0})),
		info:    Info{"WAV", 8000, 1, 1, Int16, 16},
		samples: []float32{0.5}, notes: "second data chunk at byte 46",
	},
	{
		name:    "a frame size left 0",
		file:    riff(chunk("fmt ", uint16(1), uint16(1), uint32(8000), uint32(0), uint16(0), uint16(16)), chunk("data", []int16{16384})),
		info:    Info{"WAV", 8000, 1, 1, Int16, 16},
		samples: []float32{0.5},
	},
	{
		name: "RF64 beyond 4 GiB in form",
		file: bin("RF64", uint32(math.MaxUint32), "WAVE", chunk("ds64", uint64(84), uint64(4), uint64(2), uint32(0)),
			pcm(1, 1, 8000, 16), "data", uint32(math.MaxUint32), []int16{16384, 0}, chunk("cue ", uint32(1), cueAt(1, 1))),
		info:    Info{"WAV", 8000, 1, 2, Int16, 16},
		samples: []float32{0.5, 0}, marks: []Mark{{1, ""}},
	},
	{
		name:    "odd rate",
		file:    riff(pcm(1, 1, 11127, 16), chunk("data", []int16{16384})),
		info:    Info{"WAV", 11127, 1, 1, Int16, 16},
		samples: []float32{0.5},
	},
}

func cueAt(id, frame uint32) []byte {
	return bin(id, frame, "data", uint32(0), uint32(0), frame)
}

func TestReadWAV(t *testing.T) {
	for _, c := range goodFiles {
		for _, piece := range []int{1, 5, 4096} {
			t.Run(c.name, func(t *testing.T) {
				r := open(t, c.file)
				if r.Info() != c.info {
					t.Errorf("got %+v, want %+v", r.Info(), c.info)
				}
				if got := readAll(t, r, piece); !slices.Equal(got, c.samples) {
					t.Errorf("got %v, want %v", got, c.samples)
				}
				if got := r.Marks(); !slices.Equal(got, c.marks) {
					t.Errorf("got %v, want %v", got, c.marks)
				}
				if got := strings.Join(r.Notes(), "|"); (got == "") != (c.notes == "") || !strings.Contains(got, c.notes) || len(r.Notes()) > 1 {
					t.Errorf("notes %q, want %q", got, c.notes)
				}
			})
		}
	}
}

// badFiles are files that can't be read, with the sentence that says so.
var badFiles = []struct {
	file []byte
	want string
}{
	{nil, "take.wav: is empty; a WAV file (PCM or float) or a FLAC file is wanted"},
	{[]byte("footing: 1\nname: Morning runs\n"), "take.wav: is a text file; a WAV file (PCM or float) or a FLAC file is wanted"},
	{[]byte("R"), "take.wav: is a text file; "},
	{[]byte("RIFF\x00\x00"), "take.wav: ends after 6 bytes, within the WAV header; "},
	{bin("RIFF", uint32(4), "AVI "), `take.wav: is a RIFF file of type "AVI " and no WAV file; `},
	{[]byte("RIFX\x00\x00\x00\x24WAVE"), "take.wav: is a big-endian WAV file (RIFX); "},
	{[]byte("\xFF\xFB\x90\x64\x00\x00"), "take.wav: is an MP3 file; "},
	{[]byte("ID3\x04\x00\x00\x00\x00\x00\x00"), "take.wav: is an MP3 file; "},
	{[]byte("\xFF\xF1\x50\x80"), "take.wav: is an AAC file; "},
	{[]byte("OggS\x00\x02"), "take.wav: is an Ogg file; "},
	{[]byte("\x00\x00\x00\x20ftypM4A "), "take.wav: is an MP4 file (AAC or ALAC); "},
	{[]byte("FORM\x00\x00\x00\x2EAIFF"), "take.wav: is an AIFF file; "},
	{[]byte("MThd\x00\x00\x00\x06"), "take.wav: is a MIDI file, which holds notes and no sound; "},
	{make([]byte, 600), "take.wav: begins with nothing but zeros, as a recording does that was never finished; "},
	{[]byte{1, 2, 3, 4, 5}, "take.wav: is neither WAV nor FLAC: it begins with 01 02 03 04; "},

	{bin("RIFF", uint32(4), "WAVE"), "take.wav: byte 12: the header ends before it says what the sound is like; the file was cut short; save or record it again"},
	{riff(pcm(1, 1, 8000, 16)), "take.wav: byte 36: there is no data chunk, which holds the sound; "},
	{riff(chunk("data", []int16{1})), "take.wav: byte 20: there is no fmt chunk, which says what the sound is like; "},
	{riff(pcm(1, 1, 8000, 16)[:20]), "take.wav: byte 32: the header ends within the fmt chunk; "},
	{riff(chunk("fmt ", uint32(1), uint32(1))), "take.wav: byte 20: the fmt chunk has 8 bytes; it must have 16 or more"},
	{riff(chunk("fmt ", uint16(0xFFFE), uint16(1), uint32(8000), uint32(16000), uint16(2), uint16(16), uint16(0))),
		"take.wav: byte 20: the extensible fmt chunk has 18 bytes; it must have 40"},
	{riff(bytes.Replace(extensible(1, 1, 8000, 16, 16), guidTail[:], make([]byte, 14), 1)), "take.wav: byte 44: the sub-format 01 00 00"},
	{riff(pcm(0x55, 2, 44100, 0), chunk("data", []byte{0xFF, 0xFB})),
		"take.wav: byte 20: the sound is compressed with MP3 (format tag 0x0055); save it as PCM or float WAV, or as FLAC"},
	{riff(pcm(2, 1, 8000, 4)), "compressed with Microsoft ADPCM (format tag 0x0002); "},
	{riff(pcm(7, 1, 8000, 8)), "compressed with µ-law (format tag 0x0007); "},
	{riff(pcm(0x1234, 1, 8000, 16)), "compressed with an unknown codec (format tag 0x1234); "},
	{riff(extensible(7, 1, 8000, 8, 8)), "compressed with µ-law (format tag 0x0007); "},
	{riff(pcm(1, 0, 8000, 16)), "take.wav: byte 22: the header says 0 channels; 1 to 1024 can be read"},
	{riff(pcm(1, 2000, 8000, 16)), "the header says 2000 channels; "},
	{riff(pcm(1, 1, 0, 16)), "take.wav: byte 24: the header says 0 frames a second; 1 to 1536000 can be read"},
	{riff(pcm(1, 1, math.MaxUint32, 16)), "the header says 4294967295 frames a second; "},
	{riff(pcm(1, 1, 8000, 0)), "take.wav: byte 34: the samples are integers of 0 bits in 0 bytes; integers of 1 to 32 bits and floats of 32 or 64 bits can be read"},
	{riff(pcm(1, 1, 8000, 64)), "the samples are integers of 64 bits in 8 bytes; "},
	{riff(pcm(3, 1, 8000, 16)), "the samples are floats of 16 bits in 2 bytes; "},
	{riff(chunk("fmt ", uint16(1), uint16(2), uint32(8000), uint32(0), uint16(3), uint16(16))),
		"take.wav: byte 32: a frame of 2 channels and 16 bits cannot take 3 bytes; 4 bytes would be right"},
	{riff(pcm(1, 1, 8000, 16), chunk("LIST", "wavl", chunk("data", []int16{1}))), "take.wav: byte 44: the sound is cut into a list of pieces (LIST wavl); "},

	{[]byte("fLaC"), "take.wav: byte 4: the FLAC header is cut short; save or record it again"},
	{[]byte("fLaC\x80\x00\x00\x22\x00\x01\x00\x01"), "take.wav: byte 12: the FLAC header is cut short; save or record it again"},
	{slices.Concat([]byte("fLaC\x80\x00\x00\x22"), streamInfo(4096, 48000, 2, 32, 0)), "take.wav: the FLAC file has samples of 32 bits; 4 to 24 bits can be read"},
}

func TestBadFiles(t *testing.T) {
	for _, c := range badFiles {
		_, err := NewReader(bytes.NewReader(c.file), "take.wav")
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.40q:\n got %v\nwant %s", c.file, err, c.want)
		}
		plainly(t, "take.wav", err)
	}
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	good := filepath.Join(dir, "take.wav")
	if err := os.WriteFile(good, goodFiles[0].file, 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := Open(good)
	if err != nil {
		t.Fatal(err)
	}
	buf := make([]float32, 2)
	if n, err := r.Read(buf[:0]); n != 0 || err != io.ErrShortBuffer {
		t.Errorf("Read into nothing: %d, %v", n, err)
	}
	if n, err := r.Read(buf); n != 2 || err != nil {
		t.Errorf("Read: %d, %v", n, err)
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	if _, err := r.Read(buf); err == nil || err.Error() != good+": was closed before its end was read: file already closed" {
		t.Errorf("Read after Close: %v", err)
	}
	for path, want := range map[string]string{
		filepath.Join(dir, "none.wav"): "none.wav: there is no such file",
		dir:                            ": is a folder; a WAV file",
		"/dev/null":                    "/dev/null: is a device or a pipe; a WAV file",
	} {
		if _, err := Open(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Open(%q): %v, want %q", path, err, want)
		}
	}
}

// TestCutWhileRead cuts a file between opening and reading.
func TestCutWhileRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "take.wav")
	if err := os.WriteFile(path, goodFiles[0].file, 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if err := os.Truncate(path, int64(len(goodFiles[0].file)-3)); err != nil {
		t.Fatal(err)
	}
	if got := readAll(t, r, 8); len(got) != 2 {
		t.Errorf("%d samples read, want 2", len(got))
	}
	if n := r.Notes(); len(n) != 1 || !strings.Contains(n[0], "cut short while it was read, after 2 frames") {
		t.Errorf("notes %q", n)
	}
}

// TestEveryTruncation cuts files at every byte: each gives a clear error or
// the samples that are there.
func TestEveryTruncation(t *testing.T) {
	files := map[string][]byte{"flac": smallFLAC(t)}
	for _, c := range goodFiles {
		files[c.name] = c.file
	}
	for name, file := range files {
		whole := readAll(t, open(t, file), 64)
		for n := range file {
			r, err := NewReader(bytes.NewReader(file[:n]), "cut.wav")
			if err != nil {
				if !strings.HasPrefix(err.Error(), "cut.wav: ") {
					t.Fatalf("%s cut at %d: %v", name, n, err)
				}
				continue
			}
			got, err := drain(t, r, 7)
			if err != nil {
				t.Fatalf("%s cut at %d: %v", name, n, err)
			}
			if strings.Contains(name, "streamed") || strings.Contains(name, "empty") {
				continue
			}
			if len(got) > len(whole) || !slices.Equal(got, whole[:len(got)]) {
				t.Fatalf("%s cut at %d: read %v of %v", name, n, got, whole)
			}
		}
	}
}

// hostileFiles claim sizes that they don't have.
func hostileFiles() map[string][]byte {
	const huge = math.MaxUint32
	head := bin("RIFF", uint32(huge), "WAVE")
	sound := slices.Concat(pcm(1, 1, 8000, 16), chunk("data", []int16{1}))
	f := map[string][]byte{
		"unknown chunk": slices.Concat(head, bin("JUNK", uint32(huge))),
		"fmt":           slices.Concat(head, bin("fmt ", uint32(huge)), make([]byte, 64)),
		"cue":           slices.Concat(head, sound, bin("cue ", uint32(huge), uint32(huge))),
		"list":          slices.Concat(head, sound, bin("LIST", uint32(huge), "adtl")),
		"label":         slices.Concat(head, sound, bin("LIST", uint32(huge), "adtllabl", uint32(huge), uint32(1), "a")),
		"ds64": slices.Concat([]byte("RF64"), head[4:], chunk("ds64", uint64(math.MaxInt64), uint64(math.MaxInt64), uint64(1)),
			pcm(1, 1, 8000, 16), bin("data", uint32(huge))),
		"most channels": riff(pcm(1, 1024, 8000, 32), chunk("data", make([]byte, 4096))),
		"flac": slices.Concat([]byte("fLaC\x80\x00\x00\x22"), streamInfo(65535, 655350, 8, 24, 1<<36-1),
			[]byte("\xFF\xF8\x79\x88\x00\xFF\xFE")),
		"flac block": slices.Concat([]byte("fLaC\x04\xFF\xFF\xFF")),
	}
	f["empty chunks"] = slices.Concat(head, bytes.Repeat([]byte("JUNK\x00\x00\x00\x00"), 100000))
	f["empty labels"] = slices.Concat(head, sound, bin("LIST", uint32(huge), "adtl"),
		bytes.Repeat([]byte("labl\x04\x00\x00\x00\x01\x00\x00\x00"), 100000))
	return f
}

// TestHostileSizes holds the memory for opening and reading under a ceiling,
// whatever the header claims.
func TestHostileSizes(t *testing.T) {
	for name, file := range hostileFiles() {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if r, err := NewReader(bytes.NewReader(file), "x"); err == nil {
			buf := make([]float32, 4096)
			for err == nil {
				_, err = r.Read(buf)
			}
			r.Marks()
		}
		runtime.ReadMemStats(&after)
		if n := after.TotalAlloc - before.TotalAlloc; n > 8<<20 {
			t.Errorf("%s: %d KiB allocated for a file of %d bytes", name, n>>10, len(file))
		}
	}
}

// TestManyMarks reads more cue points and labels than are kept.
func TestManyMarks(t *testing.T) {
	var cues, labels []byte
	text := strings.Repeat("x", 100)
	for i := range uint32(70000) {
		cues = append(cues, cueAt(i, i)...)
		labels = append(labels, chunk("labl", i, text)...)
	}
	r := open(t, riff(pcm(1, 1, 8000, 16), chunk("data", []int16{1}), chunk("cue ", uint32(70000), cues), chunk("LIST", "adtl", labels)))
	if n := len(r.Marks()); n != maxCues || len(r.Notes()) != 2 {
		t.Errorf("%d marks, notes %q", n, r.Notes())
	}
}

func TestReadAllocatesNothing(t *testing.T) {
	r := open(t, write(t, Format{48000, 2, Int24}, make([]float32, 2<<20), 4096))
	buf := make([]float32, 4096)
	m := Mono(r)
	m.Read(buf)
	if n := testing.AllocsPerRun(100, func() { m.Read(buf) }); n != 0 {
		t.Errorf("%v allocations a Read", n)
	}
}

func TestMono(t *testing.T) {
	file := write(t, Format{8000, 2, Float32}, []float32{1, 0, 0.5, 0.25, -1, 1}, 6, Mark{1, "a"})
	m := Mono(open(t, file))
	if got := readAll(t, m, 2); !slices.Equal(got, []float32{0.5, 0.375, 0}) {
		t.Errorf("mixed %v", got)
	}
	if i := m.Info(); i.Channels != 1 || i.Frames != 3 || len(m.Notes()) != 0 || len(m.Marks()) != 1 {
		t.Errorf("%+v %v %v", i, m.Notes(), m.Marks())
	}
	for c, want := range [][]float32{{1, 0.5, -1}, {0, 0.25, 1}} {
		r, err := Channel(open(t, file), c)
		if err != nil {
			t.Fatal(err)
		}
		if got := readAll(t, r, 2); !slices.Equal(got, want) {
			t.Errorf("channel %d: %v", c, got)
		}
	}
	for _, c := range []int{-1, 2} {
		if _, err := Channel(open(t, file), c); err == nil {
			t.Errorf("channel %d was picked", c)
		}
	}

	cancelling := Mono(open(t, write(t, Format{8000, 2, Float32}, []float32{1, -1, 0.5, -0.49}, 4)))
	readAll(t, cancelling, 2)
	if n := cancelling.Notes(); len(n) != 1 || !strings.Contains(n[0], "all but cancel") {
		t.Errorf("notes %q", n)
	}
	silent := Mono(open(t, write(t, Format{8000, 2, Float32}, []float32{0, 0}, 2)))
	readAll(t, silent, 2)
	if n := silent.Notes(); len(n) != 0 {
		t.Errorf("silence: notes %q", n)
	}
}

// streamInfo is the body of a FLAC STREAMINFO block (RFC 9639, section 8.2).
func streamInfo(block, rate, channels, bits, samples uint64) []byte {
	b := make([]byte, 34)
	binary.BigEndian.PutUint16(b[0:], uint16(block))
	binary.BigEndian.PutUint16(b[2:], uint16(block))
	binary.BigEndian.PutUint64(b[10:], rate<<44|(channels-1)<<41|(bits-1)<<36|samples)
	return b
}
