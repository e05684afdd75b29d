package click

import (
	"fmt"
	"strings"
	"testing"
)

// Each bound can be written, and what lies one beyond it cannot.
func TestWhatCanBeWritten(t *testing.T) {
	swing := func(s string) (string, error) { v, err := ParseSwing(s); return v.String(), err }
	meter := func(s string) (string, error) { v, err := ParseMeter(s); return v.String(), err }
	beats := func(s string) (string, error) { v, err := ParseBeats(s); return v.String(), err }
	tempo := func(s string) (string, error) { v, err := ParseTempo(s); return v.String(), err }
	for _, tt := range []struct {
		kind     string
		parse    func(string) (string, error)
		good, no string // parted by blanks
	}{
		{"swing", swing, "1:1 2:1 12:1 1:12 12:12", "0:1 1:0 13:1 1:13 2 :1 2: a:1 1:a 2:1:1 -1:1"},
		{"meter", meter, "1/1 4/4 64/4 3+2/8 32+32/32 1+1/2 7/16", "0/4 65/4 4/0 4/64 4/3 4/-4 4/+4 4 /4 3+/4 33+32/4 3+0/8 a/4 4/a 63+1+1/8"},
		{"beats", beats, "0 2 3/1 1/2 1/960 100000 999/960 0.0625", "1/961 1/0 100001 0.03125 1000000000 /2 1/ 1/a 100000+1"},
		{"tempo", tempo, "10 400 10.001 399.999 76.5", "9.999 400.001 76.5001 . .5 -10 4e2 5"},
	} {
		for _, in := range strings.Fields(tt.good) {
			if _, err := tt.parse(in); err != nil {
				t.Errorf("%s %q: %v", tt.kind, in, err)
			}
		}
		for _, in := range strings.Fields(tt.no) {
			if got, err := tt.parse(in); err == nil || !strings.Contains(err.Error(), "write") {
				t.Errorf("%s %q reads as %s, %v", tt.kind, in, got, err)
			}
		}
	}
	for in, want := range map[string]Beats{"100000000/960": {}, "96000000/960": Whole(100_000), "2.5": Frac(5, 2), "1+1+1/4": Frac(9, 4)} {
		got, err := ParseBeats(in)
		if got != want || (err == nil) != (want != Beats{}) {
			t.Errorf("beats %q are %v, %v", in, got, err)
		}
	}
	for _, tt := range []struct{ num, den int64 }{{3, 0}, {3, -4}, {3, 1}} {
		if got := Frac(tt.num, tt.den); got != Whole(3) {
			t.Errorf("%d/%d is %v", tt.num, tt.den, got)
		}
	}
}

func TestHowManySlots(t *testing.T) {
	for n, want := range map[int]int{-1: 1, 0: 1, 1: 1, 2: 2, 11: 11, 12: 12, 13: 12} {
		if got := EvenSlots(n).Count(); got != want {
			t.Errorf("%d slots are %d", n, got)
		}
	}
	for i, want := range map[int]Beats{0: {}, 1: Frac(2, 3)} {
		if got := Swing(2, 1).At(i); got != want {
			t.Errorf("slot %d of 2:1 is at %v, want %v", i, got, want)
		}
		if got := Swing(1, 1).At(i); got != Frac(int64(i), 2) {
			t.Errorf("slot %d of 1:1 is at %v", i, got)
		}
	}
	if s := Swing(1, 2); s.At(1) != Frac(1, 3) || s.String() != "1:2" {
		t.Errorf("1:2 lies at %v and is %q", s.At(1), s)
	}
	if s := EvenSlots(4); s.At(1) != Frac(1, 4) || s.At(3) != Frac(3, 4) || s.String() != "4" {
		t.Errorf("four slots lie at %v and %v, and are %q", s.At(1), s.At(3), s)
	}
	if first, then, swung := Swing(3, 2).Swung(); first != 3 || then != 2 || !swung || Swing(3, 2).Count() != 2 {
		t.Errorf("a swing is %d:%d, %v", first, then, swung)
	}
	if _, _, swung := EvenSlots(2).Swung(); swung {
		t.Error("even slots swing")
	}
}

