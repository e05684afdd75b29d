package click

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// reed is a wind of two partials, alike for all keys.
func reed() *Wind {
	wave := Wave{Samples: make([]float32, WaveLength+1), Start: WaveLength / 4}
	for i := range wave.Samples {
		x := 2 * math.Pi * float64(i) / WaveLength
		wave.Samples[i] = float32(0.2*math.Sin(x) - 0.05*math.Sin(3*x))
	}
	return &Wind{A: 440, Waves: slices.Repeat([]Wave{wave}, 100)}
}

// modelled is a renderer that sounds tones at full level and no click.
func modelled(rate int, phrases ...Phrase) *Renderer {
	r := NewRenderer(rate, &Kit{})
	r.SetWind(reed())
	r.SetModelLevel(1)
	for i, p := range phrases {
		p.Seq = uint64(i + 1)
		r.Queue(p)
	}
	r.Start()
	return r
}

func mono(r *Renderer, n int) []float32 {
	out := make([]float32, n)
	for at := 0; at < n; at += 500 {
		r.RenderMono(out[at:min(n, at+500)])
	}
	return out
}

// bend is the largest second difference between two samples: a step shows in it
// by its height, and a tone by far less.
func bend(x []float32) float64 {
	most := 0.0
	for i := 2; i < len(x); i++ {
		most = max(most, math.Abs(float64(x[i]-2*x[i-1]+x[i-2])))
	}
	return most
}

func peakOf(x []float32) (p float32) {
	for _, v := range x {
		p = max(p, v, -v)
	}
	return p
}

// A tone begins on its frame, told from silence in 16 bits at a quarter of the
// level too, and ends where its touch says: after it every sample is zero.
func TestTonesLieOnTheirSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]int{44_100, 48_000, 96_000}).Draw(t, "rate")
		tempo := Tempo(rapid.Int64Range(100_000, int64(MaxTempo)).Draw(t, "tempo"))
		p := Phrase{Tempo: tempo, Length: Whole(4), Strokes: plain(1, tempo, 4).Strokes}
		var want []int64
		line := NewTimeline(0, tempo, rate)
		n := rapid.IntRange(1, 4).Draw(t, "tones")
		for i := range n {
			tone := Tone{
				At:     Whole(i).Add(Frac(rapid.Int64Range(0, 6).Draw(t, "at"), 13)),
				Length: Frac(rapid.Int64Range(1, 7).Draw(t, "length"), 14),
				Pitch:  Cents(rapid.IntRange(3400, 9000).Draw(t, "pitch")),
				Touch:  Touch(rapid.IntRange(0, 2).Draw(t, "touch")), Level: 1,
				Slurred: rapid.Bool().Draw(t, "slurred"), // from nothing
			}
			p.Tones = append(p.Tones, tone)
			whole := float64(tone.Length.Num()) / float64(tone.Length.Den()) * 60_000 / float64(tempo)
			sounds := map[Touch]float64{Plain: 0.9, Tenuto: 1, Staccato: 0.5}[tone.Touch] * whole
			sounds = max(sounds, whole-0.25)
			want = append(want, line.At(tone.At).Round(), int64(math.Round(
				tone.At.Float()*60_000/float64(tempo)*float64(rate)+sounds*float64(rate))))
		}
		r := modelled(rate, p)
		r.SetModelLevel(0.25)
		x := mono(r, int(line.At(Whole(4)).Round()))
		at := 0
		for i := range n {
			begin, end := int(want[2*i]), int(want[2*i+1])
			for ; at < begin; at++ {
				if x[at] != 0 {
					t.Fatalf("tone %d: sample %d is %v, and it begins at %d", i, at, x[at], begin)
				}
			}
			if math.Abs(float64(x[begin])) < 2.0/32768 {
				t.Fatalf("tone %d begins at %d with %v", i, begin, x[begin])
			}
			// The end is rounded from the exact place here, from floats there.
			if end-2 > begin && peakOf(x[max(begin, end-rate/1000):end]) == 0 {
				t.Fatalf("tone %d is silent before its end at %d", i, end)
			}
			at = end + 1
		}
		if p := peakOf(x[at:]); p != 0 {
			t.Fatalf("%v sounds after the last tone", p)
		}
	})
}

