package track

import (
	"bytes"
	"errors"
	"io"
	"os/exec"
	"strings"

	"pgregory.net/rapid"

	"footing/audio/takes/wav"
)

// memFile is a file in memory. Where room is set, it is full after so many bytes.
type memFile struct {
	b    []byte
	at   int
	room int
}

var errFull = errors.New("no space left on device")

func (m *memFile) Write(p []byte) (int, error) {
	n := len(p)
	if m.room > 0 && m.at+n > m.room {
		n = max(0, m.room-m.at)
	}
	if need := m.at + n; need > len(m.b) {
		m.b = append(m.b, make([]byte, need-len(m.b))...)
	}
	copy(m.b[m.at:], p[:n])
	m.at += n
	if n < len(p) {
		return n, errFull
	}
	return n, nil
}

func (m *memFile) Seek(offset int64, whence int) (int64, error) {
	switch whence {
	case io.SeekStart:
		m.at = int(offset)
	case io.SeekCurrent:
		m.at += int(offset)
	case io.SeekEnd:
		m.at = len(m.b) + int(offset)
	}
	return int64(m.at), nil
}

// Files made by hand.
var (
	bin        = wav.Bytes
	riff       = wav.RIFF
	chunk      = wav.Chunk
	pcm        = wav.Format
	extensible = wav.Extensible
)

func open(t rapid.TB, b []byte) Reader {
	t.Helper()
	r, err := NewReader(bytes.NewReader(b), "take.wav")
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// readAll reads to the end in pieces of at most n samples and holds the reader
// to its contract.
func readAll(t rapid.TB, r Reader, n int) []float32 {
	t.Helper()
	all, err := drain(t, r, n)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// drain is readAll for files that may be broken. It checks the four cases of
// [Reader.Read] and returns the error of the fourth.
func drain(t rapid.TB, r Reader, n int) (all []float32, err error) {
	t.Helper()
	info := r.Info()
	buf := make([]float32, max(n, info.Channels))
	for {
		n, err := r.Read(buf)
		if n < 0 || n > len(buf) || n%info.Channels != 0 {
			t.Fatalf("Read returned %d samples of %d channels into %d", n, info.Channels, len(buf))
		}
		if (n > 0) == (err != nil) {
			t.Fatalf("Read returned %d samples with error %v", n, err)
		}
		for _, v := range buf[:n] {
			if !(v <= 1e30 && v >= -1e30) {
				t.Fatalf("Read gave the sample %v", v)
			}
		}
		all = append(all, buf[:n]...)
		if err != nil {
			if n, again := r.Read(buf); n != 0 || again != err {
				t.Fatalf("after the error %v, Read returned %d, %v", err, n, again)
			}
			if err == io.EOF {
				if info.Frames >= 0 && int64(len(all)/info.Channels) > info.Frames {
					t.Fatalf("%d frames read of %d", len(all)/info.Channels, info.Frames)
				}
				return all, nil
			}
			return all, err
		}
	}
}

// write writes samples in pieces of n and returns the file.
func write(t rapid.TB, f Format, samples []float32, n int, marks ...Mark) []byte {
	t.Helper()
	var m memFile
	w, err := NewWriter(&m, f)
	if err != nil {
		t.Fatal(err)
	}
	for len(samples) > 0 {
		k := min(len(samples), n)
		if err := w.Write(samples[:k]); err != nil {
			t.Fatal(err)
		}
		samples = samples[k:]
	}
	for _, k := range marks {
		if err := w.Mark(k.Frame, k.Label); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if m.at != len(m.b) {
		t.Errorf("Close left the file at byte %d of %d", m.at, len(m.b))
	}
	return m.b
}

// run runs an independent tool in dir and returns its standard output.
func run(t rapid.TB, dir, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Fatalf("%s is needed as an independent judge; apt-get install sox flac", tool)
	}
	cmd := exec.Command(tool, args...)
	cmd.Dir = dir
	var warnings strings.Builder
	cmd.Stderr = &warnings
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", tool, args, err, warnings.String())
	}
	return string(out)
}
