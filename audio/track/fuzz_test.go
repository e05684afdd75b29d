package track

import (
	"bytes"
	"encoding/binary"
	"io"
	"slices"
	"testing"
)

// fuzzRead opens and reads a file and holds what comes to the contract.
func fuzzRead(t *testing.T, file []byte) {
	r, err := NewReader(bytes.NewReader(file), "fuzz")
	if err != nil {
		if r != nil {
			t.Fatalf("%v with error %v", r, err)
		}
		plainly(t, "fuzz", err)
		return
	}
	info := r.Info()
	if info.Rate < 1 || info.Channels < 1 || info.Channels > maxChannels || info.Frames < -1 || info.Bits < 1 ||
		info.Bits > 8*info.Encoding.bytes() || info.Container != "WAV" && info.Container != "FLAC" {
		t.Fatalf("%+v", info)
	}
	if info.Container == "WAV" && info.Frames > int64(len(file)) {
		t.Fatalf("%d frames in a file of %d bytes", info.Frames, len(file))
	}
	samples, err := drain(t, r, 512)
	if info.Container == "WAV" && (err != nil || int64(len(samples)/info.Channels) != info.Frames) {
		t.Fatalf("%d samples of %+v, then %v", len(samples), info, err)
	}
	if err != nil {
		plainly(t, "fuzz", err)
	}
	for _, note := range r.Notes() {
		if jargon.MatchString(note) {
			t.Errorf("jargon: %s", note)
		}
	}
	marks := r.Marks()
	if !slices.IsSortedFunc(marks, byFrame) || len(marks) > maxCues {
		t.Fatalf("%d marks: %v", len(marks), marks)
	}

	// Through the mix and the resampler, as an analysis reads it.
	again, err := NewReader(bytes.NewReader(file), "fuzz")
	if err != nil {
		t.Fatal(err)
	}
	if rs, err := Resample(Mono(again), 22050); err == nil && rs.Info().Frames < 1<<14 {
		drain(t, &bounded{rs, 1 << 14}, 512)
		rs.Notes()
	}
}

// bounded ends a reader after so many samples: a rate of 100 Hz makes much of little.
type bounded struct {
	Reader
	left int
}

func (b *bounded) Read(dst []float32) (int, error) {
	if b.left <= 0 {
		return 0, io.EOF
	}
	n, err := b.Reader.Read(dst)
	b.left -= n
	return n, err
}

func FuzzWAV(f *testing.F) {
	for _, c := range goodFiles {
		f.Add(c.file)
	}
	for _, c := range badFiles {
		f.Add(c.file)
	}
	for name, file := range hostileFiles() {
		if len(file) < 10000 {
			f.Add(file)
		} else if name == "" {
			f.Fatal("a hostile file has no name")
		}
	}
	f.Fuzz(fuzzRead)
}

func FuzzFLAC(f *testing.F) {
	f.Add(smallFLAC(f))
	f.Fuzz(fuzzRead)
}

// FuzzFLACBlock gets past the checksum of the block's header, which a fuzzer
// can't guess: it makes a right file header and block header before the
// fuzzed bytes (RFC 9639, sections 8.2 and 9.1).
func FuzzFLACBlock(f *testing.F) {
	f.Add(byte(1), byte(4), byte(16), []byte("\x00\x01\x00\x00\x00\x02\x00\x00"))
	f.Add(byte(10), byte(8), byte(24), []byte("\x10\x01\x02\x03\x00\x40\x10\xFF\xFF"))
	f.Add(byte(8), byte(0), byte(8), []byte("\x7F\x01\x02\x03\x00\x40\x10\xFF\xFF"))
	f.Add(byte(0), byte(255), byte(12), []byte("\x03\xFF\x00"))
	f.Fuzz(func(t *testing.T, channels, blockSize, bits byte, body []byte) {
		widths := map[byte]byte{8: 1, 12: 2, 16: 4, 20: 5, 24: 6}
		code := widths[bits] // 0 says: as in the file's header
		channels %= 11
		n := uint64(channels) + 1
		if channels > 7 {
			n = 2
		}
		block := []byte{0xFF, 0xF8, 0x60, channels<<4 | code<<1, 0, blockSize}
		block = append(block, crc8(block))
		block = append(block, body...)
		block = binary.BigEndian.AppendUint16(block, crc16(block))
		fuzzRead(t, slices.Concat([]byte("fLaC\x80\x00\x00\x22"), streamInfo(256, 48000, n, uint64(max(1, bits%33)), 0), block, block))
	})
}

// crc8 has the polynomial x^8+x^2+x+1, crc16 x^16+x^15+x^2+1 (RFC 9639, sections 9.1.8 and 9.3).
func crc8(b []byte) (c byte) {
	for _, v := range b {
		c ^= v
		for range 8 {
			c = c<<1 ^ byte(int8(c)>>7)&0x07
		}
	}
	return c
}

func crc16(b []byte) (c uint16) {
	for _, v := range b {
		c ^= uint16(v) << 8
		for range 8 {
			c = c<<1 ^ uint16(int16(c)>>15)&0x8005
		}
	}
	return c
}