// The beat of a meter by the handbooks (common practice, no source): dotted where
// three and more groups of three small values stand above the line.
func TestTheBeatOfAMeter(t *testing.T) {
	for meter, want := range map[string]struct {
		unit  Unit
		beats int
		group string
	}{
		"4/4": {Unit{1, 4}, 4, "f - - -"}, "2/2": {Unit{1, 2}, 2, "f -"}, "3/8": {Unit{1, 8}, 3, "f - -"},
		"6/8": {Unit{3, 8}, 2, "f -"}, "9/8": {Unit{3, 8}, 3, "f - -"}, "12/16": {Unit{3, 16}, 4, "f - - -"},
		"6/4": {Unit{1, 4}, 6, "f - - - - -"}, "5/8": {Unit{1, 8}, 5, "f - - - -"}, "4/8": {Unit{1, 8}, 4, "f - - -"},
		"3+2/8": {Unit{1, 8}, 5, "f - - f -"}, "3+3/8": {Unit{1, 8}, 6, "f - - f - -"}, "2+2+3/4": {Unit{1, 4}, 7, "f - f - f - -"},
		"1/1": {Unit{1, 1}, 1, "f"},
	} {
		m, err := ParseMeter(meter)
		if err != nil {
			t.Fatal(err)
		}
		bar, err := m.Bar(m.Unit())
		var group []string
		for i := range bar.Beats {
			group = append(group, map[bool]string{true: "f", false: "-"}[bar.GroupStart(i)])
		}
		if err != nil || m.Unit() != want.unit || bar.Beats != want.beats || strings.Join(group, " ") != want.group {
			t.Errorf("%s has %d beats of %v, in groups %v, %v; want %v", meter, bar.Beats, m.Unit(), group, err, want)
		}
	}
	for meter, unit := range map[string]Unit{"5/8": {1, 4}, "3/8": {1, 2}, "4/4": {3, 8}} {
		m, _ := ParseMeter(meter)
		if bar, err := m.Bar(unit); err == nil {
			t.Errorf("%s has %d beats of %v", meter, bar.Beats, unit)
		}
	}
	if bar, err := (Meter{}).Bar(Unit{1, 4}); err == nil {
		t.Errorf("no meter has %d beats", bar.Beats)
	}
	// Beyond the 64th beat of a bar no group is kept.
	m, _ := ParseMeter("32+32/1")
	bar, err := m.Bar(Unit{1, 2})
	if err != nil || bar.Beats != 128 || !bar.GroupStart(0) || bar.GroupStart(63) || bar.GroupStart(64) || bar.GroupStart(127) {
		t.Errorf("%v: %d beats, %v", m, bar.Beats, err)
	}
}

// A pickup is no longer than a bar, and no finer than what can be written.
func TestBoundsOfAPickup(t *testing.T) {
	for pickup, ok := range map[Beats]bool{
		{}: true, Frac(1, MaxDenominator): true, Frac(1, MaxDenominator+1): false, Frac(7, 2): true, Whole(4): false, Whole(-1): false,
	} {
		if _, err := NewMeasures(1, 2, pickup, Unit{1, 4}, MakeMeter(4, 4)); (err == nil) != ok {
			t.Errorf("a pickup of %v: %v", pickup, err)
		}
	}
}

