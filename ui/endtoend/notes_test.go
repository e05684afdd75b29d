//go:build rig

package endtoend

import (
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// noted is two bars of a score without a click, but for the beat that leads into
// a chunk which begins off the beat.
const noted = `footing: 1
name: Noted
steps:
  - name: Weir Street run # staccato
    passage: {piece: Weir Street March, bars: 17-18}
    tempo: {from: 90, goal: 120, step: 4 bpm}
    dynamics: "-"
    chunk: {start: "17:1", beats: 2, landing: true}
    count-in: 0
    breath: 0
    instrument: bassoon
    score: weir-street.musicxml
`

// A player opens a step whose notes come from a score, sets the chunk by them with
// keys, hears the model once, each note on its sample, and marks one. All of it is
// there when the program is opened again.
func TestNotes(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "noted.yaml")
	score, err := os.ReadFile(filepath.Join("testdata", "weir-street.musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{path: []byte(noted), filepath.Join(dir, "weir-street.musicxml"): score} {
		if err := os.WriteFile(name, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	sound := record(t)
	p := open(t, path)

	// To the next group, once the notes are read; then by notes, four more and all
	// of them two later: the second of the triplet to the quarter on the fourth beat.
	p.pressUntil(path, `chunk: {start: "17:1", beats: 1, landing: true}`, "x")
	p.press("g", "g", "bracketright", "bracketright", "bracketright", "bracketright", "greater", "greater", "m")
	want := []*big.Rat{ // in beats from the click that leads in; the last is the landing
		big.NewRat(0, 1), big.NewRat(1, 3), big.NewRat(2, 3), big.NewRat(1, 1), big.NewRat(3, 2), big.NewRat(2, 1), big.NewRat(3, 1),
	}
	sound.skip(len(want))
	p.pressUntil(path, `{at: "17:2+1/3", text: fade`, "F5", "w", "f", "a", "d", "e", "Return") // none of them does anything else
	await(t, path, `chunk: {start: "17:2+1/3", beats: 8/3, landing: true}`)
	said := p.end()
	for i, at := range sound.heard {
		const beat = rate * 60 / 90
		exact := new(big.Rat).Mul(want[i], big.NewRat(beat, 1))
		exact.Add(exact, big.NewRat(1, 2))
		if off := at - sound.heard[0] - new(big.Int).Div(exact.Num(), exact.Denom()).Int64(); off != 0 {
			t.Errorf("note %d lies %d samples beside its place", i, off)
		}
	}
	if strings.Contains(said, "dry") {
		t.Errorf("the device ran dry: %s", said)
	}

	p = start(t, p.binary, path)
	text := p.pressUntil(path, `{at: "17:2+1/3", text: fade!`, "F5", "w", "exclam", "Return")
	if !strings.Contains(text, "# staccato") {
		t.Errorf("the comments are not in the saved file:\n%s", text)
	}
}

// pressUntil presses keys until the file holds the words, and returns it: before
// notes are read such keys do nothing.
func (p *program) pressUntil(path, words string, keys ...string) string {
	p.t.Helper()
	look := time.NewTicker(50 * time.Millisecond)
	defer look.Stop()
	again := time.NewTicker(4 * time.Second) // longer than what is changed takes to be saved
	defer again.Stop()
	late := time.After(30 * time.Second)
	p.press(keys...)
	for {
		select {
		case <-look.C:
		case <-again.C:
			p.press(keys...)
		case <-late:
			p.t.Fatalf("pressing %s does not bring %q into the file", keys, words)
		}
		if text, err := os.ReadFile(path); err == nil && strings.Contains(string(text), words) {
			return string(text)
		}
	}
}
