package track

import (
	"bytes"
	"context"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
)

// What is handed over in pieces of any size stands in the file in order, also where the
// disk does not take whole blocks past the cache: behind a single byte none is aligned.
// What is written after going back stands where it went.
func TestBehindFile(t *testing.T) {
	for _, ahead := range []int{0, 1} {
		for seed := range 3 {
			file, err := os.Create(filepath.Join(t.TempDir(), "a"))
			if err != nil {
				t.Fatal(err)
			}
			want := make([]byte, ahead)
			if _, err := file.Write(want); err != nil {
				t.Fatal(err)
			}
			b := newBehindFile(context.Background(), file)
			source := rand.NewChaCha8([32]byte{byte(seed)})
			draw := rand.New(source)
			sizes := []int{firstBytes, blockBytes, firstBytes + 2*blockBytes, 1, 0, 4095, 100_000}
			for range 6 {
				p := make([]byte, sizes[draw.IntN(len(sizes))])
				_, _ = source.Read(p) // never fails
				want = append(want, p...)
				if n, err := b.Write(p); n != len(p) || err != nil {
					t.Fatalf("%d of %d bytes, %v", n, len(p), err)
				}
				clear(p) // whoever writes may use its bytes again
			}
			if len(want) > 4 {
				if at, err := b.Seek(3, io.SeekStart); at != 3 || err != nil {
					t.Fatalf("at %d, %v", at, err)
				}
				if _, err := b.Write([]byte{9}); err != nil {
					t.Fatal(err)
				}
				want[3] = 9
			}
			if err := b.close(); err != nil {
				t.Fatal(err)
			}
			if got, err := os.ReadFile(file.Name()); err != nil || !bytes.Equal(got, want) {
				t.Errorf("behind %d bytes, seed %d: %d bytes, %v, want others or %d", ahead, seed, len(got), err, len(want))
			}
			file.Close()
		}
	}
}

// A disk that fails is told of by a later write, or at the end, and not written to again.
func TestBehindFileFails(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a")
	if err := os.WriteFile(name, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	file, err := os.Open(name) // only to be read
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	b := newBehindFile(context.Background(), file)
	p := make([]byte, blockBytes)
	for range 2 * blocks {
		if _, err := b.Write(p); err != nil {
			break
		}
	}
	if err := b.close(); err == nil {
		t.Error("what could not be written is no error")
	}
}

// Blocks begin where a disk takes them from.
func TestBlocksAreAligned(t *testing.T) {
	for _, size := range []int{firstBytes, blockBytes, blockAlign} {
		b := aligned(size)
		if at := address(b); at%blockAlign != 0 || len(b) != 0 || cap(b) != size {
			t.Errorf("%d bytes at %#x, room for %d", len(b), at, cap(b))
		}
	}
}

// Samples that come again are written as they were the first time, in every encoding,
// beside others and in any order; clipped ones are counted each time.
func TestWriteKept(t *testing.T) {
	sounds := [][]float32{make([]float32, 3000), make([]float32, 8000), make([]float32, 50)}
	for i, s := range sounds {
		for k := range s {
			s[k] = float32(i+1) / 4 * float32(k%97) / 97
		}
	}
	sounds[2][7] = 1.5
	for _, e := range []Encoding{Int16, Int24, Float32} {
		for _, channels := range []int{1, 2} {
			f := Format{48_000, channels, e}
			plain, kept := &memFile{}, &memFile{}
			a, err := NewWriter(plain, f)
			if err != nil {
				t.Fatal(err)
			}
			b, err := NewWriter(kept, f)
			if err != nil {
				t.Fatal(err)
			}
			draw := rand.New(rand.NewPCG(1, 2))
			for range 300 {
				s := sounds[draw.IntN(len(sounds))]
				s = s[:2*draw.IntN(len(s)/2+1)]
				write := b.WriteKept
				if draw.IntN(3) == 0 {
					write = b.Write
				}
				if err := a.Write(s); err != nil {
					t.Fatal(err)
				}
				if err := write(s); err != nil || a.Frames() != b.Frames() || a.Clipped() != b.Clipped() {
					t.Fatalf("%v: %d frames, %d clipped, %v, want %d and %d", f, b.Frames(), b.Clipped(), err, a.Frames(), a.Clipped())
				}
			}
			if err := a.Close(); err != nil {
				t.Fatal(err)
			}
			if err := b.Close(); err != nil || !bytes.Equal(plain.b, kept.b) {
				t.Errorf("%v: %v, or the files differ", f, err)
			}
			if b.WriteKept(sounds[0]) == nil {
				t.Error("a closed file is written to")
			}
		}
	}
	w, err := NewWriter(&memFile{}, Format{48_000, 2, Int16})
	if err != nil {
		t.Fatal(err)
	}
	if w.WriteKept(sounds[0][:3]) == nil {
		t.Error("half a frame is written")
	}
	for i := range 2000 { // what is kept has a bound
		s := make([]float32, 3000)
		if err := w.WriteKept(s); err != nil || w.kept > mostKept {
			t.Fatalf("after %d sounds %d bytes are kept, %v", i, w.kept, err)
		}
	}
}
