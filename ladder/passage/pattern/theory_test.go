package pattern_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footing/ladder/passage/pattern"
)

// theory is a file of testdata/theory, whose README says what it holds and where
// it is from: spelled with tonal 6.5.1 (MIT) and checked by a second program; the
// order of the figures is common practice, no source.
type theory struct {
	Scales     map[string]map[string]string          `json:"scales"`
	Modes      map[string]string                     `json:"modes"`
	Thirds     map[string]map[string]string          `json:"in_thirds"`
	Fourths    map[string]map[string]string          `json:"in_fourths"`
	Triads     map[string]map[string]string          `json:"broken_triads"`
	Arpeggios  map[string]map[string]string          `json:"arpeggios"`
	Chromatic  map[string]map[string]string          `json:"chromatic"`
	WholeTone  map[string]map[string]string          `json:"whole_tone"`
	WholeRange map[string]map[string]json.RawMessage `json:"whole_range"`
}

func TestTheory(t *testing.T) {
	folder := filepath.Join("testdata", "theory")
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		folder = filepath.Join(data, "theory")
	}
	files, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no lists: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var lists theory
			if err := json.Unmarshal(data, &lists); err != nil {
				t.Fatal(err)
			}
			lists.check(t)
		})
	}
}

func (lists theory) check(t *testing.T) {
	n := 0
	want := func(pitches string, w pattern.Words) {
		t.Helper()
		n++
		answer, err := pattern.Answer(w)
		if got := strings.Join(answer.Pitches, " "); err != nil || got != pitches {
			t.Errorf("%+v: %v\n got %s\nwant %s", w, err, got, pitches)
		}
	}
	octaves := map[string]int{"one_octave": 1, "two_octaves": 2}
	for key, l := range lists.Scales {
		for name, o := range octaves {
			want(l[name], pattern.Words{Key: key, Figure: "scale", Octaves: o})
		}
	}
	for key, l := range lists.Modes {
		want(l, pattern.Words{Key: key, Figure: "scale"})
	}
	for name, figure := range map[string]map[string]map[string]string{"thirds": lists.Thirds, "fourths": lists.Fourths, "broken triads": lists.Triads} {
		for key, l := range figure {
			for _, way := range []string{"up", "down"} {
				want(l[way], pattern.Words{Key: key, Figure: name + " " + way})
			}
		}
	}
	for key, l := range lists.Arpeggios {
		for name, o := range octaves {
			want(l[name], pattern.Words{Key: key, Figure: "arpeggio", Octaves: o})
			chord, in, found := strings.Cut(strings.TrimSuffix(key, ")"), " (in ")
			if found { // by the chord's name and the key
				_, figure, _ := strings.Cut(chord, " ")
				from, _, _ := strings.Cut(l[name], " ")
				want(l[name], pattern.Words{Key: in, Figure: figure, Octaves: o, From: from})
			}
		}
	}
	for key, l := range lists.Chromatic {
		for _, way := range []string{"up", "down"} {
			want(l[way], pattern.Words{Key: key, Figure: "chromatic " + way})
		}
	}
	for key, l := range lists.WholeTone {
		for _, signs := range []string{"sharpened", "flattened"} {
			want(l[signs], pattern.Words{Key: key, Figure: "whole tone " + signs})
		}
	}
	for _, instrument := range lists.WholeRange {
		var bounds [2]string
		if err := json.Unmarshal(instrument["range"], &bounds); err != nil {
			var joined string
			if err := json.Unmarshal(instrument["range"], &joined); err != nil {
				t.Fatal(err)
			}
			bounds = [2]string(strings.Fields(joined))
		}
		for key, raw := range instrument {
			var l struct{ Notes string }
			if key == "range" || json.Unmarshal(raw, &l) != nil {
				continue
			}
			want(l.Notes, pattern.Words{Key: key, Figure: "scale", Range: bounds[0] + "-" + bounds[1]})
		}
	}
	if t.Logf("%d lists", n); n < 80 {
		t.Error("some lists are missing")
	}
}