// Under a slur nothing starts anew: the peak of the sound stays, and no sample
// steps by 1 % of it.
func TestASlurHasNoStep(t *testing.T) {
	for _, leap := range []Cents{100, -100, 1200, -1900, 3600, -3600} {
		first, second := Key(60), Key(60)+leap
		r := modelled(48_000, Phrase{Tempo: BPM(120), Length: Whole(4), Tones: []Tone{
			{Length: Whole(1), Pitch: first, Level: 1},
			{At: Whole(1), Length: Whole(1), Pitch: second, Slurred: true, Level: 0.7},
		}})
		x := mono(r, 48_000)
		before, after := x[20_000:24_000], x[24_000+384:40_000]
		slur := x[23_990 : 24_000+400]
		if got, held := bend(slur), max(bend(before), bend(after)); got > held+0.01*float64(peakOf(before)) {
			t.Errorf("%d cents: a bend of %v under the slur, %v beside it", leap, got, held)
		}
		if a, b := float64(peakOf(before)), float64(peakOf(after)); math.Abs(b/a-0.7) > 0.01 {
			t.Errorf("%d cents: peak %v after %v", leap, b, a)
		}
		// No trough either: in each period of the lower tone there is a peak.
		period := int(48_000 / min(first, second).Hz(440))
		for at := 23_500; at < 24_500; at++ {
			if p := peakOf(x[at : at+period+1]); p < 0.69*peakOf(before) {
				t.Fatalf("%d cents: a period from %d peaks at %v", leap, at, p)
			}
		}
		// The pitch after the slur is the second's: as many zeros as it has.
		zeros := 0
		for i := 1; i < len(after); i++ {
			if after[i-1] < 0 && after[i] >= 0 {
				zeros++
			}
		}
		if want := float64(len(after)) * second.Hz(440) / 48_000; math.Abs(float64(zeros)-want) > 1.1 {
			t.Errorf("%d cents: %d periods after the slur, want %.1f", leap, zeros, want)
		}
	}
}

// A tone is at full level 12 ms after its onset, 20 ms under 200 Hz, and falls in
// the last 25 ms: half of it in the middle of each.
func TestRiseAndFall(t *testing.T) {
	for _, tt := range []struct {
		key  int
		rise int // frames
	}{{40, 960}, {80, 576}} {
		r := modelled(48_000, Phrase{Tempo: BPM(120), Length: Whole(2), Tones: []Tone{{Length: Whole(1), Pitch: Key(tt.key), Touch: Tenuto, Level: 1}}})
		x := mono(r, 24_000)
		held := modelled(48_000, Phrase{Tempo: BPM(20), Length: Whole(2), Tones: []Tone{{Length: Whole(1), Pitch: Key(tt.key), Touch: Tenuto, Level: 1}}})
		full := mono(held, 24_000)[10_000:]
		for _, p := range []struct {
			at   int
			want float64
		}{{tt.rise / 2, 0.51}, {tt.rise + 10, 1}, {24_000 - 1210, 1}, {24_000 - 600, 0.5}} {
			// Against the same tone held: where it is the strongest in a period around.
			period := int(48_000 / Key(tt.key).Hz(440))
			got := float64(peakOf(x[p.at-period/2:p.at+period/2+1])) / float64(peakOf(full))
			// Over a period of the low tone the level moves by a few hundredths.
			if slack := 0.02 + 1.8*float64(period)/1200*min(1, 4*p.want*(1-p.want)+0.02); math.Abs(got-p.want) > slack {
				t.Errorf("key %d: %.3f of its level at %d, want %.2f", tt.key, got, p.at, p.want)
			}
		}
	}
}

