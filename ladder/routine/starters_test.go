package routine_test

import (
	"io/fs"
	"path"
	"slices"
	"testing"

	"footing/assets"
	"footing/audio/click"
	"footing/ladder"
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
