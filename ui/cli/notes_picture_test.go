package cli

import (
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const drawnRuns = `footing: 1
name: Runs
steps:
  - name: Weir Street run
    passage: {bars: 17-18}
    slots: 4
    chunk: {start: "17:1", beats: 2}
    key: B flat major
    unit: 1/16
    notes: |
      B,,C,D,E, F,G,A,B, CDEF GABc | cBAG FEDC B,A,G,F, E,D,C,B,, |
    marks:
      - {at: "17:2", text: flick}
  - name: Long tones
`

func TestNotesAreDrawn(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "runs.yaml")
	if err := os.WriteFile(file, []byte(drawnRuns), 0o600); err != nil {
		t.Fatal(err)
	}
	picture := func(name string, args ...string) *os.File {
		t.Helper()
		out := filepath.Join(dir, name)
		code, said, errs := run(t, append([]string{"notes", "-o", out}, args...)...)
		if code != Done || errs != "" || !strings.Contains(said, "in 1 line") {
			t.Fatalf("status %d, %q, %q", code, said, errs)
		}
		f, err := os.Open(out)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	for _, night := range []string{"", "--night"} {
		args := []string{file, "--step", "Weir Street run"}
		if night != "" {
			args = append(args, night)
		}
		img, err := png.Decode(picture("run.png", args...))
		if err != nil {
			t.Fatal(err)
		}
		r, _, _, _ := img.At(1, 1).RGBA()
		if dark := r>>8 < 0x80; dark != (night != "") || img.Bounds().Dx() > notesWidth || img.Bounds().Dy() < 4*notesMargin {
			t.Errorf("%q: %v on a ground of %x", night, img.Bounds(), r>>8)
		}
	}
	shapes := 0
	for d := xml.NewDecoder(picture("part.svg", score("made-24-marks-of-a-wind-part.musicxml"))); ; shapes++ {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if shapes < 50 {
		t.Errorf("the drawing has %d elements", shapes)
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "runs.yaml")
	if err := os.WriteFile(file, []byte(drawnRuns), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out.png")
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{file, "-o", filepath.Join(dir, "out.pdf")}, FaultUsage, "ends in .png or .svg"},
		{[]string{file, "-o", out}, FaultUsage, "has 2 steps; write --step"},
		{[]string{file, "--step", "Long tones", "-o", out}, FaultInput, "has no notes"},
		{[]string{file, "--night"}, FaultUsage, "--night belongs to a picture"},
		{[]string{"--pattern", "C major", "-o", out}, FaultUsage, "-o belongs to a score or a routine"},
		{[]string{score("made-28-three-parts.musicxml"), "-o", out}, FaultUsage, "3 parts; write --part"},
	} {
		code, _, errs := run(t, append([]string{"notes"}, c.args...)...)
		if code != c.code || !strings.Contains(errs, c.want) {
			t.Errorf("%v: status %d, %q, want %d and %q", c.args, code, errs, c.code, c.want)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%v: a picture was left", c.args)
		}
	}
}
