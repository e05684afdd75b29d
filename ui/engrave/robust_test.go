package engrave_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
)

// Whatever a score holds, and however narrow the line, laying out ends, gives
// numbers, and names notes that are there.
func TestAnyScoreAtAnyWidth(t *testing.T) {
	folders := []string{filepath.Join("..", "..", "ladder", "passage", "testdata", "made")}
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		folders = append(folders, filepath.Join(data, "musicxml"))
	}
	for _, folder := range folders {
		files, _ := filepath.Glob(filepath.Join(folder, "*.*xml"))
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			s, _, err := passage.Read(t.Context(), bytes.NewReader(data), passage.Limits{})
			if err != nil {
				t.Fatal(err)
			}
			for i := range s.Parts {
				l := s.Parts[i].Lines()[0]
				e := engrave.Bars(l, 0, len(l.Part.Bars)-1)
				pencil := []engrave.PencilMark{{Note: 0, Text: "R"}, {Note: len(l.Notes) / 2, Text: "a caution"}}
				for _, o := range []engrave.Options{{Width: 1}, {Width: 20, Pencil: pencil}, {Width: 33, Even: true}, {Width: 400, Numbers: true, Between: 3, KeepFrom: click.Whole(2), KeepTo: click.Whole(8)}} {
					d, err := engrave.Layout(e, o)
					if err == nil {
						sound(t, filepath.Base(file), l, d)
					}
				}
				for _, from := range []passage.Quarters{{}, click.Frac(1, 2), click.Whole(5)} {
					part := engrave.Excerpt{Line: l, From: from, To: from.Add(click.Frac(9, 4))}
					d, err := engrave.Bound(part, engrave.Lane{Width: 60, At: func(q passage.Quarters) float64 { return 20 + 9*q.Sub(from).Float() }, Breath: 50})
					if err == nil {
						sound(t, filepath.Base(file), l, d)
					}
				}
			}
		}
	}
}

func sound(t *testing.T, name string, l passage.Line, d *engrave.Drawing) {
	t.Helper()
	for _, s := range d.Shapes {
		for _, v := range []float64{s.X, s.Y, s.X2, s.Y2, s.Bend, s.Thick, s.Size} {
			if math.IsNaN(v) || math.Abs(v) > 1e5 {
				t.Fatalf("%s: a shape lies at %+v", name, s)
			}
		}
		if ink := s.Ink(); ink.Y0 < 0 || ink.Y1 > d.Height {
			t.Fatalf("%s: a shape lies outside the drawing's height of %v: %+v", name, d.Height, s)
		}
		if s.Note < -1 || s.Last >= len(l.Notes) {
			t.Fatalf("%s: a shape belongs to notes %d to %d of %d", name, s.Note, s.Last, len(l.Notes))
		}
	}
	for i := 1; i < len(d.Systems); i++ {
		if d.Systems[i-1].Ink.Y1 > d.Systems[i].Ink.Y0 {
			t.Fatalf("%s: lines %d and %d overlap", name, i-1, i)
		}
	}
}
