package click

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// speaker is a renderer that only speaks, at full volume.
func speaker(rate int, phrases ...Phrase) *Renderer {
	r := NewRenderer(rate, &Kit{})
	r.SetVolume(1)
	r.RenderMono(make([]float32, rate/50))
	for i, p := range phrases {
		if p.Seq == 0 {
			p.Seq = uint64(i + 1)
		}
		r.Queue(p)
	}
	r.Start()
	return r
}

// vowel is a word of a quiet lead and one loud frame at its vowel.
func vowel(at Beats, lead, after int) Word {
	sound := slices.Repeat([]float32{0.01}, lead+1+after)
	sound[lead] = 0.5
	return Word{At: at, Sound: sound, Lead: lead}
}

// spokenAt are the frames at which vowels were heard.
func spokenAt(x []float32) (out []int64) {
	for i, s := range x {
		if s > 0.4 {
			out = append(out, int64(i))
		}
	}
	return out
}

// Every vowel lies on its place, rounded once, whatever the blocks, also of a first
// word, whose lead sounds within the phrase before.
func TestVowelsLieOnTheirSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]int{44_100, 48_000, 96_000}).Draw(t, "rate")
		phrases := []Phrase{{Tempo: BPM(240), Length: Whole(1), Strokes: []Stroke{{}}}}
		var want []int64
		line := NewTimeline(0, BPM(240), rate)
		line.Advance(Whole(1))
		for range rapid.IntRange(1, 3).Draw(t, "phrases") {
			tempo := Tempo(rapid.Int64Range(100_000, 200_000).Draw(t, "tempo"))
			line.Change(Beats{}, tempo)
			beats := rapid.IntRange(1, 2).Draw(t, "beats")
			p := Phrase{Tempo: tempo, Length: Whole(beats)}
			for b := range beats {
				p.Strokes = append(p.Strokes, Stroke{At: Whole(b)})
				at := Whole(b)
				if rapid.Bool().Draw(t, "off the beat") {
					at = at.Add(Frac(rapid.Int64Range(1, 2).Draw(t, "third"), 6))
				}
				lead := rapid.IntRange(0, rate/12).Draw(t, "lead") // of at least 0.15 s
				p.Words = append(p.Words, vowel(at, lead, 10))
				want = append(want, line.At(at).Round())
			}
			line.Advance(p.Length)
			phrases = append(phrases, p)
		}
		r := speaker(rate, phrases...)
		x := make([]float32, line.At(Beats{}).Round())
		for at, block := 0, rapid.IntRange(50, 3000).Draw(t, "block"); at < len(x); at += block {
			r.RenderMono(x[at:min(at+block, len(x))])
		}
		if got := spokenAt(x); !slices.Equal(got, want) {
			t.Fatalf("vowels at %v, want %v", got, want)
		}
	})
}

// What there is no time for of the very first word is left out, and the rest rises
// within 5 ms; the vowel stays.
func TestTheFirstWordIsCutAtItsBeginning(t *testing.T) {
	long := Word{Sound: slices.Repeat([]float32{0.5}, 4000), Lead: 1000}
	x := mono(speaker(48_000, Phrase{Tempo: BPM(60), Length: Whole(1), Words: []Word{long}}), 4000)
	for at, want := range map[int]float64{0: 0, 60: 0.125, 120: 0.25, 240: 0.5, 499: 0.5, 2999: 0.5, 3000: 0} {
		if got := float64(x[at]); math.Abs(got-want) > 0.003 {
			t.Errorf("frame %d is %v, want %v", at, got, want)
		}
	}
	// One with nothing before its vowel begins at once, and one that is all lead not.
	x = mono(speaker(48_000, Phrase{Tempo: BPM(60), Length: Whole(1), Words: []Word{{Sound: long.Sound}}}), 10)
	if x[0] != 0.5 {
		t.Errorf("a word without a lead begins with %v", x[0])
	}
	if x = mono(speaker(48_000, Phrase{Tempo: BPM(60), Length: Whole(1), Words: []Word{{Sound: long.Sound, Lead: 9000}}}), 100); peakOf(x) != 0 {
		t.Error("a word that is over sounds")
	}
}