func TestMarksAndSyllables(t *testing.T) {
	for d, want := range map[Dynamics]struct {
		mark string
		gain float32
	}{Silent: {"-", 0}, Pianissimo: {"pp", 0.21}, Piano: {"p", 0.35}, MezzoForte: {"mf", 0.6}, Forte: {"f", 1}, Forte + 1: {"?", 1}} {
		if d.String() != want.mark || d.Gain() != want.gain {
			t.Errorf("mark %d is %q with %v", d, d, d.Gain())
		}
		if back, err := ParseDynamics(want.mark); want.mark != "?" && (back != d || err != nil) || want.mark == "?" && err == nil {
			t.Errorf("%q reads as %v, %v", want.mark, back, err)
		}
	}
	for _, tt := range []struct {
		c           Counting
		slots, beat int
		want        string
	}{
		{CountNone, 4, 3, "|||"}, {CountNumber, 1, 3, "3"}, {CountNumber, 4, 3, "3|e|&|a"}, {CountNumber, 5, 3, "3||||"},
		{CountTakadimi, 4, 1, "ta|ka|di|mi"}, {CountGordon, 3, 1, "du|da|di"}, {CountKodaly, 2, 1, "ti|ti"}, {CountKodaly, 6, 1, "ta|||||"},
	} {
		var got []string
		for i := range tt.slots {
			got = append(got, tt.c.Syllable(tt.slots, i, tt.beat))
		}
		if strings.Join(got, "|") != tt.want {
			t.Errorf("%v in %d slots is %q, want %q", tt.c, tt.slots, strings.Join(got, "|"), tt.want)
		}
	}
	for _, word := range []string{"none", "number", "takadimi", "gordon", "kodaly"} {
		if c, err := ParseCounting(word); err != nil || c.String() != word {
			t.Errorf("%q reads as %v, %v", word, c, err)
		}
	}
	for _, word := range []string{"beat", "doubled", "halved", "offbeat"} {
		if p, err := ParsePulse(word); err != nil || p.String() != word {
			t.Errorf("%q reads as %v, %v", word, p, err)
		}
	}
	for _, got := range []string{Counting(9).String(), Pulse(9).String(), Kind(9).String()} {
		if got != "kodaly" && got != "offbeat" && got != "vamp" {
			t.Errorf("a number beyond the names is %q", got)
		}
	}
}

// A ring holds what it was made for, and gives it back in order.
func TestHowMuchARingHolds(t *testing.T) {
	for size, want := range map[int]int{0: 1, 1: 1, 2: 2, 3: 4, 4: 4, 5: 8} {
		r := NewRing[int](size)
		if _, ok := r.Peek(); ok {
			t.Errorf("a new ring of %d holds something", size)
		}
		for round := range 3 {
			n := 0
			for r.Push(100*round + n) {
				n++
			}
			if n != want {
				t.Errorf("a ring for %d holds %d, want %d", size, n, want)
			}
			for i := range n {
				seen, _ := r.Peek()
				if got, ok := r.Pop(); !ok || got != 100*round+i || seen != got {
					t.Errorf("value %d of a ring for %d is %d, %v, and was %d", i, size, got, ok, seen)
				}
			}
			if got, ok := r.Pop(); ok {
				t.Errorf("an empty ring for %d gives %d", size, got)
			}
		}
	}
}

