package follow

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/hear"
)

// sung is a note that sounds from one time to another, as the ears hear it: a silent
// onset is one that they miss, and ear what they take for its pitch.
type sung struct {
	from, to, key float64
	silent        bool
	ear           float64
}

// hearing is what is heard of notes in order of time.
func hearing(notes []sung) (hear.Pitches, []hear.Onset) {
	const every = 0.005
	var moments []hear.Moment
	var onsets []hear.Onset
	for i := range int(40 / every) {
		m := hear.Moment{Level: -70}
		for _, n := range notes {
			if t := float64(i) * every; t >= n.from && t < n.to {
				m = hear.Moment{Note: n.key + n.ear, Level: -20}
			}
		}
		moments = append(moments, m)
	}
	for _, n := range notes {
		if !n.silent {
			k := math.Round(n.key + n.ear)
			onsets = append(onsets, hear.Onset{Seconds: n.from, Midi: int(k), Cents: 100 * (n.key + n.ear - k), Certainty: 1})
		}
	}
	return hear.PitchesOf(every, moments), onsets
}

// exact are wants as they are played.
func exact(wants []Want) []sung {
	s := spans(wants)
	out := make([]sung, len(wants))
	for i, w := range wants {
		out[i] = sung{from: w.Seconds, to: w.Seconds + 0.9*s[i], key: w.Sounds[0]}
	}
	return out
}

func (r Rep) fates() (out []Fate) {
	for _, p := range r.Wants {
		out = append(out, p.Fate)
	}
	return out
}

func (r Rep) sure() (out []Extra) {
	for _, e := range r.Extras {
		if e.Sure {
			out = append(out, e)
		}
	}
	return out
}

// all are wants that are right but for one.
func all(n, but int, fate Fate) []Fate {
	out := slices.Repeat([]Fate{Right}, n)
	if but >= 0 {
		out[but] = fate
	}
	return out
}

// drawRep are wants whose notes differ from their neighbours, and by no harmonic, and
// are long enough to be heard.
func drawRep(t *rapid.T) []Want {
	wants := drawWants(t, 3)
	for i := range wants {
		if i == 0 {
			continue
		}
		before := wants[i-1].Sounds[0]
		for of(wants[i].Sounds[0], []float64{before}) || i > 1 && of(wants[i].Sounds[0], wants[i-2].Sounds) {
			wants[i].Sounds[0] = 40 + math.Mod(wants[i].Sounds[0]-39, 41)
		}
	}
	return wants
}

// foreign is a pitch that is none of what stands around a want.
func foreign(t *rapid.T, wants []Want, i int) float64 {
	var near []float64
	for k := max(0, i-1); k < min(len(wants), i+2); k++ {
		near = append(near, wants[k].Sounds...)
	}
	key := float64(rapid.IntRange(40, 80).Draw(t, "foreign"))
	for of(key, near) {
		key = 40 + math.Mod(key-39, 41)
	}
	return key
}

// What is played as written, in any tuning, has no fault.
func TestAnExactTakeHasNoFault(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wants, tuning := drawWants(t, 1), rapid.Float64Range(-0.9, 0.9).Draw(t, "tuning")
		notes := exact(wants)
		for i := range notes {
			notes[i].key += tuning
		}
		p, onsets := hearing(notes)
		r := NewFollower(p, tuning).Rep(wants, onsets)
		if !slices.Equal(r.fates(), all(len(wants), -1, "")) || len(r.Extras) > 0 {
			t.Fatalf("%v, %+v", r.fates(), r.Extras)
		}
	})
}

