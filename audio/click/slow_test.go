package click

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// slow is a renderer as one would write it down: frame after frame, each sound and
// each tone asked for its sample, in floats of 64 bits and in one channel. It knows
// neither blocks nor rings nor tempos by hand.
type slow struct {
	rate           float64
	wind           *Wind
	strokes        []slowStroke
	tones          []slowTone
	sounds         []*slowSound
	voices         []*slowVoice
	holds          *slowVoice // neither released nor cut
	joined         bool       // by a slur to the tone that comes next
	volume, level  float64
	toVolume       float64
	toLevel        float64
	now, last, end int // last: the onset of the tone that holds; end: where it ends
}

type slowStroke struct {
	at    int
	sound []float32
	gain  float64
}

type slowTone struct {
	at, end int
	joins   bool // the next one goes on from it
	tone    Tone
}

type slowSound struct {
	slowStroke
	played, fading int // frames
	cut            bool
}

type slowVoice struct {
	wave, before         []float32
	hz, hzBefore         float64
	gain, gainBefore     float64
	phase                float64 // in periods
	age, rise            int     // frames
	slurred              int     // frames since the slur began, where before is set
	released, cut        bool
	left, falling, fades int // frames: of the fall, of the whole fall, since the cut
}

// lay places the strokes and tones of phrases, one after the other.
func (s *slow) lay(kit *Kit, phrases ...Phrase) {
	line := NewTimeline(0, MinTempo, int(s.rate))
	for _, p := range phrases {
		line.Change(Beats{}, p.Tempo)
		frame := func(b Beats) int { return int(line.At(b).Round()) }
		for _, k := range p.Strokes {
			if k.Dynamics != Silent {
				s.strokes = append(s.strokes, slowStroke{frame(k.At), kit.Sound(k.Voice), float64(k.Dynamics.Gain())})
			}
		}
		for i, t := range p.Tones {
			whole := t.At.Add(t.Length)
			joins := i+1 < len(p.Tones) && p.Tones[i+1].Slurred && p.Tones[i+1].At == whole && p.Tones[i+1].Length.Sign() > 0
			end := whole
			if tenths := map[Touch]int64{Plain: 9, Tenuto: 10, Staccato: 5}[t.Touch]; !joins {
				end = t.At.Add(Frac(t.Length.Num()*tenths, t.Length.Den()*10))
			}
			if most := whole.Sub(Frac(int64(p.Tempo), 4*60_000)); end.Less(most) { // a quarter of a second
				end = most
			}
			if !end.Less(p.Length) {
				end, joins = p.Length, false
			}
			if t.Length.Sign() > 0 {
				s.tones = append(s.tones, slowTone{frame(t.At), frame(end), joins, t})
			}
		}
		line.Advance(p.Length)
	}
}

// block says that a block begins: levels are looked at there.
func (s *slow) block(volume, level float64) {
	s.toVolume, s.toLevel = volume, level
	if len(s.voices) == 0 {
		s.level = level
	}
}

func (s *slow) stop() {
	s.strokes, s.tones = nil, nil
	for _, k := range s.sounds {
		k.cut = true
	}
	s.cut()
}

func (s *slow) cut() {
	for _, v := range s.voices {
		v.cut = true
	}
	s.holds, s.joined = nil, false
}

func (s *slow) frames(seconds float64) int { return int(seconds * s.rate) }

// next is the next sample.
func (s *slow) next() float64 {
	for len(s.strokes) > 0 && s.strokes[0].at == s.now {
		s.sounds = append(s.sounds, &slowSound{slowStroke: s.strokes[0]})
		s.strokes = s.strokes[1:]
	}
	s.release()
	for len(s.tones) > 0 && s.tones[0].at == s.now {
		s.begin(s.tones[0])
		s.tones = s.tones[1:]
		s.release()
	}
	ramp := func(from, to float64) float64 {
		if math.Abs(to-from) < 1/(0.010*s.rate) {
			return to
		}
		return from + math.Copysign(1/(0.010*s.rate), to-from)
	}
	s.volume, s.level = ramp(s.volume, s.toVolume), ramp(s.level, s.toLevel)
	click, model := 0.0, 0.0
	var ringing []*slowSound
	for _, k := range s.sounds {
		click += k.sample(s)
		if k.played < len(k.sound) && k.fading < s.frames(fadeSeconds) {
			ringing = append(ringing, k)
		}
	}
	var sounding []*slowVoice
	for _, v := range s.voices {
		model += v.sample(s)
		if !(v.released && v.left == 0) && v.fades < s.frames(fadeSeconds) {
			sounding = append(sounding, v)
		}
	}
	s.sounds, s.voices = ringing, sounding
	s.now++
	x := click*s.volume + model*s.level
	if over := math.Abs(x) - knee; over > 0 {
		x = math.Copysign(knee+(MaxPeak-knee)*-math.Expm1(-over/(MaxPeak-knee)), x)
	}
	return x
}

