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

// What was practised is in the journal, which shows it, and on another day the Stand
// starts two rungs under the best, at the chunk of the plan that was left, from where
// the plan goes on.
func TestTheJournal(t *testing.T) {
	data := t.TempDir() // a player of the test's own
	t.Setenv("XDG_DATA_HOME", data)
	path := starter(t, "two-beats.yaml")
	rep := func(p *program, sound *card, verdict string) {
		p.press("space")
		sound.skip(8 + 32 + 1 + 1) // the count-in, the chunk, the landing, and the breath's first beat
		p.press(verdict)
		sound.skip(1)
		p.press("space")
	}
	sound := record(t)
	p := open(t, path)
	before := len(journalled(t, p.cmd.Path).Reps)
	empty := p.picture("F9")
	p.press("F2", "u") // a forward chain
	await(t, path, `{start: "17:1", beats: 16, why: the passage}`)
	p.press("j")
	await(t, path, `chunk: {start: "17:1", beats: 8, landing: true}`)
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

	p = start(t, p.binary, path)
	if one := p.picture("F9"); different(empty, one) < 500 {
		t.Error("the Journal view does not show what was practised")
	} else if p.press("F2"); true {
		rep(p, sound, "Left")
		if two := p.picture("F9"); different(one, two) < 200 {
			t.Error("the Journal view does not show what was practised on the next day")
		}
	}
	// The plan goes on where it was: from its second chunk to the third.
	p.press("F2", "j")
	await(t, path, `chunk: {start: "17:1", beats: 12, landing: true}`)
	p.end()
	got = journalled(t, p.cmd.Path)
	if n := len(got.Reps); n != before+2 || got.Reps[n-1].Tempo != 72 || got.Reps[n-1].Verdict != "rough" {
		t.Errorf("on the next day the journal holds %+v", got.Reps)
	}
}