// A wave never sounds at a pitch above its own, where its partials would pass the
// band: upwards the wave changes before the pitch does, downwards after it.
func TestASlurStaysInTheBand(t *testing.T) {
	loud, soft := reed(), reed()
	for i := range soft.Waves[0].Samples {
		soft.Waves[0].Samples[i] /= 1000
	}
	low, high := Key(60), Key(84)
	wind := &Wind{A: 440, Waves: append(loud.Waves[:70], soft.Waves[:30]...)}
	for _, tt := range []struct {
		from, to Cents
		rich     [2]int // the half of the slur in which the lower tone's wave may sound
	}{{low, high, [2]int{0, 192}}, {high, low, [2]int{192, 384}}} {
		r := modelled(48_000, Phrase{Tempo: BPM(120), Length: Whole(2), Tones: []Tone{
			{Length: Whole(1), Pitch: tt.from, Level: 1}, {At: Whole(1), Length: Whole(1), Pitch: tt.to, Slurred: true, Level: 1}}})
		r.SetWind(wind)
		slur := mono(r, 24_400)[24_000:]
		rich, poor := slur[tt.rich[0]:tt.rich[1]], slur[192-tt.rich[0]:384-tt.rich[0]]
		if peakOf(rich) < 0.05 || peakOf(poor) > 0.001 {
			t.Errorf("from %d to %d: peaks of %v where the lower wave may sound, %v where not", tt.from, tt.to, peakOf(rich), peakOf(poor))
		}
	}
}

// A tempo by hand moves the end of the tone that sounds and the onsets after it,
// without a step anywhere, also where the end is nearer than a release is long.
func TestATempoByHandWhileAToneSounds(t *testing.T) {
	for _, tempo := range []Tempo{BPM(300), MaxTempo, BPM(30), BPM(119)} {
		r := modelled(48_000, Phrase{Tempo: BPM(120), Length: Whole(4), Strokes: plain(1, BPM(120), 4).Strokes, Tones: []Tone{
			{Length: Frac(41, 40), Pitch: Key(65), Touch: Tenuto, Level: 1},
			{At: Whole(2), Length: Whole(1), Pitch: Key(67), Touch: Tenuto, Level: 1},
			{At: Whole(3), Length: Whole(1), Pitch: Key(60), Slurred: true, Touch: Tenuto, Level: 1},
		}})
		x := mono(r, 12_000)
		r.SetTempo(tempo, 9) // heard at beat 1, at 24 000
		x = append(x, mono(r, 302_000)...)
		line := NewTimeline(0, BPM(120), 48_000)
		line.Change(Whole(1), tempo)
		begin, end := line.At(Whole(2)).Round(), line.At(Whole(4)).Round()
		if x[begin] == 0 || x[begin-1] != 0 {
			t.Errorf("to %v: the second tone does not begin at %d: %v", tempo, begin, x[begin-2:begin+2])
		}
		if x[end-2] == 0 || peakOf(x[end+1:]) != 0 {
			t.Errorf("to %v: the last tone does not end at %d", tempo, end)
		}
		steady := bend(x[3000:20_000])
		if got := bend(x[2000:begin]); got > steady+0.0025 {
			t.Errorf("to %v: a bend of %v, %v while the tone holds", tempo, got, steady)
		}
	}
}

func TestAStopFadesTheModel(t *testing.T) {
	r := modelled(48_000, Phrase{Tempo: BPM(60), Length: Whole(4), Tones: []Tone{{Length: Whole(4), Pitch: Key(60), Level: 1}}})
	x := mono(r, 9_000)
	steady := bend(x[3000:])
	r.Stop(2)
	y := mono(r, 1_000)
	if peakOf(y[241:]) != 0 || peakOf(y[150:]) == 0 {
		t.Error("the model does not fade within 5 ms of a stop")
	}
	if got := bend(append(x[8000:], y...)); got > steady+0.0025 {
		t.Errorf("a bend of %v at the stop, %v while the tone held", got, steady)
	}
}

