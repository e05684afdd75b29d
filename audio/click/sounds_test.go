package click

import (
	"slices"
	"testing"
)

// What each stroke of a rep marks, and how it is struck then: bars, beats and slots
// apart. The second click of a doubled pulse is a beat's; a bar line keeps its rank in
// count-in and breath.
func TestRanks(t *testing.T) {
	loop := Loop{
		Measures: must(NewMeasures(1, 2, Beats{}, Unit{1, 4}, MakeMeter(3, 4))), Slots: EvenSlots(2),
		Chunk: Chunk{Bar: 1, At: Whole(1), Length: Whole(2), Landing: true}, CountIn: 2, Breath: 3,
	}
	ranks := func(p Phrase) (out string) {
		for _, s := range p.Strokes {
			out += [...]string{"s", "b", "B"}[s.Rank]
		}
		return out
	}
	in, _ := loop.CountInPhrase(BPM(60))
	rest, _ := loop.BreathPhrase(BPM(60))
	if got := ranks(in) + " " + ranks(loop.RepPhrase(BPM(60))) + " " + ranks(rest); got != "bsBs bsbsBs bsbsBs" {
		t.Errorf("as slots they are %s", got)
	}
	doubled := loop
	doubled.Pulse, doubled.Slots = Doubled, EvenSlots(1)
	if got := ranks(doubled.RepPhrase(BPM(60))); got != "bbbbBb" {
		t.Errorf("doubled they are %s", got)
	}
	doubled.Slots = EvenSlots(4)
	if got := ranks(doubled.RepPhrase(BPM(60))); got != "bsbsbsbsBsbs" {
		t.Errorf("doubled over four slots they are %s", got)
	}
	crossed := loop
	crossed.Slots = Cross(3, 2)
	if got := ranks(crossed.RepPhrase(BPM(60))); got != "bsbsbsbsBsbs" {
		t.Errorf("in three against two they are %s", got)
	}
}

func must(m Measures, err error) Measures {
	if err != nil {
		panic(err)
	}
	return m
}

// one is a kit whose sounds are a sample, so that each can be told.
func one(accent, beat, slot float32) *Kit {
	return &Kit{Accent: []float32{accent}, Beat: []float32{beat}, Slot: []float32{slot}}
}

// Each rank has its kit, level and side; what has none is the renderer's own.
func TestEveryRankHasItsSound(t *testing.T) {
	phrase := Phrase{Seq: 1, Tempo: BPM(60), Length: Whole(4), Strokes: []Stroke{
		{Rank: BarRank, Voice: AccentVoice, Dynamics: Forte},
		{At: Whole(1), Rank: BeatRank, Voice: BeatVoice, Dynamics: MezzoForte},
		{At: Whole(2), Rank: SlotRank, Voice: SlotVoice, Dynamics: Piano},
		{At: Whole(3), Rank: BarRank, Voice: BeatVoice, Dynamics: Silent},
	}}
	heard := func(s *Sounds, render func(*Renderer, int) []float32) []float32 {
		r := NewRenderer(100, one(0.5, 0.4, 0.3))
		r.SetVolume(0.5)
		render(r, 10)
		phrase.Sounds = s
		r.Queue(phrase)
		r.Start()
		x := render(r, 400)
		return []float32{2 * x[0], 2 * x[len(x)/4], 2 * x[len(x)/2], 2 * x[len(x)*3/4]}
	}
	left := func(r *Renderer, n int) []float32 { return side(r, n, 0) }
	right := func(r *Renderer, n int) []float32 { return side(r, n, 1) }
	equal := func(what string, got []float32, want ...float32) {
		t.Helper()
		for i := range want {
			if d := got[i] - want[i]; d > 1e-6 || d < -1e-6 {
				t.Errorf("%s: %v, want %v", what, got, want)
				return
			}
		}
	}
	for _, channel := range []func(*Renderer, int) []float32{mono, left, right} {
		equal("as usual", heard(nil, channel), 0.5, 0.4*0.6, 0.3*0.35, 0)
		equal("with kits", heard(&Sounds{Kits: [Ranks]*Kit{BarRank: one(0.1, 0, 0), SlotRank: one(0, 0, 0.2)}}, channel), 0.1, 0.4*0.6, 0.2*0.35, 0)
		equal("with levels", heard(&Sounds{Gains: [5]float32{Silent: 0.5, Forte: 0.8, Piano: 0.1}}, channel), 0.5*0.8, 0.4*0.6, 0.3*0.1, 0)
	}
	sides := &Sounds{Sides: [Ranks]Side{Right, Left, Left}, Gains: [5]float32{Forte: 0.5}}
	equal("on the left", heard(sides, left), 0.25*aside, 0.4*0.6*aside, 0, 0)
	equal("on the right", heard(sides, right), 0, 0, 0.3*0.35*aside, 0)
	equal("in one channel", heard(sides, mono), 0.25, 0.4*0.6, 0.3*0.35, 0)
}

// side is one channel of n frames.
func side(r *Renderer, n, channel int) []float32 {
	x := make([]float32, 2*n)
	r.Render(x)
	out := make([]float32, n)
	for i := range out {
		out[i] = x[2*i+channel]
	}
	return out
}

// square is a wave that a drone can have.
func square() *Wave {
	w := &Wave{Samples: make([]float32, WaveLength+1)}
	for i := range w.Samples {
		w.Samples[i] = 0.25
		if i%WaveLength >= WaveLength/2 {
			w.Samples[i] = -0.25
		}
	}
	return w
}

