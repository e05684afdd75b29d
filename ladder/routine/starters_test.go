package routine_test

import (
	"io/fs"
	"path"
	"slices"
	"testing"

	"footing/assets"
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/routine"
)

func starter(t *testing.T, name string) *routine.File {
	t.Helper()
	data, err := assets.Routines.ReadFile("routines/" + name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := routine.Parse(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestStartersAreSound(t *testing.T) {
	files, err := fs.Glob(assets.Routines, "routines/*.yaml")
	if err != nil || len(files) != 3 {
		t.Fatalf("starters %v, %v; want three", files, err)
	}
	for _, name := range files {
		f := starter(t, path.Base(name))
		if unused := f.Unused(); len(unused) > 0 {
			t.Error(unused)
		}
		for _, s := range f.Routine().Steps {
			loop := s.Loop()
			if p := loop.RepPhrase(s.Tempo.Rungs()[0]); len(p.Strokes) == 0 {
				t.Errorf("%s: step %q does not sound", name, s.Name)
			}
		}
	}
}

// What each starter is there to show.
func TestStartersShow(t *testing.T) {
	warm := starter(t, "warm-up.yaml").Routine().Steps
	var pieces []string
	for _, s := range warm {
		pieces = append(pieces, s.Passage.Piece)
	}
	slices.Sort(pieces)
	if len(slices.Compact(pieces)) != len(warm) || len(warm) < 3 {
		t.Errorf("the warm-up is in the keys %q", pieces)
	}
	// Two octaves are 15 notes up and 14 down: 28 slots and the landing. Up to
	// the tenth and back, 18 and the landing.
	for _, s := range warm {
		notes := s.Chunk.Length.Times(int64(s.Slots.Count()))
		if notes != click.Whole(28) && notes != click.Whole(18) || s.Chunk.Length.Den() != 1 || !s.Chunk.Landing {
			t.Errorf("%s loops %s notes in %s beats", s.Name, notes, s.Chunk.Length)
		}
	}
	two := starter(t, "two-beats.yaml").Routine().Steps[0]
	if rungs := two.Tempo.Rungs(); two.Chunk.Length != click.Whole(2) || len(rungs) != 11 || rungs[0] != click.BPM(64) {
		t.Errorf("two beats: %s beats over %v", two.Chunk.Length, rungs)
	}
	slow := starter(t, "slow-sixteenths.yaml").Routine().Steps[0]
	if slow.Rule.Kind != ladder.Settle || slow.Pulse != click.Doubled || slow.Count != click.CountNumber || slow.Slots.Count() != 4 {
		t.Errorf("slow sixteenths: %+v", slow)
	}
}

// Each step of the starters has notes, of which one begins in each slot of a
// scale's chunk.
func TestStartersHaveNotes(t *testing.T) {
	files, err := fs.Glob(assets.Routines, "routines/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		r := starter(t, path.Base(name)).Routine()
		for _, s := range r.Steps {
			n, remarks, err := notes.Of(r.On(s), nil)
			if err != nil || n == nil || len(remarks) > 0 {
				t.Errorf("%s: %s: %v, %v", name, s.Name, err, remarks)
				continue
			}
			chunk := n.Chunk(s)
			if len(chunk.Begin) < 3 || len(chunk.Landing) != 1 {
				t.Errorf("%s: %s: the chunk holds %+v", name, s.Name, chunk)
			}
			if path.Base(name) != "warm-up.yaml" {
				continue
			}
			if first, landing := n.All[chunk.Begin[0]].Pitch, n.All[chunk.Landing[0]].Pitch; first != landing {
				t.Errorf("%s begins on %s and lands on %s", s.Name, first, landing)
			}
			for i, slot := range n.Slots(s) {
				if len(slot.Begin) != 1 {
					t.Errorf("%s: %d notes begin in slot %d", s.Name, len(slot.Begin), i)
				}
			}
		}
	}
}