// A level set while a tone holds is reached on a ramp of full scale in 10 ms,
// whatever the blocks, and two tones at once follow the same ramp.
func TestTheModelsLevelIsRamped(t *testing.T) {
	r := modelled(48_000, Phrase{Tempo: BPM(60), Length: Whole(4), Tones: []Tone{{Length: Whole(4), Pitch: Key(84), Level: 1}}})
	x := mono(r, 9_700)
	steady := bend(x[3000:])
	r.SetModelLevel(0.2)
	y := mono(r, 1_000)
	full := peakOf(x[9_000:])
	for _, p := range []struct {
		at   int
		want float64
	}{{120, 0.75}, {240, 0.5}, {600, 0.2}, {900, 0.2}} {
		// A period is 46 frames, in which the ramp moves by a tenth.
		if got := float64(peakOf(y[p.at-23:p.at+23]) / full); math.Abs(got-p.want) > 0.06 {
			t.Errorf("%d frames after the change the level is %.3f, want %.2f", p.at, got, p.want)
		}
	}
	if got := bend(append(x[9_000:], y...)); got > steady+0.25/480*1.1 {
		t.Errorf("a bend of %v on the ramp, %v while the tone held", got, steady)
	}
}

// A tone too short for its rise and its fall falls in its latter half.
func TestAShortToneFallsInItsLatterHalf(t *testing.T) {
	// 32 ms, of which the rise takes 12.
	r := modelled(48_000, Phrase{Tempo: BPM(60), Length: Whole(4), Tones: []Tone{{Length: Frac(32, 1000), Pitch: Key(100) - 51, Touch: Tenuto, Level: 1}}})
	x := mono(r, 2_000)
	for _, p := range []struct {
		at   int
		want float64
	}{{700, 1}, {768 + 384, 0.5}} {
		if got := float64(peakOf(x[p.at-10:p.at+10])) / 0.25; math.Abs(got-p.want) > 0.07 {
			t.Errorf("%d frames from its onset its level is %.3f, want %.2f", p.at, got, p.want)
		}
	}
	if x[1533] == 0 || peakOf(x[1536:]) != 0 {
		t.Error("it does not end after 1536 frames")
	}
}

// Levels apart: what sounds is the click as it would be and the model as it would
// be, sample by sample, while peaks lie under the knee; a change of the one's
// level leaves the other's alone.
func TestTheModelLeavesTheClickAlone(t *testing.T) {
	const n = 40_000
	play := func(clicking, model bool) []float32 {
		p := loop(4, "", nil).RepPhrase(BPM(100))
		p.Seq = 1
		if model {
			p.Tones = []Tone{{Length: Frac(3, 2), Pitch: Key(58), Level: 0.8}, {At: Frac(3, 2), Length: Whole(1), Pitch: Key(59), Level: 1}}
		}
		kit := &Kit{}
		if clicking {
			sound := make([]float32, 3000)
			for i := range sound {
				sound[i] = float32(math.Exp(-float64(i)/300) * math.Cos(float64(i)/5))
			}
			kit = &Kit{sound, sound, sound}
		}
		r := NewRenderer(48_000, kit)
		r.SetWind(reed())
		r.Render(make([]float32, 2000))
		r.Queue(p)
		r.Start()
		x := mono(r, n/4)
		r.SetVolume(0.1)
		x = append(x, mono(r, n/4)...)
		r.SetModelLevel(0.9)
		return append(x, mono(r, n/2)...)
	}
	both, clicks, tones := play(true, true), play(true, false), play(false, true)
	if peakOf(tones) < 0.1 || peakOf(clicks) < 0.1 || peakOf(both) > knee {
		t.Fatalf("peaks: model %v, click %v, both %v", peakOf(tones), peakOf(clicks), peakOf(both))
	}
	for i := range both {
		if d := both[i] - clicks[i] - tones[i]; d > 1e-6 || d < -1e-6 {
			t.Fatalf("sample %d: %v, of a click of %v and a model of %v", i, both[i], clicks[i], tones[i])
		}
	}
}