// However a click is mixed, one sound alone or several, one channel or two, the
// sum is the same, each channel alike, and no peak passes MaxPeak.
func TestMixing(t *testing.T) {
	sound := []float32{1, 0.5, -1, -0.5, 0.25, 0.125}
	for _, tt := range []struct {
		name   string
		gains  []float32
		level  float32
		frames int // in each call
	}{
		{"one", []float32{0.5}, 1, 3}, {"one, over the knee", []float32{0.9}, 1, 3}, {"one at the knee", []float32{knee}, 1, 4},
		{"two", []float32{0.3, 0.2}, 1, 2}, {"two, over the knee", []float32{0.9, 0.8}, 1, 5}, {"none", nil, 1, 4},
		{"softly", []float32{0.9, 0.9}, 0.25, 3}, {"in one call", []float32{0.5}, 1, 9}, {"of one frame each", []float32{0.5, 0.4}, 1, 1},
	} {
		for _, stride := range []int{1, 2} {
			m := newMixer(48_000, tt.level)
			for _, g := range tt.gains {
				m.strike(sound, g)
			}
			var got []float32
			for len(got) < 9*stride {
				dst := make([]float32, tt.frames*stride)
				if !m.alone(dst, stride, tt.level) {
					m.add(dst, stride)
					m.finish(dst, stride, tt.level)
				}
				got = append(got, dst...)
			}
			for i := range 9 {
				var want float32
				for _, g := range tt.gains {
					if i < len(sound) {
						want += sound[i] * g
					}
				}
				want = shape(want * tt.level)
				for c := range stride {
					if diff := got[i*stride+c] - want; diff > 1e-6 || diff < -1e-6 {
						t.Errorf("%s in %d channels: sample %d of channel %d is %v, want %v", tt.name, stride, i, c, got[i*stride+c], want)
					}
				}
			}
			if m.active != 0 {
				t.Errorf("%s: %d sounds still ring", tt.name, m.active)
			}
		}
	}
	for _, x := range []float32{0, knee, -knee, knee / 2} {
		if shape(x) != x {
			t.Errorf("%v is bent to %v", x, shape(x))
		}
	}
	for _, x := range []float32{knee + 0.01, 1, 50} {
		if y := shape(x); y <= knee || y >= x || y > MaxPeak || shape(-x) != -y {
			t.Errorf("%v is bent to %v and %v", x, y, shape(-x))
		}
	}
}

// What is silent is not struck; of too many sounds the oldest makes room; and what
// is cut short fades within 5 ms.
func TestStrikingAndCutting(t *testing.T) {
	m := newMixer(1000, 1) // 5 frames of fading
	m.strike(nil, 1)
	m.strike([]float32{1}, 0)
	if m.active != 0 || m.add(make([]float32, 2), 1) {
		t.Error("silence rings")
	}
	for i := range maxVoices + 2 {
		m.strike([]float32{float32(i), float32(i)}, 1)
	}
	if m.active != maxVoices || m.voices[0].sound[0] != 2 || m.voices[maxVoices-1].sound[0] != maxVoices+1 {
		t.Errorf("%d ring, from %v to %v", m.active, m.voices[0].sound, m.voices[m.active-1].sound)
	}
	m = newMixer(1000, 1)
	m.strike([]float32{1, 1, 1, 1, 1, 1, 1, 1, 1}, 1)
	m.add(make([]float32, 1), 1)
	m.cut()
	m.cut() // once is enough
	dst := make([]float32, 16)
	if m.alone(dst, 2, 1) {
		t.Error("a sound that fades is mixed as one that does not")
	}
	m.add(dst, 2)
	var got []string
	for i := 0; i < len(dst); i += 2 {
		got = append(got, fmt.Sprintf("%.1f", dst[i]))
	}
	if want := "0.8 0.6 0.4 0.2 0.0 0.0 0.0 0.0"; strings.Join(got, " ") != want || m.active != 0 {
		t.Errorf("it fades by %v, and %d ring on; want %s", got, m.active, want)
	}
}

// The volume moves by no more than full scale in 10 ms, also through silence.
func TestTheVolumeIsRamped(t *testing.T) {
	m := newMixer(1000, 0) // 10 frames
	dst := make([]float32, 12)
	for i := range dst {
		dst[i] = 0.5
	}
	m.finish(dst, 1, 1)
	var got []string
	for _, s := range dst {
		got = append(got, fmt.Sprintf("%.2f", s))
	}
	if want := "0.05 0.10 0.15 0.20 0.25 0.30 0.35 0.40 0.45 0.50 0.50 0.50"; strings.Join(got, " ") != want {
		t.Errorf("it rises by %v", got)
	}
	m.rest(4, 0)
	if m.level < 0.599 || m.level > 0.601 {
		t.Errorf("after four frames of silence it is %v", m.level)
	}
	m.rest(40, 0)
	if m.level != 0 {
		t.Errorf("after forty it is %v", m.level)
	}
}

