package spoken

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"footing/audio/track"
)

// A Voice is words as they sound at one rate. It keeps what it has shortened, so that
// only one goroutine may use it at a time.
type Voice struct {
	rate  int
	words map[string]word
	short map[shortened][]float32
}

// word is a recorded word.
type word struct {
	samples []float32
	vowel   int // the frame at which its vowel begins
}

// Bounds of what is read as a word: far more than any word needs.
const (
	maxFile    = 4 << 20 // bytes
	maxSeconds = 3
)

// vowelMark labels the mark in a file at which its vowel begins.
const vowelMark = "vowel"

// Load reads a voice at rate frames a second from folders, of which the first that has
// a word counts. A word is a WAV or FLAC file named after it: 1.wav, and.flac, ta.wav.
// Its vowel begins at the mark "vowel", or, where the file has none, where the sound
// first reaches half of its peak. Only plain files are read. The error names the one
// that cannot be.
func Load(ctx context.Context, rate int, folders ...fs.FS) (*Voice, error) {
	v := &Voice{rate: rate, words: map[string]word{}, short: map[shortened][]float32{}}
	for _, folder := range folders {
		entries, err := fs.ReadDir(folder, ".")
		if err != nil {
			return nil, fmt.Errorf("read the words of a voice: %w", err)
		}
		for _, e := range entries {
			name, ok := wordOf(e.Name())
			if _, there := v.words[name]; !ok || there || !e.Type().IsRegular() {
				continue
			}
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			w, err := read(folder, e.Name(), rate)
			if err != nil {
				return nil, fmt.Errorf("read the word %q of a voice: %w", name, err)
			}
			v.words[name] = w
		}
	}
	return v, nil
}

// wordOf is the word that a file is named after.
func wordOf(file string) (string, bool) {
	ext := path.Ext(file)
	switch strings.ToLower(ext) {
	case ".wav", ".flac":
		return strings.TrimSuffix(file, ext), true
	}
	return "", false
}

func read(folder fs.FS, name string, rate int) (word, error) {
	f, err := folder.Open(name)
	if err != nil {
		return word{}, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	switch {
	case err != nil:
		return word{}, err
	case len(data) > maxFile:
		return word{}, fmt.Errorf("%s is larger than %d MB; record one word", name, maxFile>>20)
	}
	raw, err := track.NewReader(bytes.NewReader(data), name)
	if err != nil {
		return word{}, err
	}
	at, err := track.Resample(track.Mono(raw), rate)
	if err != nil {
		return word{}, err
	}
	w := word{vowel: -1}
	for buf := make([]float32, 4096); ; {
		n, err := at.Read(buf)
		w.samples = append(w.samples, buf[:n]...)
		switch {
		case len(w.samples) > maxSeconds*rate:
			return word{}, fmt.Errorf("%s lasts longer than %d s; record one word", name, maxSeconds)
		case errors.Is(err, io.EOF):
			return w.heard(at.Marks(), name)
		case err != nil:
			return word{}, err
		}
	}
}

// heard is the word with its vowel found.
func (w word) heard(marks []track.Mark, name string) (word, error) {
	peak := float32(0)
	for _, s := range w.samples {
		peak = max(peak, s, -s)
	}
	if peak == 0 {
		return word{}, fmt.Errorf("%s is silent; record a word", name)
	}
	for _, m := range marks {
		if m.Label == vowelMark && m.Frame >= 0 && m.Frame < int64(len(w.samples)) {
			w.vowel = int(m.Frame)
		}
	}
	for i := 0; w.vowel < 0; i++ {
		if s := w.samples[i]; max(s, -s) >= peak/2 {
			w.vowel = i
		}
	}
	return w, nil
}