// Without a wind, at a pitch that the wind has not, or at level 0 nothing sounds.
func TestWhatIsNotModelled(t *testing.T) {
	phrase := func(tone Tone) Phrase {
		tone.Length = Whole(1)
		return Phrase{Tempo: BPM(120), Length: Whole(2), Tones: []Tone{tone}}
	}
	for _, tone := range []Tone{{Pitch: Key(60)}, {Pitch: Key(127), Level: 1}, {Pitch: -1, Level: 1}, {Pitch: Key(60), Level: -1}} {
		if p := peakOf(mono(modelled(48_000, phrase(tone)), 30_000)); p != 0 {
			t.Errorf("%+v sounds with a peak of %v", tone, p)
		}
	}
	if p := peakOf(mono(modelled(48_000, phrase(Tone{Pitch: Key(0), Level: 1})), 30_000)); p == 0 {
		t.Error("the lowest key is silent")
	}
	r := modelled(48_000, phrase(Tone{Pitch: Key(60), Level: 1}))
	unclosed := reed()
	unclosed.Waves[60].Samples = unclosed.Waves[60].Samples[:WaveLength]
	r.SetWind(unclosed)
	if p := peakOf(mono(r, 30_000)); p != 0 {
		t.Errorf("a wave without its last sample sounds with a peak of %v", p)
	}
	r = modelled(48_000, phrase(Tone{Pitch: Key(60), Level: 1}))
	r.SetWind(nil)
	if p := peakOf(mono(r, 30_000)); p != 0 {
		t.Errorf("without a wind the peak is %v", p)
	}
}

// tones are any at all: overlapping, out of order, without length, far too short.
func tones(t *rapid.T) []Tone {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Tone {
		return Tone{
			At:     Frac(rapid.Int64Range(-3, 100).Draw(t, "at"), rapid.Int64Range(1, 60).Draw(t, "of")),
			Length: Frac(rapid.Int64Range(-1, 60).Draw(t, "length"), rapid.Int64Range(1, 200).Draw(t, "of")),
			Pitch:  Cents(rapid.IntRange(-100, 10_500).Draw(t, "pitch")), Slurred: rapid.Bool().Draw(t, "slurred"),
			Touch: Touch(rapid.IntRange(0, 3).Draw(t, "touch")), Level: rapid.Float32Range(0, 2).Draw(t, "level"),
		}
	}), 0, 30).Draw(t, "tones")
}

// Whatever tones come with whatever clicks, tempos, levels and stops: peaks stay
// under −1 dBFS, and every click lies where it does without them.
func TestAnyTones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := loop(rapid.IntRange(1, MaxSlots).Draw(t, "slots"), "", nil).RepPhrase(MaxTempo)
		p.Tempo = Tempo(rapid.Int64Range(60_000, int64(MaxTempo)).Draw(t, "tempo"))
		p.Tones = tones(t)
		with, without := modelled(48_000, p, p), NewRenderer(48_000, ringing(48_000))
		with.SetKit(ringing(48_000))
		with.SetVolume(1)
		p.Tones, p.Seq = nil, 1
		without.Queue(p)
		p.Seq = 2
		without.Queue(p)
		without.Start()
		for range rapid.IntRange(1, 6).Draw(t, "blocks") {
			n := rapid.IntRange(1, 8000).Draw(t, "block")
			if p := peakOf(mono(with, n)); !(p <= MaxPeak) {
				t.Fatalf("the peak is %v", p)
			}
			mono(without, n)
			switch rapid.IntRange(0, 4).Draw(t, "key") {
			case 0:
				tempo := Tempo(rapid.Int64Range(int64(MinTempo), int64(MaxTempo)).Draw(t, "by hand"))
				with.SetTempo(tempo, 9)
				without.SetTempo(tempo, 9)
			case 1:
				with.SetModelLevel(rapid.Float32Range(0, 1).Draw(t, "level"))
			}
		}
		for {
			a, ok := with.NextMark()
			b, _ := without.NextMark()
			if a.Kind != b.Kind || a.Frame != b.Frame || a.Stroke != b.Stroke || a.Tempo != b.Tempo {
				t.Fatalf("with a model %+v, without %+v", a, b)
			}
			if !ok {
				break
			}
		}
	})
}