func (k *slowSound) sample(s *slow) float64 {
	fade := 1.0
	if k.cut {
		k.fading++
		fade = 1 - float64(k.fading)/float64(s.frames(fadeSeconds))
	}
	k.played++
	return float64(k.sound[k.played-1]) * k.gain * fade
}

func (s *slow) release() {
	if s.holds == nil || s.joined {
		return
	}
	n := min(s.frames(fallSeconds), (s.end-s.last)/2)
	if s.end-n > s.now {
		return
	}
	s.holds.released, s.holds.left, s.holds.falling = true, n, n
	if n == 0 {
		s.voices = s.voices[:len(s.voices)-1]
	}
	s.holds = nil
}

func (s *slow) begin(t slowTone) {
	key := int(math.Floor(float64(t.tone.Pitch)/100 + 0.5))
	if s.wind == nil || t.tone.Level <= 0 || t.tone.Pitch < 0 || key >= len(s.wind.Waves) {
		s.cut()
		return
	}
	wave, hz, gain := s.wind.Waves[key], s.wind.A*math.Pow(2, (float64(t.tone.Pitch)-6900)/1200), math.Min(float64(t.tone.Level), 1)
	if v := s.holds; v != nil && s.joined && v.before == nil {
		v.before, v.hzBefore, v.gainBefore, v.slurred = v.wave, v.hz, v.gain, 0
		v.wave, v.hz, v.gain = wave.Samples, hz, gain
	} else {
		s.cut()
		if len(s.voices) == maxTones {
			return
		}
		rise := riseSeconds
		if hz < lowHz {
			rise = lowRiseSeconds
		}
		s.holds = &slowVoice{wave: wave.Samples, hz: hz, gain: gain, phase: float64(wave.Start) / WaveLength, rise: s.frames(rise)}
		s.voices = append(s.voices, s.holds)
	}
	s.last, s.end, s.joined = s.now, t.end, t.joins
}

// swell goes from 0 to 1 as half a cosine does, and stays there.
func swell(x float64) float64 { return (1 - math.Cos(math.Pi*min(max(x, 0), 1))) / 2 }

func (v *slowVoice) sample(s *slow) float64 {
	shape := riseFrom + (1-riseFrom)*swell(float64(v.age)/float64(v.rise))
	v.age++
	if v.released {
		shape *= swell(float64(v.left) / float64(v.falling))
		v.left--
	}
	if v.cut {
		v.fades++
		shape *= 1 - float64(v.fades)/float64(s.frames(fadeSeconds))
	}
	x, hz, gain := between(v.wave, v.phase), v.hz, v.gain
	if v.before != nil {
		v.slurred++
		whole := s.frames(slurSeconds)
		part := float64(v.slurred) / float64(whole)
		first, second := swell(2*part), swell(2*part-1)
		if v.hz < v.hzBefore {
			first, second = second, first
		}
		old := between(v.before, v.phase)
		x, hz, gain = old+(x-old)*first, v.hzBefore+(hz-v.hzBefore)*second, v.gainBefore+(gain-v.gainBefore)*swell(part)
		if v.slurred == whole {
			v.before = nil
		}
	}
	_, v.phase = math.Modf(v.phase + hz/s.rate)
	return x * shape * gain
}

func between(wave []float32, phase float64) float64 {
	whole, part := math.Modf(phase * WaveLength)
	a, b := float64(wave[int(whole)]), float64(wave[int(whole)+1])
	return a + (b-a)*part
}

// reeds is a wind whose keys all sound different, of amplitudes up to 0.25.
func reeds(a float64) *Wind {
	w := &Wind{A: a}
	for key := range 90 {
		wave := Wave{Samples: make([]float32, WaveLength+1), Start: 700 + key}
		third := 0.001 * float64(key)
		for i := range wave.Samples {
			x := 2 * math.Pi * float64(i) / WaveLength
			wave.Samples[i] = float32((0.2-third)*math.Sin(x) - third*math.Sin(3*x+1))
		}
		w.Waves = append(w.Waves, wave)
	}
	return w
}

