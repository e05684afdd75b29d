package takes

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"slices"

	"footing/audio/timbre"
)

// Trial is a figure to be judged, as an even player plays it or one with a
// habit.
type Trial struct {
	Row string
	Figure
	// Late is the slot that comes late in every rep, 0 in an even take.
	Late int
}

// PlantedMs is by how much the slot of a trial comes late.
const PlantedMs = 25

// Rows are the names of all trials.
func Rows() []string {
	rows := []string{"dry", "0.3 m", "0.6 m", "1.0 m", "1.5 m"}
	for _, t := range timbre.Names() {
		rows = append(rows, t+" in the take", t+" in a room")
	}
	return append(rows, "another rung", "drift", "entries", "vibrato", "faded", "longer figure", "mixed")
}

// Banks are the sample banks that are there, and the made-up one.
func Banks() []string {
	banks := []string{MadeUp}
	for _, path := range []string{SoundFont, "/usr/share/sounds/sf2/FluidR3_GM.sf2"} {
		if _, err := os.Stat(path); err == nil {
			banks = append(banks, path)
		}
	}
	return banks
}

// NewTrial is the i-th trial of a row, on one of the banks; every second one has
// a habit. The same row and number make the same trial.
func NewTrial(row string, i int, banks []string) Trial {
	h := fnv.New64a()
	fmt.Fprint(h, row)
	rng := rand.New(rand.NewPCG(h.Sum64(), uint64(i/2)))
	pick := func(n int) int { return rng.IntN(n) }
	t := Trial{Row: row}
	f := &t.Figure
	f.Seed = rng.Uint64()
	f.Bank = banks[i/2%len(banks)]
	all := slices.Concat(Instruments(), Others()[:9])
	f.Instrument = all[pick(len(all))]
	f.Instrument.Low += pick(6)
	f.Articulation = []Articulation{Tongued, Tongued, Legato, Slurred, Faded}[pick(5)]
	f.Gate = 0.6 + 0.25*rng.Float64()
	f.Slots, f.Reps = 4, 8+pick(5)
	f.BPM = float64(60 + 4*pick(13))
	notes := 4
	if pick(2) == 0 {
		notes = 8
		f.Breath = float64(1 + pick(2))
	}
	f.ScatterMs = 3 + 5*rng.Float64()
	switch row {
	case "0.3 m", "0.6 m", "1.0 m", "1.5 m":
		fmt.Sscan(row, &f.Room.Metres)
	case "another rung":
		f.Faster = []float64{0.93, 0.95, 1.05, 1.08}[pick(4)]
	case "drift":
		d := (0.01 + 0.04*rng.Float64()) * float64(1-2*pick(2))
		switch kind := pick(3); {
		case kind == 0:
			f.Drift = d
		case kind == 1 && f.Breath > 0:
			f.Rush = d
		default:
			f.Faster = 1 + d
		}
	case "entries":
		notes = 8
		f.Breath = float64(1 + pick(2))
		f.EntryMs = 30
		if pick(2) == 0 {
			f.Restless = 0.4
		}
	case "vibrato":
		f.VibratoCents = 30
		f.Articulation = []Articulation{Tongued, Legato, Slurred}[pick(3)]
	case "faded":
		f.Articulation = Faded
	case "longer figure":
		notes = []int{6, 8, 9, 12}[pick(4)]
		f.Breath = 0
	}
	if row == "mixed" {
		f.Articulation = Mixed
		f.Joined = map[int]bool{}
		f.Room.Metres = []float64{0, 0.3, 0.6}[pick(3)]
	}
	for _, name := range timbre.Names() {
		if row == name+" in the take" || row == name+" in a room" {
			f.Click, f.ClickShare = name, 0.25
		}
		if row == name+" in a room" {
			f.Room.Metres = 0.6
		}
	}
	if f.Room.Metres > 0 {
		f.Room.T60 = 0.3 + 0.2*rng.Float64()
		f.Room.Walls = pick(2) == 0
	}
	f.Keys = keys(notes, rng)
	if f.Articulation == Mixed {
		for slot := 1; slot <= notes; slot++ {
			f.Joined[slot] = pick(2) == 0
		}
	}
	late := 1 + pick(notes)
	if f.Breath > 0 && late == 1 {
		late = 2 // no change leads into the first note after a breath
	}
	if i%2 == 1 {
		t.Late = late
		f.LateMs = map[int]float64{late: PlantedMs}
	}
	return t
}

// keys are notes of a major scale, no two alike in a row, nor the last and the
// first.
func keys(n int, rng *rand.Rand) []int {
	major := []int{0, 2, 4, 5, 7, 9, 11, 12, 14, 16}
	for {
		var out []int
		at := rng.IntN(8)
		for range n {
			out = append(out, major[at])
			step := []int{1, 1, 1, 2, 2, 3, 4}[rng.IntN(7)] * (1 - 2*rng.IntN(2))
			if at+step < 0 || at+step >= len(major) {
				step = -step
			}
			at += step
		}
		if at >= 0 && out[0] != out[n-1] {
			return out
		}
	}
}