// A word ends the one before within 5 ms, and leaves clicks alone.
func TestAWordEndsTheOneBefore(t *testing.T) {
	long := func(at Beats, level float32) Word {
		return Word{At: at, Sound: slices.Repeat([]float32{level}, 48_000)}
	}
	p := Phrase{Seq: 1, Tempo: BPM(60), Length: Whole(4), Words: []Word{long(Beats{}, 0.25), long(Frac(1, 2), 0.125)},
		Strokes: []Stroke{{Dynamics: Forte, Voice: AccentVoice}}}
	r := NewRenderer(48_000, &Kit{Accent: slices.Repeat([]float32{0.03125}, 30_000)})
	r.SetVolume(1)
	r.RenderMono(make([]float32, 4800))
	r.Queue(p)
	r.Start()
	x := mono(r, 80_000)
	for at, want := range map[int]float64{23_999: 0.28125, 24_120: 0.28125, 24_240: 0.15625, 29_999: 0.15625, 30_000: 0.125, 71_999: 0.125, 72_000: 0} {
		if got := float64(x[at]); math.Abs(got-want) > 0.002 {
			t.Errorf("frame %d is %v, want %v", at, got, want)
		}
	}
}

// Stopped, a word that rises fades as others do.
func TestAStopEndsAWordThatRises(t *testing.T) {
	r := speaker(48_000, Phrase{Tempo: BPM(60), Length: Whole(4), Words: []Word{{Sound: slices.Repeat([]float32{0.5}, 9000), Lead: 10}}})
	x := mono(r, 120)
	r.Stop(2)
	x = append(x, mono(r, 400)...)
	if peakOf(x[360:]) != 0 || peakOf(x[200:]) == 0 || bend(x) > 0.01 {
		t.Errorf("it ends with a peak of %v, and a bend of %v", peakOf(x[360:]), bend(x))
	}
}

// When another phrase takes the place of the one that was led into, its word is cut
// short, and the other's first word begins in its midst.
func TestALeadIntoAnotherPhrase(t *testing.T) {
	say := func(seq uint64, level float32) Phrase {
		return Phrase{Seq: seq, Tempo: BPM(60), Length: Whole(1), Strokes: []Stroke{{}},
			Words: []Word{{Sound: slices.Repeat([]float32{level}, 20_000), Lead: 4800}}}
	}
	silent := Phrase{Seq: 1, Tempo: BPM(60), Length: Whole(1), Strokes: []Stroke{{}}}
	r := speaker(48_000, silent, say(2, 0.25))
	x := mono(r, 46_000)
	if x[43_199] != 0 || x[43_200] != 0.25 {
		t.Errorf("it begins with %v", x[43_198:43_202])
	}
	r.Replace(say(3, 0.5))
	x = append(x, mono(r, 10_000)...)
	for at, want := range map[int]float64{47_999: 0.25, 48_120: 0.375, 48_240: 0.5} {
		if math.Abs(float64(x[at])-want) > 0.003 {
			t.Errorf("frame %d is %v, want %v", at, x[at], want)
		}
	}
	// One that begins later than at the start of its phrase is led into by no other;
	// nor is anything led into from a phrase that ends the click.
	late := say(2, 0.25)
	late.Words[0].At = Frac(1, 20)
	if x := mono(speaker(48_000, silent, late), 48_010); peakOf(x[:47_999]) != 0 || x[48_005] == 0 {
		t.Error("a word within a phrase is led into from the one before")
	}
	last := silent
	last.Final = true
	if x := mono(speaker(48_000, last, say(2, 0.25)), 48_010); peakOf(x) != 0 {
		t.Error("the last phrase leads into another")
	}
	// After it was led into, a phrase goes on with its second word.
	twice := say(2, 0.25)
	twice.Words = append(twice.Words, Word{At: Frac(3, 4), Sound: []float32{0.5}})
	if x := mono(speaker(48_000, silent, twice), 96_000); x[48_000+36_000] != 0.5 || x[43_200] != 0.25 || x[48_100] != 0.25 {
		t.Error("the second word is not where it belongs")
	}
	// Stopped and started, nothing is left of what was led into.
	r = speaker(48_000, silent, say(2, 0.25))
	mono(r, 46_000)
	r.Stop(3)
	mono(r, 1_000)
	r.Queue(say(3, 0.5))
	r.Start()
	if x := mono(r, 1_000); math.Abs(float64(x[999])-0.5) > 0.001 {
		t.Errorf("after a stop it speaks at %v", x[999])
	}
}