// Each fault is told as what it is, and no other.
func TestPlantedFaultsAreTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wants := drawRep(t)
		i := rapid.IntRange(1, len(wants)-2).Draw(t, "at")
		notes := exact(wants)
		key := foreign(t, wants, i)
		check := func(what string, notes []sung, fate Fate, extras int) {
			t.Helper()
			p, onsets := hearing(notes)
			r := NewFollower(p, 0).Rep(wants, onsets)
			want := all(len(wants), i, fate)
			if !slices.Equal(r.fates(), want) || len(r.sure()) != extras {
				t.Fatalf("%s, %v of %v at %d: %v, want %v; %+v", what, key, wants, i, r.fates(), want, r.Extras)
			}
			if extras > 0 && (r.sure()[0].After != i || math.Abs(r.sure()[0].Note-key) > 0.01) {
				t.Fatalf("%s: %+v", what, r.sure())
			}
			if fate == Wrong && math.Abs(r.Wants[i].Note-key) > 0.01 {
				t.Fatalf("%s: %+v", what, r.Wants[i])
			}
		}
		wrong := slices.Clone(notes)
		wrong[i].key = key
		check("wrong", wrong, Wrong, 0)
		check("missed", slices.Delete(slices.Clone(notes), i, i+1), Missed, 0)
		long := notes[i].to - notes[i].from
		extra := slices.Clone(notes)
		extra[i].to -= long / 2
		extra = slices.Insert(extra, i+1, sung{from: extra[i].to, to: extra[i].to + long/2, key: key})
		if wants[i+1].off(key) > drawnUp { // else it may be how the next one is begun
			check("extra", extra, Right, 1)
		}
	})
}

// What the ears may have got wrong is no fault.
func TestWhatTheEarsMayHaveWrongIsNoFault(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wants := drawRep(t)
		i := rapid.IntRange(1, len(wants)-2).Draw(t, "at")
		notes := exact(wants)
		harm := 12 * math.Log2(float64(rapid.IntRange(2, 6).Draw(t, "harmonic")))
		if rapid.Bool().Draw(t, "under") {
			harm = -harm
		}
		for name, change := range map[string]func(n *sung){
			"a harmonic":             func(n *sung) { n.ear = harm },
			"no onset":               func(n *sung) { n.silent = true },
			"an octave and no onset": func(n *sung) { n.ear, n.silent = harm, true },
		} {
			odd := slices.Clone(notes)
			change(&odd[i])
			p, onsets := hearing(odd)
			r := NewFollower(p, 0).Rep(wants, onsets)
			if !slices.Equal(r.fates(), all(len(wants), i, Unsure)) || len(r.sure()) > 0 {
				t.Fatalf("%s: %v, %+v", name, r.fates(), r.Extras)
			}
		}
		// An onset that is heard twice, and one whose pitch does not last.
		p, onsets := hearing(notes)
		twice := slices.Insert(slices.Clone(onsets), i+1, onsets[i])
		twice[i+1].Seconds += 0.05
		short := slices.Clone(onsets)
		short[i].Midi++
		for name, list := range map[string][]hear.Onset{"twice": twice, "another pitch for a moment": short} {
			r := NewFollower(p, 0).Rep(wants, list)
			if slices.Contains(r.fates(), Wrong) || slices.Contains(r.fates(), Missed) || len(r.sure()) > 0 {
				t.Fatalf("%s: %v, %+v", name, r.fates(), r.Extras)
			}
		}
		// Nothing is known of what sounded between the onsets.
		if r := (&Follower{}).Rep(wants, short); slices.Contains(r.fates(), Wrong) {
			t.Fatalf("without pitches: %v", r.fates())
		}
	})
}

// A note that sounded, though nobody heard it begin, was not played wrongly: what began
// after it was not in its place.
func TestANoteThatSoundedIsNotWrong(t *testing.T) {
	wants := []Want{{Seconds: 1, Sounds: []float64{60}}, {Seconds: 1.5, Sounds: []float64{67}}, {Seconds: 2, Sounds: []float64{62}}}
	notes := exact(wants)
	notes[1].to, notes[1].silent = 1.65, true
	notes = slices.Insert(notes, 2, sung{from: 1.65, to: 1.95, key: 64})
	p, onsets := hearing(notes)
	if r := NewFollower(p, 0).Rep(wants, onsets); !slices.Equal(r.fates(), all(3, 1, Unsure)) || r.Wants[1].Onset != 1 {
		t.Errorf("%v, %+v", r.fates(), r)
	}
}

