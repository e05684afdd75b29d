package hear

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// slurTurn is what is seen of a slur at a place in seconds, tongueTurn of an attack
// that is strong after head.
func slurTurn(at float64) turn {
	return turn{where: at, begin: at - 0.001, strong: at - 0.001, full: at - 0.001, loud: at + 0.002, rise: 2, mixed: 0.05}
}

func tongueTurn(at, head float64) turn {
	return turn{where: at + head + 0.012, begin: at, strong: at + head, full: at + head + 0.006, loud: at + head + 0.014, rise: 12, mixed: 1.2}
}

// seen is the onset of a turn from one note to another, found with its begin.
func seen(t turn, old, now int, slurred bool) Onset {
	t.pair = pair{old, now, t.rise > restDB}
	at := t.begin
	if slurred {
		at = t.where
	}
	return Onset{Seconds: at, Midi: now, turn: t, Slurred: slurred}
}

func TestSlursAndAttacksAreTold(t *testing.T) {
	for _, live := range []float64{0, 0.3, 0.6} {
		var list []Onset
		for rep := range 8 {
			at := float64(rep)
			list = append(list, seen(slurTurn(at), 60, 62, false), seen(tongueTurn(at+0.5, 0.010), 62, 60, true))
		}
		m := mannersOf(list, live)
		if s, a := m.of[pair{60, 62, false}].odds, m.of[pair{62, 60, false}].odds; s < 2 || a > -2 {
			t.Errorf("in a room %.1f live, the log odds of a slur are %.1f of slurs and %.1f of attacks", live, s, a)
		}
		for i := range list {
			want := float64(i/2) + 0.5*float64(i%2)
			m.place(&list[i])
			if o := list[i]; o.Slurred != (i%2 == 0) || math.Abs(o.Seconds-want) > 0.0015 {
				t.Errorf("in a room %.1f live, %d is placed %.1f ms off, slurred %v", live, i, 1000*(o.Seconds-want), o.Slurred)
			}
		}
	}
}

// One turn in which the room hid where the attack begins is placed as the others
// of its pair are.
func TestOneHiddenAttackAmongMany(t *testing.T) {
	var list []Onset
	for rep := range 9 {
		list = append(list, seen(tongueTurn(float64(rep), 0.012), 60, 62, false))
	}
	hidden := &list[4]
	hidden.turn.begin -= 0.030
	hidden.Seconds -= 0.030
	m := mannersOf(list, 0.5)
	m.place(hidden)
	if off := math.Abs(hidden.Seconds - 4); off > 0.0155 {
		t.Errorf("30 ms early by itself, it is placed %.1f ms off", 1000*off)
	}
}

// What the turns of a take tell does not hang on when it was played, nor on the
// order of its onsets; an onset is placed between where it would lie as a slur and
// as an attack, and one that follows no other stays where it is.
func TestManners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		live := rapid.Float64Range(0, 1).Draw(t, "live")
		moved := rapid.Float64Range(0, 300).Draw(t, "moved")
		var list []Onset
		for i := range rapid.IntRange(1, 30).Draw(t, "onsets") {
			if rng.IntN(5) == 0 {
				list = append(list, Onset{Seconds: float64(i), Midi: 60})
				continue
			}
			near := func(most float64) float64 { return float64(i) + (rng.Float64()-0.5)*most }
			v := turn{where: near(0.1), begin: near(0.08), strong: near(0.06), full: near(0.05), loud: near(0.08), rise: 30 * rng.Float64(), mixed: 3 * rng.Float64()}
			list = append(list, seen(v, 60+rng.IntN(3), 64+rng.IntN(3), rng.IntN(2) == 0))
		}
		later := make([]Onset, len(list))
		for k, i := range rng.Perm(len(list)) {
			o := list[i]
			o.Seconds += moved
			if o.turn != (turn{}) {
				o.turn.where += moved
				o.turn.begin += moved
				o.turn.strong += moved
				o.turn.full += moved
				o.turn.loud += moved
			}
			later[k] = o
			later[k].Certainty = float64(i) // where it came from
		}
		m, n := mannersOf(list, live), mannersOf(later, live)
		for k := range later {
			i := int(later[k].Certainty)
			o := list[i]
			m.place(&o)
			n.place(&later[k])
			if math.Abs(later[k].Seconds-moved-o.Seconds) > 1e-6 || math.Abs(later[k].slurred-o.slurred) > 1e-6 {
				t.Fatalf("onset %d lies at %.6f s, and when all is %.1f s later at %.6f", i, o.Seconds, moved, later[k].Seconds-moved)
			}
			v := o.turn
			if v == (turn{}) {
				if o != list[i] {
					t.Fatalf("onset %d follows no other and was changed", i)
				}
				continue
			}
			full := v.where - min(m.of[v.pair].seen+seenApart, v.where-v.full) - fullEarly
			lo := min(v.where, full, list[i].Seconds, v.strong-m.of[v.pair].head)
			hi := max(v.where, full, list[i].Seconds, v.strong-m.of[v.pair].head)
			if !(o.Seconds > lo-1e-9 && o.Seconds < hi+1e-9) || !(o.slurred >= 0 && o.slurred <= 1) || !(o.torn >= 0) {
				t.Fatalf("onset %d lies at %.6f s, outside %.6f to %.6f; slurred %.3f, torn %.3f", i, o.Seconds, lo, hi, o.slurred, o.torn)
			}
		}
	})
}

// What begins after a rest tells nothing of how the same two notes are played one
// upon the other.
func TestAfterARestIsAnotherManner(t *testing.T) {
	var list []Onset
	for rep := range 8 {
		at := float64(rep)
		rested := tongueTurn(at, 0.015)
		rested.rise = restDB + 30
		list = append(list, seen(rested, 62, 60, false), seen(slurTurn(at+0.3), 60, 62, false), seen(slurTurn(at+0.5), 62, 60, false))
	}
	m := mannersOf(list, 0.4)
	for i := range list {
		m.place(&list[i])
		want := float64(i/3) + []float64{0, 0.3, 0.5}[i%3]
		if o := list[i]; o.Slurred != (i%3 > 0) || math.Abs(o.Seconds-want) > 0.002 {
			t.Errorf("onset %d is placed %.1f ms off, slurred %v", i, 1000*(o.Seconds-want), o.Slurred)
		}
	}
}

// What is left of a click before a slur, in every rep, is not the slur.
func TestAClickBeforeASlur(t *testing.T) {
	var list []Onset
	for rep := range 8 {
		at := float64(rep)
		v := slurTurn(at)
		v.begin, v.strong, v.full, v.struck = at-0.022, at-0.022, at-0.021, true
		list = append(list, seen(v, 60, 62, true))
		for k := range 6 {
			list = append(list, seen(slurTurn(at+0.1*float64(k+1)), 62+k, 63+k, true))
		}
	}
	m := mannersOf(list, 0.5)
	m.place(&list[0])
	if off := list[0].Seconds; math.Abs(off) > 0.010 {
		t.Errorf("21 ms after a click that was taken out, it is placed %.1f ms off", 1000*off)
	}
}
