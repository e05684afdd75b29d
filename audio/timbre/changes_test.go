package timbre

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"footing/audio/click"
)

// step is the largest step between two neighbouring samples, silence before them.
func step(x []float32) (most float64) {
	last := float32(0)
	for _, v := range x {
		most, last = max(most, math.Abs(float64(v-last))), v
	}
	return most
}

// Through a thousand changes of level, tempo and timbre while it plays, no sample passes
// −1 dBFS, and no step between two of them is larger than the largest of the timbres'
// own: a change is no click that is not a click.
func TestAThousandChangesMakeNoStep(t *testing.T) {
	// Among soft timbres the smallest step would be seen.
	for _, names := range [][]string{{"felt"}, {"felt", "skin"}, {"wood", "cork"}, Names()} {
		t.Run(strings.Join(names, " "), func(t *testing.T) { changes(t, names) })
	}
}

func changes(t *testing.T, names []string) {
	var kits []*click.Kit
	own := 0.0
	for _, name := range names {
		k := mustMake(t, name, rate)
		kits = append(kits, &k)
		own = max(own, step(k.Accent), step(k.Beat)*float64(click.MezzoForte.Gain()), step(k.Slot))
	}
	strokes := []click.Stroke{{Dynamics: click.Forte, Voice: click.AccentVoice}, {At: click.Frac(1, 2), Dynamics: click.Piano}}
	r := click.NewRenderer(rate, kits[0])
	seq, random := uint64(0), rand.New(rand.NewPCG(14, 14))
	queue := func() {
		seq++
		r.Queue(click.Phrase{Seq: seq, Tempo: click.BPM(120), Length: click.Whole(1), Strokes: strokes})
	}
	r.Start()
	var all []float32
	for range 1000 {
		queue()
		switch random.IntN(3) {
		case 0:
			r.SetVolume(random.Float32())
		case 1:
			// Two slots of a beat are further apart than any sound is long.
			r.SetTempo(click.Tempo(60_000+random.IntN(300_000)), seq+99)
		case 2:
			r.SetKit(kits[random.IntN(len(kits))])
		}
		block := make([]float32, 1+random.IntN(4000))
		r.RenderMono(block)
		all = append(all, block...)
		for {
			if _, ok := r.NextMark(); !ok {
				break
			}
		}
	}
	const ramp = 1 / 480.0 // of the volume, in a frame
	t.Logf("steps up to %.4f, the timbres' own are up to %.4f", step(all), own)
	if got := step(all); got > own+ramp {
		t.Errorf("a step of %.4f; the timbres' own are up to %.4f", got, own)
	}
	for _, v := range all {
		if v > click.MaxPeak || v < -click.MaxPeak {
			t.Fatalf("a sample of %v", v)
		}
	}
	if peak(all) < 0.3 {
		t.Error("hardly anything was heard")
	}
}