// A note that is begun low and drawn up to its pitch is not wrong.
func TestANoteDrawnUpIsNotWrong(t *testing.T) {
	wants := []Want{{Seconds: 1, Sounds: []float64{60}}, {Seconds: 1.25, Sounds: []float64{67}}, {Seconds: 1.5, Sounds: []float64{62}}}
	notes := exact(wants)
	notes[1].to, notes[1].key = 1.28, 66.2
	for k, at := range []float64{1.28, 1.31, 1.34} {
		notes = slices.Insert(notes, 2+k, sung{from: at, to: at + 0.03, key: 66.5 + 0.15*float64(k), silent: true})
	}
	p, onsets := hearing(notes)
	if r := NewFollower(p, 0).Rep(wants, onsets); !slices.Equal(r.fates(), all(3, 1, Unsure)) {
		t.Errorf("%v, %+v", r.fates(), r)
	}
	// Nor is its low beginning a note put in, where it is heard to begin anew on its pitch.
	notes[4].silent, notes[4].key = false, 67
	p, onsets = hearing(notes)
	if r := NewFollower(p, 0).Rep(wants, onsets); !slices.Equal(r.fates(), all(3, -1, "")) || len(r.sure()) > 0 {
		t.Errorf("%v, %+v", r.fates(), r)
	}
}

// A grace note, a trill's neighbour and what is held from before are no extra notes.
func TestWhatMayBeHeardBesideIsNoExtraNote(t *testing.T) {
	wants := []Want{{Seconds: 1, Sounds: []float64{60}}, {Seconds: 1.5, Sounds: []float64{67}, Beside: []float64{69}}, {Seconds: 2, Sounds: []float64{62}}}
	for name, at := range map[string]float64{"before": 1.35, "after": 1.7} {
		notes := exact(wants)
		for i := range notes {
			if notes[i].from < at {
				notes[i].to = min(notes[i].to, at)
			}
		}
		notes = append(notes, sung{from: at, to: at + 0.1, key: 69})
		slices.SortFunc(notes, func(a, b sung) int { return int(math.Copysign(1, a.from-b.from)) })
		p, onsets := hearing(notes)
		if r := NewFollower(p, 0).Rep(wants, onsets); len(r.Extras) > 0 || !slices.Equal(r.fates(), all(3, -1, "")) {
			t.Errorf("%s: %v, %+v", name, r.fates(), r.Extras)
		}
	}
}

func TestTuning(t *testing.T) {
	near := func(n int, d, scatter float64) (out []float64) {
		for i := range n {
			out = append(out, d+scatter*float64(i%3-1))
		}
		return out
	}
	for name, tt := range map[string]struct {
		apart     []float64
		semitones float64
		shift     int
	}{
		"nothing":                  {nil, 0, 0},
		"in tune":                  {near(20, 0, 0.05), 0, 0},
		"an A of 415 Hz":           {near(20, -1.01, 0.05), -1.01, 0},
		"some wrong":               {append(near(20, 0.2, 0.05), near(7, 1.1, 0.02)...), 0.2, 0},
		"a clarinet taken for a C": {append(near(20, -2.1, 0.05), near(3, 4, 0.1)...), -2.1, -2},
		"an octave low":            {near(9, -12, 0.05), -12, -12},
		"too few to tell":          {near(3, 5, 0.05), 0, 0},
		"one of two":               {[]float64{0.5, -0.5}, -0.5, 0},
		"the other of two":         {[]float64{-0.5, 0.5}, -0.5, 0},
		"another piece":            {[]float64{3, -4, 5, 7, -9, 2, 11, 6, -5, 4}, 0, 0},
	} {
		got := Tuning(tt.apart)
		if math.Abs(got.Semitones-tt.semitones) > 0.051 || got.Shift != tt.shift {
			t.Errorf("%s: %+v, want %v and a shift of %d", name, got, tt.semitones, tt.shift)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Float64Range(-30, 30), 0, 40).Draw(t, "apart")
		if a, b := Tuning(list), Tuning(rapid.Permutation(list).Draw(t, "permuted")); a != b {
			t.Fatalf("%+v, permuted %+v", a, b)
		}
	})
}
