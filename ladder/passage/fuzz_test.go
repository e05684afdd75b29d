package passage_test

import (
	"os"
	"path/filepath"
	"testing"

	"footing/ladder/passage"
)

// seeds are our own cases and the files to refuse, and the suite's where it lies
// beside the checkout.
func seeds(f *testing.F, archives bool) {
	patterns := []string{filepath.Join("testdata", "made", "*.m*"), filepath.Join("testdata", "bad", "*.m*")}
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		patterns = append(patterns, filepath.Join(data, "musicxml", "*.*x*"))
	}
	n := 0
	for _, pattern := range patterns {
		names, _ := filepath.Glob(pattern)
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			if passage.IsArchive(data) == archives && len(data) < 100_000 {
				f.Add(data)
				n++
			}
		}
	}
	if n == 0 {
		f.Fatal("no seeds")
	}
}

var tight = passage.Limits{Bytes: 1 << 20, Bars: 500, Notes: 5000, Played: 2000}

func fuzz(f *testing.F, archives bool) {
	seeds(f, archives)
	f.Fuzz(func(t *testing.T, data []byte) {
		if passage.IsArchive(data) != archives {
			return
		}
		s, _, err := read(data, tight)
		if err == nil {
			checkLaws(t, s)
		} else if s != nil {
			t.Errorf("a score comes with the error %v", err)
		}
	})
}

func FuzzRead(f *testing.F)    { fuzz(f, false) }
func FuzzArchive(f *testing.F) { fuzz(f, true) }