// What overlaps is cut and not broken off: tones that begin upon each other bend
// no more than their onsets do.
func TestATonguedToneCutsTheOneBefore(t *testing.T) {
	r := modelled(48_000, Phrase{Tempo: BPM(60), Length: Whole(4), Tones: []Tone{
		{Length: Whole(4), Pitch: Key(60), Level: 1},
		{At: Frac(1, 4), Length: Whole(1), Pitch: Key(67), Level: 1},
	}})
	x := mono(r, 30_000)
	onset := float64(riseFrom * 0.25)
	if got, steady := bend(x[2000:]), bend(x[14_000:20_000]); got > steady+onset+0.0025 {
		t.Errorf("a bend of %v where a tone cuts another, %v while one holds", got, steady)
	}
}

func TestTheCallbackAllocatesNothingWithAModel(t *testing.T) {
	r := modelled(48_000)
	r.SetKit(ringing(48_000))
	r.Stop(0)
	buf := make([]float32, 2*512)
	p := loop(12, "", nil).RepPhrase(BPM(208))
	for i := range 30 {
		p.Tones = append(p.Tones, Tone{At: Frac(int64(i), 10), Length: Frac(1, 10), Pitch: Key(50 + i), Slurred: i%3 == 1, Level: 1})
	}
	seq := uint64(0)
	for range 8 {
		seq++
		p.Seq = seq
		r.Queue(p)
	}
	r.Start()
	winds := []*Wind{reed(), reed()}
	i, sounded := 0, 0
	if n := testing.AllocsPerRun(900, func() {
		if i++; i%100 == 0 {
			r.Stop(0)
			r.Start()
			r.SetModelLevel(float32(i%7) / 7)
			r.SetWind(winds[i/100%2])
			r.SetTempo(Tempo(200_000+i), seq)
		}
		r.Render(buf)
		if len(r.model.tones) > 0 {
			sounded++
		}
		for {
			if _, ok := r.NextMark(); !ok {
				break
			}
		}
	}); n != 0 {
		t.Errorf("a block allocates %v times", n)
	}
	if sounded < 100 {
		t.Errorf("the model sounded in %d blocks only", sounded)
	}
}

// Click and model together, and the click alone: sixteenths at 120, one tone to
// each, every second slurred. The model is to take no more than the rest of the
// callback does at its most, see BenchmarkRender.
func BenchmarkRenderWithAModel(b *testing.B) {
	for _, with := range []bool{false, true} {
		name := map[bool]string{false: "click", true: "click and model"}[with]
		b.Run(name, func(b *testing.B) {
			r := modelled(48_000)
			r.SetKit(ringing(48_000))
			l := loop(4, "", func(l *Loop) { l.CountIn = 2000 })
			p, _ := l.CountInPhrase(BPM(120))
			for i := range 8000 {
				if with {
					p.Tones = append(p.Tones, Tone{At: Frac(int64(i), 4), Length: Frac(1, 4), Pitch: Key(40 + i%40), Slurred: i%2 == 1, Level: 1})
				}
			}
			buf := make([]float32, 2*512)
			seq := uint64(0)
			b.ReportAllocs()
			for b.Loop() {
				if r.Frames()%(1000*48_000) < 512 { // the phrase lasts 1000 s
					b.StopTimer()
					r.Stop(seq + 1)
					seq++
					p.Seq = seq
					r.Queue(p)
					r.Start()
					b.StartTimer()
				}
				r.Render(buf)
				for {
					if _, ok := r.NextMark(); !ok {
						break
					}
				}
			}
		})
	}
}
