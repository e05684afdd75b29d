//go:build rig

package endtoend

import (
	"encoding/json"
	"os/exec"
	"path/filepath"
	"testing"
)

// told is what footing journal --json says.
type told struct {
	Reps []struct {
		Step, Verdict, By string
		Tempo             float64
		Whole             bool
	}
	Sessions []struct{ Reps, Clean int }
}

// journalled asks a program for its journal.
func journalled(t *testing.T, binary string) (out told) {
	t.Helper()
	data, err := exec.Command(binary, "journal", "--json").Output()
	if err != nil {
		t.Fatalf("footing journal: %v", err)
	}
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// What was practised is in the journal, and on another day the Stand starts two
// rungs under the best.
func TestTheJournal(t *testing.T) {
	data := t.TempDir() // a player of the test's own
	t.Setenv("XDG_DATA_HOME", data)
	path := starter(t, "two-beats.yaml")
	rep := func(p *program, sound *card, verdict string) {
		p.press("space")
		sound.skip(8 + 8 + 1 + 1) // the count-in, the chunk, the landing, and the breath's first beat
		p.press(verdict)
		sound.skip(1)
		p.press("space")
	}
	sound := record(t)
	p := open(t, path)
	before := len(journalled(t, p.cmd.Path).Reps)
	p.press("Up", "Up", "Up", "Up")
	rep(p, sound, "Right")
	p.end()
	got := journalled(t, p.cmd.Path)
	if len(got.Reps) != before+1 {
		t.Fatalf("the journal holds %+v", got)
	}
	best := got.Reps[before]
	if best.Verdict != "clean" || best.By != "player" || best.Tempo != 80 || !best.Whole {
		t.Errorf("the rep is %+v", best)
	}

	// A day passes.
	journal := filepath.Join(data, "footing", "journal.db")
	const day = `UPDATE session SET start = start - 86400000, ended = ended - 86400000;
		UPDATE tally SET day = day - 1; UPDATE step SET left_at = left_at - 86400000;`
	if out, err := exec.Command("sqlite3", journal, day).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}

	p = open(t, path)
	rep(p, sound, "Left")
	p.press("F9", "F2")
	p.end()
	got = journalled(t, p.cmd.Path)
	if n := len(got.Reps); n != before+2 || got.Reps[n-1].Tempo != 72 || got.Reps[n-1].Verdict != "rough" {
		t.Errorf("on the next day the journal holds %+v", got.Reps)
	}
}