// A phrase that arrives while its first word should sound already begins it at once.
func TestALateLead(t *testing.T) {
	silent := Phrase{Seq: 1, Tempo: BPM(60), Length: Whole(1), Strokes: []Stroke{{}}}
	r := speaker(48_000, silent)
	mono(r, 45_000)
	r.Queue(Phrase{Seq: 2, Tempo: BPM(60), Length: Whole(1), Strokes: []Stroke{{}}, Words: []Word{vowel(Beats{}, 4800, 10)}})
	x := mono(r, 4_000)
	if x[0] != 0 || x[200] == 0 || !slices.Equal(spokenAt(x), []int64{3000}) {
		t.Errorf("it begins with %v, and its vowels lie at %v", x[:3], spokenAt(x))
	}
}

// A word out of order is passed over: those after it are spoken.
func TestWordsOutOfOrder(t *testing.T) {
	p := Phrase{Tempo: BPM(60), Length: Whole(4), Strokes: []Stroke{{}, {At: Whole(1)}, {At: Whole(2)}, {At: Whole(3)}},
		Words: []Word{vowel(Whole(1), 0, 0), vowel(Frac(1, 2), 0, 0), vowel(Whole(1), 0, 0), vowel(Whole(3), 10, 0)}}
	x := mono(speaker(48_000, p), 192_000)
	if got := spokenAt(x); !slices.Equal(got, []int64{48_000, 144_000}) {
		t.Errorf("vowels at %v", got)
	}
}

// After a tempo by hand the vowels lie on the places of the new tempo.
func TestATempoByHandMovesVowels(t *testing.T) {
	p := Phrase{Tempo: BPM(60), Length: Whole(4), Strokes: []Stroke{{}, {At: Whole(1)}, {At: Whole(2)}, {At: Whole(3)}},
		Words: []Word{vowel(Whole(1), 2_000, 10), vowel(Frac(3, 2), 2_000, 10), vowel(Whole(3), 2_000, 10)}}
	r := speaker(48_000, p)
	x := mono(r, 20_000)
	r.SetTempo(BPM(90), 9) // heard at beat 1, at 48 000
	x = append(x, mono(r, 130_000)...)
	if got := spokenAt(x); !slices.Equal(got, []int64{48_000, 64_000, 112_000}) {
		t.Errorf("vowels at %v, want 48000, 64000 and 112000", got)
	}
}

// The callback allocates nothing while words are spoken, led into and cut.
func TestSpeakingAllocatesNothing(t *testing.T) {
	p := Phrase{Tempo: BPM(208), Length: Whole(2), Strokes: []Stroke{{}, {At: Whole(1)}},
		Words: []Word{vowel(Beats{}, 4_000, 20_000), vowel(Frac(1, 2), 4_000, 20_000), vowel(Whole(1), 4_000, 20_000)}}
	var all []Phrase
	for range 40 {
		all = append(all, p)
	}
	r := speaker(48_000, all...)
	buf := make([]float32, 1024)
	if n := testing.AllocsPerRun(900, func() {
		r.Render(buf)
		for _, ok := r.NextMark(); ok; _, ok = r.NextMark() {
		}
	}); n != 0 {
		t.Errorf("%v allocations a block", n)
	}
}
