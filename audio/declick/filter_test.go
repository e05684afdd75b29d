package declick

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

const hz = 22050

// phrase is n notes a step apart, in samples, each of some harmonics and coming
// up softly; it is periodic sound without an edge.
func phrase(keys []float64, step int) []float32 {
	x := make([]float32, len(keys)*step)
	for k, key := range keys {
		for i := range step {
			t := float64(i) / hz
			env := math.Min(1, t/0.03) * math.Min(1, (float64(step)/hz-t)/0.03)
			for h := 1; h <= 6; h++ {
				x[k*step+i] += float32(0.3 * env / float64(h) * math.Sin(2*math.Pi*(440*math.Exp2((key-69)/12))*float64(h)*t+float64(h*k)))
			}
		}
	}
	return x
}

// tick is a struck click: modes in Hz that die away, the higher the sooner,
// begun between samples.
func tick(x []float32, at, level float64, modes []float64) {
	for i := int(math.Ceil(at)); i < min(len(x), int(at)+hz/10); i++ {
		t := (float64(i) - at) / hz
		for m, mode := range modes {
			x[i] += float32(level / float64(len(modes)) * math.Sin(2*math.Pi*mode*t) * math.Exp(-t*(60+30*float64(m))))
		}
	}
}

func declicked(x []float32, chunk func() int) []float32 {
	d := New(hz)
	var out []float32
	for n := 0; n < len(x); {
		m := min(len(x), n+chunk())
		out = d.Run(out, x[n:m])
		n = m
	}
	d.Settle()
	return d.Run(out, make([]float32, d.Late()+stepMs*d.ms))
}

// Sound without an edge comes out as it went in, sample by sample.
func TestFilterLeavesNotesAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOfN(rapid.Float64Range(40, 85), 1, 12).Draw(t, "keys")
		x := phrase(keys, rapid.IntRange(2000, 9000).Draw(t, "step"))
		y := declicked(x, func() int { return rapid.IntRange(1, 9000).Draw(t, "chunk") })
		if len(y) < len(x) || !slices.Equal(x, y[:len(x)]) {
			t.Fatalf("%d samples of notes came out as %d others", len(x), len(y))
		}
	})
}

// Clicks of any sound on notes go, the first ones too, and the notes stay.
func TestFilterTakesClicksOut(t *testing.T) {
	for name, modes := range map[string][]float64{
		"woody": {830, 1370, 2210, 2890, 4300}, "metallic": {2100, 3400, 5150, 7230}, "a pip": {1500}, "soft": {620, 905, 1480},
	} {
		rng := rand.New(rand.NewPCG(3, 4))
		keys := make([]float64, 40)
		for i := range keys {
			keys[i] = 53 + float64([]int{0, 2, 4, 5, 7, 5, 4, 2}[i%8])
		}
		step := 5217.3
		notes := phrase(keys, int(step))
		both := slices.Clone(notes)
		for i := range 39 {
			level := 0.5
			if i%4 == 0 {
				level = 0.8
			}
			tick(both, 400+float64(i)*step+rng.Float64(), level, modes)
		}
		// One sample at a time and all at once give the same.
		y := declicked(both, func() int { return len(both) })
		if z := declicked(both, func() int { return 1 + rng.IntN(5000) }); !slices.Equal(y, z) {
			t.Errorf("%s: what comes out depends on the lengths that go in", name)
		}
		for _, part := range []struct {
			what     string
			from, to int
		}{{"first eight", 0, 8}, {"later", 8, 38}} {
			a, b := int(float64(part.from)*step)+300, int(float64(part.to)*step)
			before, after := 0.0, 0.0
			for n := a; n < b; n++ {
				d, e := float64(both[n]-notes[n]), float64(y[n]-notes[n])
				before, after = before+d*d, after+e*e
			}
			if left := 10 * math.Log10(after/before); left > -12 {
				t.Errorf("%s: %.1f dB are left of the %s clicks, want at most -12", name, left, part.what)
			}
		}
	}
}

// However long the stream and whatever is in it, little of it is held.
func TestFilterHoldsLittle(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	d := New(hz)
	x := make([]float32, 4096)
	var out []float32
	most := 0
	for range 20 * hz / len(x) {
		for i := range x {
			x[i] = float32(0.1 * rng.NormFloat64())
			if rng.IntN(3000) == 0 {
				x[i] = 1
			}
		}
		out = d.Run(out[:0], x)
		most = max(most, len(d.held), len(d.due), cap(out))
	}
	if limit := 4 * patienceMs * d.ms; most > limit {
		t.Errorf("%d samples were held, want at most %d", most, limit)
	}
}

func TestEdges(t *testing.T) {
	ringing, on := make([]float32, 20_000), phrase([]float64{57}, 20_000)
	for i := range ringing[7000:] {
		v := float32(0.05 * math.Sin(2*math.Pi*3100*float64(i)/hz) * min(1, 0.7+float64(i)/hz/0.1))
		ringing[7000+i] = v
		on[7000+i] += 0.02 * v
	}
	for _, tt := range []struct {
		name string
		at   int // of a click, 0 for none
		x    []float32
	}{
		{"a held note", 0, phrase([]float64{57}, 20_000)}, {"a click on it", 7000, phrase([]float64{57}, 20_000)},
		{"one that rings, out of silence", 7000, ringing}, {"the same on a note", 0, on},
	} {
		x := tt.x
		if tt.name == "a click on it" {
			tick(x, float64(tt.at), 0.5, []float64{1500, 3100})
		}
		e := edges{ms: 22}
		var found []int
		for e.next+24 < len(x) {
			if at, ok := e.look(x[e.next:]); ok {
				found = append(found, at)
			}
		}
		if tt.at == 0 && len(found) > 0 || tt.at > 0 && (len(found) != 1 || max(found[0]-tt.at, tt.at-found[0]) > 10) {
			t.Errorf("%s: edges at %v", tt.name, found)
		}
	}
}
