//go:build rig

package endtoend

import (
	"math/big"
	"strings"
	"testing"
)

// score lays out clicks by hand: exact places counted from the first click,
// rounded once.
type score struct {
	at     *big.Rat
	clicks []int64
}

// beats adds n beats at bpm of which the given quarters sound.
func (s *score) beats(n int, bpm int64, quarters ...int64) {
	length := big.NewRat(rate*60, bpm)
	for range n {
		for _, q := range quarters {
			at := new(big.Rat).Add(s.at, new(big.Rat).Mul(length, big.NewRat(q, 4)))
			at.Add(at, big.NewRat(1, 2))
			s.clicks = append(s.clicks, new(big.Int).Div(at.Num(), at.Denom()).Int64())
		}
		s.at = new(big.Rat).Add(s.at, length)
	}
}

// A player opens a starter routine, presses space, and judges rep after rep
// while something else keeps both cores busy. Three cleans climb a rung, two
// roughs go down again, and every click of count-in, reps, landings and breaths
// lies on its sample. Then the chunk is widened, and the file says so.
func TestPractice(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir()) // nobody has practised this yet
	path := starter(t, "two-beats.yaml")
	sound := record(t)
	busy(t)
	p := open(t, path)

	p.press("space")
	want := &score{at: new(big.Rat)}
	countIn := func(bpm int64) {
		want.beats(2, bpm, 0, 1, 2, 3)
		sound.skip(8)
	}
	// rep plays a rep up to the first beat of its breath, gives the verdict
	// there, and plays on to the end of the breath.
	rep := func(bpm int64, key string) {
		want.beats(2, bpm, 0, 1, 2, 3) // the chunk
		want.beats(1, bpm, 0)          // the landing
		want.beats(2, bpm, 0)          // the breath
		sound.skip(8 + 1 + 1)
		p.press(key)
		sound.skip(1)
	}
	countIn(64)
	rep(64, "Right")
	rep(64, "Next") // a pedal sends Page Down
	rep(64, "Right")
	countIn(68)
	rep(68, "Left")
	rep(68, "Prior")
	countIn(64)
	rep(64, "Right")
	p.press("space", "bracketright")
	// Edits are saved after a moment. On a busy machine the keys themselves may take one to arrive.
	text := await(t, path, `chunk: {start: "18:2", beats: 3, landing: true}`)
	said := p.end()

	first, off := sound.heard[0], int64(0)
	for i, at := range sound.heard {
		if now := at - first - want.clicks[i]; now != off {
			t.Errorf("click %d of %d lies %d samples after the first, want %d: %d more off than the one before",
				i, len(sound.heard), at-first, want.clicks[i], now-off)
			off = now
		}
	}
	t.Logf("%d clicks, %.1f s", len(sound.heard), float64(sound.heard[len(sound.heard)-1]-first)/rate)
	if strings.Contains(said, "ran dry") {
		t.Errorf("the device ran dry: %s", said)
	}
	if !strings.Contains(text, "# One hard spot, two beats long") {
		t.Errorf("the comments are not in the saved file:\n%s", text)
	}
}