// A drone begins with the click, rises and falls within a tenth of a second, sounds on
// while the renderer vamps, and ends with the click, in silence.
func TestADroneComesAndGoesWithTheClick(t *testing.T) {
	r := NewRenderer(8000, one(0, 0, 0))
	r.SetVolume(1)
	p := plain(1, BPM(60), 1)
	p.Sounds = &Sounds{Drone: &Drone{Wave: square(), Hz: 100, Level: 1}}
	r.Queue(p)
	if x := mono(r, 8000); peakOf(x) != 0 {
		t.Error("it sounds before the click")
	}
	r.Start()
	x := mono(r, 3*8000)
	if early, late := peakOf(x[:80]), peakOf(x[800:]); early > 0.03 || early == 0 || late != 0.25 {
		t.Errorf("at first it peaks at %v, then at %v", early, late)
	}
	if x := mono(r, 8000); peakOf(x) != 0.25 {
		t.Error("a vamp ends it")
	}
	r.Stop(9)
	if x := mono(r, 8000); peakOf(x[:400]) < 0.1 || peakOf(x[801:]) != 0 {
		t.Errorf("after the stop it peaks at %v, then at %v", peakOf(x[:400]), peakOf(x[801:]))
	}
	// On trial it is heard for two seconds, and while the click runs not at all.
	r.Try(Trial{Sounds: p.Sounds, Drone: true})
	if x := mono(r, 3*8000); peakOf(x[:16000]) != 0.25 || peakOf(x[17000:]) != 0 {
		t.Errorf("on trial it peaks at %v, then at %v", peakOf(x[:16000]), peakOf(x[17000:]))
	}
	r.Queue(plain(9, BPM(60), 1))
	r.Start()
	r.Try(Trial{Sounds: p.Sounds, Drone: true})
	if x := mono(r, 8000); peakOf(x) != 0 {
		t.Error("a trial sounds while the click runs")
	}
}

// Nothing allocates with a count aloud, a drone that turns, a model, words and eight
// sounds of three kits that overlap on both sides.
func TestTheCallbackAllocatesNothingWithAllThatSounds(t *testing.T) {
	long := func() *Kit {
		x := slices.Repeat([]float32{0.01}, 8000/10)
		return &Kit{x, x, x}
	}
	r := NewRenderer(8000, long())
	r.SetWind(reed())
	word := slices.Repeat([]float32{0.1}, 400)
	waves := [2]*Wave{square(), square()}
	phrase := func(seq uint64) Phrase {
		p := Phrase{Seq: seq, Tempo: BPM(120), Length: Whole(1), Sounds: &Sounds{
			Kits: [Ranks]*Kit{long(), long(), long()}, Sides: [Ranks]Side{Right, Left, Left},
			Drone: &Drone{Wave: waves[seq%2], Hz: 100 + float64(seq%2), Level: 1},
		}}
		for i := range 48 { // 10 ms apart, and each lasts 100
			p.Strokes = append(p.Strokes, Stroke{At: Frac(int64(i), 48), Dynamics: Forte, Rank: Rank(i % 3)})
		}
		p.Tones = []Tone{{Length: Whole(1), Pitch: Key(60), Level: 1}}
		p.Words = []Word{{At: Frac(1, 2), Lead: 100, Sound: word}}
		return p
	}
	for seq := range uint64(60) {
		r.Queue(phrase(seq + 1))
	}
	r.Start()
	block, most, words := make([]float32, 2*160), 0, false
	if n := testing.AllocsPerRun(1000, func() {
		r.Render(block)
		most = max(most, len(r.mix.voices))
		for _, v := range r.mix.voices {
			words = words || v.word
		}
		for ok := true; ok; {
			_, ok = r.NextMark()
		}
	}); n != 0 {
		t.Errorf("%v allocations a block", n)
	}
	if most < 8 || !words || r.mix.drone.gain == 0 || r.mix.drone.turnTo == 0 || r.model.level == 0 {
		t.Errorf("%d sounds at once, words %v, drone %+v", most, words, r.mix.drone)
	}
}

// A pitch that is wanted while the drone turns to another waits until it has: what
// sounds goes from wave to wave without a step.
func TestADroneTurnsToOnePitchAfterAnother(t *testing.T) {
	flat := func(level float32) *Drone {
		return &Drone{Wave: &Wave{Samples: slices.Repeat([]float32{level}, WaveLength+1)}, Hz: 100, Level: 1}
	}
	d := drone{rate: 8000}
	var x []float32
	sound := func(to *Drone, n int) {
		d.want(to)
		block := make([]float32, n)
		d.add(block)
		x = append(x, block...)
	}
	a, b, c := flat(0.25), flat(-0.25), flat(0.1)
	sound(a, 1000)
	for n := range 30 {
		sound(b, 10*n)
		sound(c, 7*n)
		sound(a, 5*n)
	}
	sound(b, 1000)
	// A turn takes 320 frames, its wave half of them, on half a cosine over 0.5.
	const most = 0.5 * 3.1416 / 2 / 160
	for i := range x[1:] {
		if by := x[i+1] - x[i]; by > most || by < -most {
			t.Fatalf("at %d it goes from %v to %v", i, x[i], x[i+1])
		}
	}
	if last := x[len(x)-1]; last != -0.25 {
		t.Errorf("in the end it is %v", last)
	}
}
