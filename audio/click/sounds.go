package click

import "math"

// Rank is what a stroke of the click marks. It may have a sound, and a side, of its own.
type Rank uint8

// The ranks. The second click of a doubled pulse and the other strand of a
// cross-rhythm mark beats.
const (
	SlotRank Rank = iota
	BeatRank
	BarRank // the first beat of a bar
)

// Ranks is how many ranks there are.
const Ranks = 3

// rank is that of a slot in a beat of a bar.
func rank(beat, slot int, onBeat bool) Rank {
	switch {
	case slot == 0 && beat == 0:
		return BarRank
	case onBeat:
		return BeatRank
	}
	return SlotRank
}

// Side is where a sound comes from in stereo.
type Side uint8

// The sides. What comes from one of them alone is as loud as from the centre.
const (
	Centre Side = iota
	Left
	Right
)

// aside is the gain of what comes from one side: the power of two channels in one.
const aside = math.Sqrt2

// Sounds is how the strokes of a phrase sound where that is not as usual, and the tone
// under them. The zero value, and nil, is as usual. Like strokes it is shared, and not
// written to once a renderer has it.
type Sounds struct {
	// Kits are those of the ranks; nil for the renderer's own. Their rate is the
	// renderer's.
	Kits [Ranks]*Kit
	// Gains are those of the dynamics, above 0 to 1; 0 for the usual one.
	Gains [Forte + 1]float32
	// Sides are those of the ranks. What is rendered in one channel has none.
	Sides [Ranks]Side
	// Drone sounds on from phrase to phrase; nil for none.
	Drone *Drone
}

// usual is what no sounds are.
var usual = &Sounds{}

// or is s, or the usual sounds where there are none.
func (s *Sounds) or() *Sounds {
	if s == nil {
		return usual
	}
	return s
}

// strike begins the sound of a stroke.
func (s *Sounds) strike(m *mixer, own *Kit, rank Rank, v Voice, d Dynamics) {
	kit, gain := s.Kits[rank], s.Gains[min(d, Forte)]
	if kit == nil {
		kit = own
	}
	if gain == 0 || d == Silent {
		gain = d.Gain()
	}
	m.strike(kit.Sound(v), gain, s.Sides[rank])
}
