package declick

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// However many clicks are missed and however unsurely they are placed, the next is
// expected where it comes.
func TestPulse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.Float64Range(1500, 20_000).Draw(t, "step")
		first := rapid.Float64Range(0, 50_000).Draw(t, "first")
		heard := rapid.SliceOfN(rapid.Bool(), 20, 60).Draw(t, "heard")
		const ms = 22.0
		var p pulse
		n, last := 0, 0
		for k, h := range heard {
			if k < 8 || h {
				off := rapid.Float64Range(-0.5, 0.5).Draw(t, "off")
				p.add(first+float64(k)*step+off, 1, ms)
				n, last = n+1, k
			}
		}
		for k := last + 1; k < last+5; k++ {
			want := first + float64(k)*step
			at, ok := p.next(math.Inf(1))
			if !ok || math.Abs(at-want) > 3 {
				t.Fatalf("after %d clicks the one at %.1f is expected at %.1f, %v", n, want, at, ok)
			}
			if near, ok := p.expects(want+10, ms); !ok || math.Abs(near-want) > 3 {
				t.Fatalf("near %.1f one is expected at %.1f, %v", want, near, ok)
			}
			if _, ok := p.expects(want+step/2, ms); ok {
				t.Fatalf("one is expected half a step after %.1f", want)
			}
		}
	})
}

// Clicks that lie anyhow have no pulse, and one that has stopped is no more asked for.
func TestNoPulse(t *testing.T) {
	var p pulse
	for _, at := range []float64{0, 5000, 9100, 15_300, 18_000, 24_700} {
		p.add(at, 1, 22)
	}
	if at, ok := p.next(1e9); ok {
		t.Errorf("a click is expected at %.0f", at)
	}
	p = pulse{}
	for k := range 8 {
		p.add(4000*float64(k), 1, 22)
	}
	if at, ok := p.next(31_000); ok {
		t.Errorf("the click at %.0f is asked for too early", at)
	}
	asked := 0
	for {
		if _, ok := p.next(1e9); !ok {
			break
		}
		asked++
	}
	if asked != pulseAsks {
		t.Errorf("%d clicks are asked for after the last, want %d", asked, pulseAsks)
	}
}
