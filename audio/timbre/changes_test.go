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

// The same in stereo with the sounds, levels and sides of bar line, beat and slot, with
// drones that come, turn and go, and with stops: through a thousand changes in either
// channel.
func TestAThousandChangesOfSoundsMakeNoStep(t *testing.T) {
	for _, names := range [][]string{{"felt"}, {"felt", "skin"}, Names()} {
		t.Run(strings.Join(names, " "), func(t *testing.T) { changesOfSounds(t, names) })
	}
}

func changesOfSounds(t *testing.T, names []string) {
	var kits []*click.Kit
	own := 0.0
	for _, name := range names {
		k := mustMake(t, name, rate)
		kits = append(kits, &k)
		own = max(own, step(k.Accent), step(k.Beat), step(k.Slot))
	}
	var drones []*click.Drone
	droning := 0.0
	for _, key := range []int{LowestDrone, 46, 57, 69, 70, 80} {
		d, err := MakeDrone(click.Key(key), UsualA, rate)
		if err != nil {
			t.Fatal(err)
		}
		d.Level = 2
		drones = append(drones, d)
		droning = max(droning, step(droned(t, d, 1)))
	}
	random := rand.New(rand.NewPCG(6, 14))
	strokes := []click.Stroke{{Dynamics: click.Forte, Voice: click.AccentVoice, Rank: click.BarRank},
		{At: click.Frac(1, 2), Dynamics: click.Piano, Voice: click.SlotVoice}, {At: click.Whole(1), Dynamics: click.MezzoForte, Voice: click.BeatVoice, Rank: click.BeatRank}}
	some := func() *click.Sounds {
		s := &click.Sounds{}
		for i := range s.Kits {
			s.Kits[i], s.Sides[i] = kits[random.IntN(len(kits))], click.Side(random.IntN(3))
		}
		for d := range s.Gains {
			s.Gains[d] = random.Float32()
		}
		if random.IntN(4) > 0 {
			d := *drones[random.IntN(len(drones))]
			d.Level *= random.Float32()
			s.Drone = &d
		}
		return s
	}
	r := click.NewRenderer(rate, kits[0])
	seq := uint64(0)
	var left, right []float32
	for range 1000 {
		seq++
		switch random.IntN(12) {
		case 0:
			r.SetVolume(random.Float32())
		case 1:
			r.SetKit(kits[random.IntN(len(kits))])
		case 2:
			r.SetTempo(click.Tempo(60_000+random.IntN(300_000)), seq+9)
		case 3:
			r.Stop(seq)
		case 4:
			r.Stop(seq)
			r.Try(click.Trial{Sounds: some(), Rank: click.Rank(random.IntN(3)), Voice: click.BeatVoice, Dynamics: click.Forte, Drone: true})
		default:
			r.Start()
		}
		r.Replace(click.Phrase{Seq: seq, Tempo: click.Tempo(60_000 + random.IntN(300_000)), Length: click.Whole(2), Strokes: strokes, Sounds: some()})
		block := make([]float32, 2*(1+random.IntN(6000)))
		r.Render(block)
		for i := 0; i < len(block); i += 2 {
			left, right = append(left, block[i]), append(right, block[i+1])
		}
		for ok := true; ok; {
			_, ok = r.NextMark()
		}
	}
	// A side is √2 louder; a stop fades within 5 ms, the volume within 10.
	most := math.Sqrt2*own + droning + 1/240.0 + 1/480.0
	t.Logf("steps up to %.4f and %.4f; the timbres' own on one side and the drones' are up to %.4f", step(left), step(right), most)
	differ := false
	for i := range left {
		differ = differ || left[i] != right[i]
	}
	for _, x := range [][]float32{left, right} {
		if got := step(x); got > most {
			t.Errorf("a step of %.4f, want at most %.4f", got, most)
		}
		if peak(x) > click.MaxPeak || peak(x) < 0.3 {
			t.Errorf("a peak of %v", peak(x))
		}
	}
	if !differ {
		t.Error("nothing came from a side")
	}
}
