package export

import (
	"fmt"
	"path/filepath"
	"strings"

	"footing/files"
)

// Kind is a kind of file.
type Kind uint8

// The kinds. WAV and FLAC hold the same samples; only WAV has marks, only FLAC tags. MIDI
// holds notes.
const (
	WAV Kind = iota
	FLAC
	MIDI
)

var endings = [...]string{WAV: "wav", FLAC: "flac", MIDI: "mid"}

// Endings are the ends of the names of files, without a dot, one for each kind.
func Endings() []string { return append([]string(nil), endings[:]...) }

// String is the end of the names of such files: "wav", "flac", "mid".
func (k Kind) String() string { return endings[min(int(k), len(endings)-1)] }

// KindOf is the kind that a file's name asks for by its end.
func KindOf(path string) (Kind, error) {
	switch end := strings.ToLower(filepath.Ext(path)); end {
	case ".wav":
		return WAV, nil
	case ".flac":
		return FLAC, nil
	case ".mid", ".midi":
		return MIDI, nil
	}
	return 0, fmt.Errorf("%s: the end of the name says what is written; write a name that ends in .wav, .flac or .mid", files.Name(path))
}

// ParseKind reads what [Kind.String] writes.
func ParseKind(word string) (Kind, error) {
	for k, end := range endings {
		if strings.EqualFold(word, end) {
			return Kind(k), nil
		}
	}
	return 0, fmt.Errorf("%q is no kind of file; write wav, flac or mid", word)
}