// f strikes the accent, and another mark what its slot has.
func TestWhichSoundASlotHas(t *testing.T) {
	m := MakeMeter(4, 4)
	measures, err := NewMeasures(1, 1, Beats{}, Unit{1, 4}, m)
	if err != nil {
		t.Fatal(err)
	}
	loop := Loop{Measures: measures, Slots: EvenSlots(2), Chunk: Chunk{Bar: 1, Length: Whole(3)}, Accents: Accents{
		{Forte, Forte}, {MezzoForte, Piano}, {Piano, Silent}, {Forte, Forte},
	}}
	var got []Voice
	for _, s := range loop.RepPhrase(BPM(60)).Strokes {
		got = append(got, s.Voice)
	}
	want := []Voice{AccentVoice, AccentVoice, BeatVoice, SlotVoice, BeatVoice, SlotVoice}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("the voices are %v, want %v", got, want)
	}
}

func aBeat(seq uint64) Phrase {
	return Phrase{Seq: seq, Kind: Rep, Tempo: BPM(60), Length: Whole(1), Strokes: []Stroke{{Dynamics: Forte, Voice: BeatVoice}}}
}

// What is asked of a renderer that has no room for it is refused, and a volume
// beyond its bounds is the nearest within.
func TestBoundsOfARenderer(t *testing.T) {
	r := NewRenderer(8000, &Kit{Beat: []float32{0.5}})
	n := 0
	for r.Queue(aBeat(uint64(n + 1))) {
		n++
	}
	if n != 64 || r.Replace(aBeat(100)) {
		t.Errorf("%d phrases wait, and one more takes their place", n)
	}
	r.Render(make([]float32, 2))
	if !r.Queue(aBeat(101)) {
		t.Error("those that were passed over still wait")
	}
	for v, want := range map[float32]float32{-1: 0, 0: 0, 0.25: 0.125, 1: 0.5, 7: 0.5} {
		r := NewRenderer(8000, &Kit{Beat: []float32{0.5}})
		r.SetVolume(v)
		r.RenderMono(make([]float32, 800)) // until the volume is reached
		r.Queue(aBeat(1))
		r.Start()
		out := make([]float32, 8)
		r.RenderMono(out)
		if out[0] != want {
			t.Errorf("at volume %v the click is %v, want %v", v, out[0], want)
		}
	}
	if r.Rate() != 8000 || r.Frames() != 1 {
		t.Errorf("%d frames a second, of which %d are rendered", r.Rate(), r.Frames())
	}
}

// A tempo set by hand holds up to the phrase it was set for, and for none after it.
func TestHowFarATempoByHandHolds(t *testing.T) {
	r := NewRenderer(8000, &Kit{Beat: []float32{0.5}})
	for seq := range uint64(4) {
		r.Queue(aBeat(seq + 1))
	}
	r.SetTempo(BPM(120), 2)
	r.Start()
	r.Start() // once is enough
	r.RenderMono(make([]float32, 4*8000))
	var began []string
	for m, ok := r.NextMark(); ok; m, ok = r.NextMark() {
		if m.Kind == Began {
			began = append(began, fmt.Sprint(m.Frame, " at ", m.Tempo))
		}
	}
	if got, want := strings.Join(began, ", "), "0 at 120, 4000 at 120, 8000 at 60, 16000 at 60, 24000 at 60"; got != want {
		t.Errorf("phrases begin %s, want %s", got, want)
	}
	r.Stop(9)
	r.Stop(9)
	r.RenderMono(make([]float32, 8))
	if m, ok := r.NextMark(); !ok || m.Kind != Stopped || m.Frame != 32_000 {
		t.Errorf("it stops with %+v, %v", m, ok)
	}
	if r.LostMarks() != 0 {
		t.Errorf("%d marks are lost", r.LostMarks())
	}
}