// drawTones are tones in order that touch, leave gaps, overlap, or are hardly there.
func drawTones(t *rapid.T) (out []Tone) {
	at := Beats{}
	for range rapid.IntRange(0, 12).Draw(t, "tones") {
		tone := Tone{
			At:      at,
			Length:  Frac(rapid.SampledFrom([]int64{0, 1, 2, 7, 30, 120, 240, 480, 1500}).Draw(t, "length"), 960),
			Pitch:   Cents(rapid.SampledFrom([]int{-100, 2150, 5500, 5549, 5550, 5700, 6000, 7200, 8900, 8950}).Draw(t, "pitch")),
			Slurred: rapid.Bool().Draw(t, "slurred"), Touch: Touch(rapid.IntRange(0, 2).Draw(t, "touch")),
			Level: rapid.SampledFrom([]float32{0, 0.3, 0.8, 1, 1.5}).Draw(t, "level"),
		}
		out = append(out, tone)
		switch rapid.IntRange(0, 4).Draw(t, "then") {
		case 0:
			at = at.Add(Frac(rapid.Int64Range(0, 20).Draw(t, "soon"), 960))
		case 1:
			at = at.Add(Frac(rapid.Int64Range(0, 480).Draw(t, "later"), 960))
		default:
			at = at.Add(tone.Length)
		}
		if !at.Less(Whole(2)) {
			break
		}
	}
	return out
}

// Every sample is what the slow renderer makes of the phrases: strokes and tones,
// slurs and touches, overlaps, changes of level and a stop, whatever the blocks.
func TestEverySampleIsThatOfTheSlowRenderer(t *testing.T) {
	winds := map[int]*Wind{442: reeds(442), 2 * lowHz: reeds(2 * lowHz)}
	rapid.Check(t, func(t *rapid.T) {
		wind := winds[rapid.SampledFrom([]int{442, 2 * lowHz}).Draw(t, "A")]
		rate := rapid.SampledFrom([]int{8_000, 22_050, 48_000}).Draw(t, "rate")
		kit := &Kit{}
		for i, sound := range []*[]float32{&kit.Accent, &kit.Beat, &kit.Slot} {
			*sound = make([]float32, rate*(80-30*i)/1000)
			for k := range *sound {
				(*sound)[k] = float32(math.Cos(float64((i+1)*k)/5) * math.Exp(-float64(k)/500))
			}
		}
		var phrases []Phrase
		r := NewRenderer(rate, kit)
		r.SetWind(wind)
		for i := range rapid.IntRange(1, 2).Draw(t, "phrases") {
			l := loop(rapid.IntRange(1, MaxSlots).Draw(t, "slots"), rapid.SampledFrom([]string{"", "f", "f pp -"}).Draw(t, "marks"), nil)
			l.Chunk.Landing = false
			p := l.RepPhrase(Tempo(rapid.Int64Range(100_000, int64(MaxTempo)).Draw(t, "tempo")))
			p.Seq, p.Tones = uint64(i+1), drawTones(t)
			phrases = append(phrases, p)
			r.Queue(p)
		}
		// The vamp that follows is out of the way of what is compared.
		s := &slow{rate: float64(rate), wind: wind}
		s.lay(kit, phrases...)
		line := NewTimeline(0, MinTempo, rate)
		for _, p := range phrases {
			line.Change(Beats{}, p.Tempo)
			line.Advance(p.Length)
		}
		end := int(line.At(Beats{}).Round())

		volume, level := rapid.SampledFrom([]float64{0.4, 1}).Draw(t, "volume"), 0.9
		r.SetVolume(float32(volume))
		r.SetModelLevel(float32(level))
		r.RenderMono(make([]float32, rate/50))
		s.volume = volume
		r.Start()
		for s.now < end {
			buf := make([]float32, min(rapid.IntRange(1, 3000).Draw(t, "block"), end-s.now))
			s.block(volume, level)
			r.RenderMono(buf)
			for i, got := range buf {
				at := s.now
				if want := s.next(); math.Abs(float64(got)-want) > 1e-5 {
					t.Fatalf("sample %d (%d of its block) is %v, want %v", at, i, got, want)
				}
			}
			if rings, sounds := len(r.mix.voices), len(r.model.tones); rings != len(s.sounds) || sounds != len(s.voices) {
				t.Fatalf("before sample %d ring %d sounds and %d tones, want %d and %d", s.now, rings, sounds, len(s.sounds), len(s.voices))
			}
			switch rapid.IntRange(0, 12).Draw(t, "key") {
			case 0:
				volume = rapid.Float64Range(0, 1).Draw(t, "volume")
				r.SetVolume(float32(volume))
			case 1:
				level = rapid.Float64Range(0, 1).Draw(t, "level")
				r.SetModelLevel(float32(level))
			case 2:
				r.Stop(99)
				s.stop()
			}
		}
	})
}
