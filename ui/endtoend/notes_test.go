//go:build rig

package endtoend

import (
	"context"
	"math/big"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A player drops a score on the window, and it is a routine; they set the chunk by
// its notes with keys, hear the model once, each note on its sample, and mark one.
// All of it is there when the program is opened again.
func TestNotes(t *testing.T) {
	file, err := filepath.Abs(filepath.Join("testdata", "weir-street.musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	routines := filepath.Join(os.Getenv("XDG_DATA_HOME"), "footing", "routines")
	path := filepath.Join(routines, "weir-street.yaml")
	p := open(t)
	p.drop(file)
	await(t, path, "score: weir-street.musicxml")
	p.end()
	dropped, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if kept, err := os.ReadFile(filepath.Join(routines, "weir-street.musicxml")); err != nil || string(kept) != string(dropped) {
		t.Errorf("the score is not kept beside its routine: %v", err)
	}

	// The notes are measured without a click, but for the beat that leads into a chunk
	// which begins off the beat.
	edit(t, path, "    score:", `    tempo: {from: 90, goal: 120, step: 4 bpm} # staccato
    dynamics: "-"
    count-in: 0
    breath: 0
    score:`)
	p = start(t, p.binary, path)
	// To the next group, once the notes are read; then by notes, four more and all
	// of them two later: the second of the triplet to the quarter on the fourth beat.
	p.pressUntil(path, "chunk: {beats: 1}", "x")
	p.press("g", "g", "bracketright", "bracketright", "bracketright", "bracketright", "greater", "greater")
	await(t, path, `chunk: {start: "17:2+1/3", beats: 8/3}`)
	for try := 1; !p.model(); try++ {
		if try == triesOfSound {
			t.Fatal("the sound breaks off again and again")
		}
		p = start(t, p.binary, path)
	}
	p = start(t, p.binary, path)
	p.pressUntil(path, `{at: "17:2+1/3", text: fade`, "F5", "w", "f", "a", "d", "e", "Return") // none of them does anything else
	p.end()

	p = start(t, p.binary, path)
	text := p.pressUntil(path, `{at: "17:2+1/3", text: fade!`, "F5", "w", "exclam", "Return")
	if !strings.Contains(text, "# staccato") {
		t.Errorf("the comments are not in the saved file:\n%s", text)
	}
}

// triesOfSound is how often a sound that broke off is played anew: what the machine
// does to it is not the program's, and where it does no place can be told.
const triesOfSound = 4

// settles is how long the program takes to know that the device ran dry, and does not
// count what it did while it began.
const settles = 4 * rate

// model lets the model be heard, sees that each of its notes lies on its sample, and
// ends the program. It reports false where the sound broke off, as the program says,
// and is to be tried again.
func (p *program) model() bool {
	p.t.Helper()
	want := []*big.Rat{ // in beats from the click that leads in; the last is the landing
		big.NewRat(0, 1), big.NewRat(1, 3), big.NewRat(2, 3), big.NewRat(1, 1), big.NewRat(3, 2), big.NewRat(2, 1), big.NewRat(3, 1),
	}
	sound := record(p.t)
	sound.pass(settles)
	p.press("m")
	heard := sound.within(len(want), 30*time.Second)
	sound.pass(settles)
	if said := p.end(); strings.Contains(said, "ran dry") {
		p.t.Logf("the sound broke off: %s", said)
		return false
	}
	if !heard {
		p.t.Fatalf("%d notes are heard, want %d", len(sound.heard), len(want))
	}
	for i, at := range sound.heard {
		const beat = rate * 60 / 90
		exact := new(big.Rat).Mul(want[i], big.NewRat(beat, 1))
		exact.Add(exact, big.NewRat(1, 2))
		if off := at - sound.heard[0] - new(big.Int).Div(exact.Num(), exact.Denom()).Int64(); off != 0 {
			p.t.Errorf("note %d lies %d samples beside its place", i, off)
		}
	}
	return true
}

// drop drops a file on the middle of the window, as from a file manager.
func (p *program) drop(file string) {
	p.t.Helper()
	binary := filepath.Join(p.t.TempDir(), "drop")
	if out, err := exec.Command("cc", "-o", binary, filepath.Join("testdata", "drop.c"), "-lX11").CombinedOutput(); err != nil {
		p.t.Fatalf("building what drops: %v\n%s", err, out)
	}
	ctx, end := context.WithTimeout(p.t.Context(), 30*time.Second)
	defer end()
	uri := url.URL{Scheme: "file", Path: file}
	if out, err := exec.CommandContext(ctx, binary, p.window, "600", "400", uri.String()).CombinedOutput(); err != nil {
		p.t.Fatalf("dropping the score: %v\n%s", err, out)
	}
}

// edit changes words in a file.
func edit(t *testing.T, path, from, to string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(text), from) {
		t.Fatalf("%q is not in the file: %v\n%s", from, err, text)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(text), from, to, 1)), 0o644); err != nil {
		t.Fatal(err)
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
