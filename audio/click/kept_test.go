package click

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A span is to the last bit what is rendered in a block of its length, whatever
// sounds and whatever is changed meanwhile; and a span that may be kept stays as it was.
func TestSpansAreWhatBlocksAre(t *testing.T) {
	wind := reeds(442)
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]int{8_000, 22_050}).Draw(t, "rate")
		kit := func(by int) *Kit {
			k := &Kit{}
			for i, sound := range []*[]float32{&k.Accent, &k.Beat, &k.Slot} {
				*sound = make([]float32, rate*(80-30*i)/1000)
				for n := range *sound {
					(*sound)[n] = float32(math.Cos(float64((i+by)*n)/5) * math.Exp(-float64(n)/500))
				}
			}
			return k
		}
		kits := []*Kit{kit(1), kit(2)}
		a, b := NewRenderer(rate, kits[0]), NewRenderer(rate, kits[0])
		both := func(f func(*Renderer)) { f(a); f(b) }
		both(func(r *Renderer) { r.SetWind(wind) })
		channels, render := 1, b.RenderMono
		if rapid.Bool().Draw(t, "stereo") {
			channels, render = 2, b.Render
		}
		seq, end := uint64(0), 0
		for range rapid.IntRange(1, 3).Draw(t, "phrases") {
			l := loop(rapid.IntRange(1, MaxSlots).Draw(t, "slots"), rapid.SampledFrom([]string{"", "f", "f pp -", "pp", "mf f p"}).Draw(t, "marks"), nil)
			p := l.RepPhrase(Tempo(rapid.Int64Range(100_000, int64(MaxTempo)).Draw(t, "tempo")))
			seq++
			p.Seq = seq
			if rapid.IntRange(0, 3).Draw(t, "toned") == 0 {
				p.Tones = drawTones(t)
			}
			if rapid.IntRange(0, 3).Draw(t, "spoken") == 0 {
				p.Words = []Word{{At: Whole(rapid.IntRange(0, 1).Draw(t, "word")), Sound: kits[1].Accent, Lead: rapid.IntRange(0, 300).Draw(t, "lead")}}
			}
			if rapid.IntRange(0, 2).Draw(t, "sounds") == 0 {
				p.Sounds = &Sounds{Sides: [Ranks]Side{Side(rapid.IntRange(0, 2).Draw(t, "slots")), Side(rapid.IntRange(0, 2).Draw(t, "beats"))}}
				if rapid.IntRange(0, 2).Draw(t, "droned") == 0 {
					p.Sounds.Drone = &Drone{Wave: &wind.Waves[60+int(seq)], Hz: 220 * float64(seq), Level: 0.5}
				}
			}
			end += int(Span(p.Length, p.Tempo, rate).Frame) + rate/4
			both(func(r *Renderer) { r.Queue(p) })
		}
		var kept, copies [][]float32
		for first := true; b.Frames() < int64(end); first = false {
			for range rapid.IntRange(1, 10).Draw(t, "spans") {
				span, keep := a.RenderSpan(make([]float32, channels*rapid.IntRange(1, rate).Draw(t, "room")), channels)
				block := make([]float32, len(span))
				if render(block); len(span) == 0 || a.Frames() != b.Frames() || !slices.Equal(span, block) {
					t.Fatalf("%d frames before %d differ from those before %d", len(span), a.Frames(), b.Frames())
				}
				if keep {
					kept, copies = append(kept, span), append(copies, slices.Clone(span))
				}
			}
			if first {
				both((*Renderer).Start)
			}
			switch rapid.IntRange(0, 12).Draw(t, "key") {
			case 0:
				v := rapid.Float32Range(0, 1).Draw(t, "volume")
				both(func(r *Renderer) { r.SetVolume(v) })
			case 1:
				v := rapid.Float32Range(0, 1).Draw(t, "level")
				both(func(r *Renderer) { r.SetModelLevel(v) })
			case 2:
				tempo := Tempo(rapid.Int64Range(100_000, int64(MaxTempo)).Draw(t, "by hand"))
				both(func(r *Renderer) { r.SetTempo(tempo, seq) })
			case 3:
				k := rapid.SampledFrom(kits).Draw(t, "kit")
				both(func(r *Renderer) { r.SetKit(k) })
			case 4:
				both(func(r *Renderer) { r.Stop(0); r.Start() })
			}
			for {
				x, okA := a.NextMark()
				y, okB := b.NextMark()
				if okA != okB || x.Kind != y.Kind || x.Frame != y.Frame || x.Stroke != y.Stroke {
					t.Fatalf("marks %+v and %+v", x, y)
				}
				if !okA {
					break
				}
			}
		}
		for i := range kept {
			if !slices.Equal(kept[i], copies[i]) {
				t.Fatalf("kept span %d was written to", i)
			}
		}
	})
}

// A steady click is mixed once for each of its sounds, and what is kept has a bound.
func TestWhatRepeatsIsKept(t *testing.T) {
	const rate = 48_000
	sound := make([]float32, rate*80/1000)
	for i := range sound {
		sound[i] = float32(math.Cos(float64(i)/7) * math.Exp(-float64(i)/1500))
	}
	r := NewRenderer(rate, &Kit{sound, sound[:2000], sound[:900]})
	r.RenderMono(make([]float32, rate/50))
	for i := range 9 {
		p := loop(4, "f p p p", nil).RepPhrase(BPM(97))
		p.Seq = uint64(i + 1)
		r.Queue(p)
	}
	r.Start()
	firsts := map[*float32]bool{}
	for dst := make([]float32, rate); r.Frames() < 9*rate; {
		span, kept := r.RenderSpan(dst, 1)
		if !kept {
			t.Fatalf("the span before frame %d is not kept", r.Frames())
		}
		firsts[&span[0]] = true
	}
	if len(firsts) > 3+2 { // two sounds, silence, and at the end the vamp's; silence may have grown once
		t.Errorf("%d sounds are kept of a click that has three", len(firsts))
	}
	var k keeper
	m := newMixer(rate, 1)
	for i := range 2000 {
		m.strike(sound, float32(i+1)/2000, Centre)
		k.next(&m, len(sound), 1)
	}
	if k.size > mostKept || len(k.known) > mostKept/len(sound) {
		t.Errorf("%d samples are kept", k.size)
	}
}
