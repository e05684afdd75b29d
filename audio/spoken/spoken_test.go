package spoken

import (
	"context"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"footing/assets"
	"footing/audio/click"
)

func ours(t testing.TB, rate int, before ...fs.FS) *Voice {
	t.Helper()
	v, err := Load(context.Background(), rate, append(before, assets.Voice())...)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// rep is two bars counted by a system.
func rep(system click.Counting, slots int, tempo click.Tempo) click.Phrase {
	m, _ := click.NewMeasures(17, 30, click.Beats{}, click.Unit{Num: 1, Den: 4}, click.MakeMeter(4, 4))
	return click.Loop{
		Measures: m, Slots: click.EvenSlots(slots), Count: system,
		Chunk: click.Chunk{Bar: 17, Length: click.Whole(8)},
	}.RepPhrase(tempo)
}

// played are the samples of what is spoken in a phrase that sounds again and again;
// they begin with the second time, so that the first word has its lead.
func played(rate int, p click.Phrase) []float32 {
	r := click.NewRenderer(rate, &click.Kit{})
	r.SetVolume(1)
	r.RenderMono(make([]float32, rate/50))
	for i := range 3 {
		p.Seq = uint64(i + 1)
		r.Queue(p)
	}
	r.Start()
	n := int(click.Span(p.Length, p.Tempo, rate).Round())
	out := make([]float32, 2*n)
	for at := 0; at < len(out); at += 512 {
		r.RenderMono(out[at:min(at+512, len(out))])
	}
	return out[n:]
}

// The vowel of every word lies within 3 ms of its slot, in every system and at every
// tempo, as told from the rendered samples alone: it begins where the sound first
// reaches half of the peak that the word has in the 50 ms from its slot on.
func TestVowelsLieOnTheirSlots(t *testing.T) {
	for _, rate := range []int{44_100, 48_000} {
		v := ours(t, rate)
		for _, system := range []click.Counting{click.CountNumber, click.CountTakadimi, click.CountGordon, click.CountKodaly} {
			for _, slots := range []int{1, 2, 3, 4, 6} {
				for _, bpm := range []int{40, 63, 92, 126, 208} {
					p := rep(system, slots, click.BPM(bpm))
					p.Words = v.Words(p, Options{Count: true})
					if len(p.Words) < 8 {
						t.Fatalf("%v in %d at %d: %d words in 8 beats", system, slots, bpm, len(p.Words))
					}
					x := played(rate, p)
					for i, w := range p.Words[:len(p.Words)-1] {
						slot := int(click.Span(w.At, p.Tempo, rate).Round())
						from, to := max(0, slot-rate*8/1000), slot+rate*50/1000
						if i == 0 {
							from = 0
						}
						half := peak(x[slot:to]) / 2
						at := from + slices.IndexFunc(x[from:to], func(s float32) bool { return max(s, -s) >= half })
						if off := float64(at-slot) / float64(rate) * 1000; math.Abs(off) > 3 {
							t.Errorf("%v in %d at %d: word %d is %.1f ms off its slot", system, slots, bpm, i, off)
						}
					}
				}
			}
		}
	}
}

func peak(x []float32) (p float32) {
	for _, s := range x {
		p = max(p, s, -s)
	}
	return p
}

// No word sounds into the next, whatever the tempo, and syllables that come too close
// leave the beats alone.
func TestWordsKeepApart(t *testing.T) {
	const rate = 48_000
	v := ours(t, rate)
	rapid.Check(t, func(t *rapid.T) {
		tempo := click.Tempo(rapid.Int64Range(20_000, int64(click.MaxTempo)).Draw(t, "tempo"))
		slots := rapid.IntRange(1, 8).Draw(t, "slots")
		o := Options{Count: true, Bars: rapid.Bool().Draw(t, "bars")}
		if rapid.Bool().Draw(t, "announced") {
			o.Rung = tempo
		}
		p := rep(click.Counting(rapid.IntRange(1, 4).Draw(t, "system")), slots, tempo)
		end := 0
		words := v.Words(p, o)
		for i, w := range words {
			at := int(click.Span(w.At, tempo, rate).Round())
			if w.Lead > len(w.Sound) || peak(w.Sound) > 1 {
				t.Fatalf("word %d has a lead of %d in %d frames, and peaks at %v", i, w.Lead, len(w.Sound), peak(w.Sound))
			}
			if i > 0 && at-w.Lead < end {
				t.Fatalf("word %d begins at %d, and the one before ends at %d", i, at-w.Lead, end)
			}
			end = at - w.Lead + len(w.Sound)
			close := 60_000_000/float64(tempo)/float64(slots) < 115 && tempo > 0
			if close && w.At.Den() != 1 {
				t.Fatalf("a syllable is spoken at %v, where slots are %.0f ms apart", w.At, 60_000_000/float64(tempo)/float64(slots))
			}
		}
		if last := int(click.Span(p.Length, tempo, rate).Round()); end > last {
			t.Fatalf("the last word ends at %d, after the phrase at %d", end, last)
		}
	})
}

// A shortened sound keeps its length's worth of the same pitch, begins as it did and
// ends in silence.
func TestShorteningKeepsThePitch(t *testing.T) {
	const rate = 48_000
	for _, hz := range []float64{110, 180, 300} {
		x := make([]float32, rate/4)
		for i := range x {
			x[i] = float32(0.5 * math.Sin(2*math.Pi*hz*float64(i)/rate))
		}
		for _, n := range []int{len(x), 9_000, 6_000, 4_000} {
			y := shorten(x, n, rate)
			if len(y) != n {
				t.Fatalf("%d frames, want %d", len(y), n)
			}
			if n < len(x) && (!slices.Equal(y[:480], x[:480]) || y[n-1] != 0) {
				t.Errorf("%v Hz in %d frames begins or ends otherwise", hz, n)
			}
			zeros := 0
			for i := 1; i < n; i++ {
				if y[i-1] < 0 && y[i] >= 0 {
					zeros++
				}
			}
			if want := hz * float64(n) / rate; math.Abs(float64(zeros)-want) > 1.5 {
				t.Errorf("%v Hz in %d frames has %d periods, want %.1f", hz, n, zeros, want)
			}
			if p := peak(y[:n-rate*8/1000]); p > 0.501 || peak(y[n/2:n/2+600]) < 0.4 {
				t.Errorf("%v Hz in %d frames peaks at %v", hz, n, p)
			}
		}
		if y := shorten(x, 500, rate); len(y) != 500 {
			t.Errorf("%d frames, want 500", len(y))
		}
		if y := shorten(x, -3, rate); len(y) != 0 {
			t.Errorf("%d frames, want none", len(y))
		}
	}
}

func TestNumbers(t *testing.T) {
	for n, want := range map[int]string{
		0: "0", 7: "7", 19: "19", 20: "20", 21: "20 1", 76: "70 6", 100: "1 hundred", 118: "1 hundred 18",
		342: "3 hundred 40 2", 1203: "12 hundred 3", 9999: "90 9 hundred 90 9", -1: "", 10_000: "",
	} {
		if got := strings.Join(Number(n), " "); got != want {
			t.Errorf("%d is %q, want %q", n, got, want)
		}
	}
	for tempo, want := range map[click.Tempo]string{76_000: "rung 70 6", 76_500: "rung 70 6 point 5", 66_667: "rung 60 6 point 6 6 7", 60_050: "rung 60 point 0 5"} {
		if got := strings.Join(rung(tempo), " "); got != want {
			t.Errorf("%v is announced %q, want %q", tempo, got, want)
		}
	}
}

// Every word that can be counted or announced is there.
func TestTheVoiceHasAllWords(t *testing.T) {
	v := ours(t, 22_050)
	for system := click.CountNumber; system <= click.CountKodaly; system++ {
		for _, meter := range []string{"4/4", "9/8", "2+3+4/8", "5+1/8"} {
			m, _ := click.ParseMeter(meter)
			bar, _ := m.Bar(m.Unit())
			for slots := 1; slots <= 12; slots++ {
				for beat := range bar.Beats {
					for i := range slots {
						if words := spelled(system.In(bar, slots, i, beat)); !v.has(words) {
							t.Errorf("%v: no word for %q", system, words)
						}
					}
				}
			}
		}
	}
	for n := range 10_000 {
		if !v.has(Number(n)) {
			t.Fatalf("%d cannot be spoken", n)
		}
	}
	if !v.has(rung(76_500)) {
		t.Error("a rung cannot be announced")
	}
}

// What is said where: the count, the numbers of bars in place of its ones, and a rung
// in place of what it lasts over.
func TestWhatIsSaid(t *testing.T) {
	v := ours(t, 22_050)
	said := func(p click.Phrase, o Options) string {
		var out []string
		for _, s := range v.sayings(p, o) {
			out = append(out, s.at.String()+":"+strings.Join(s.words, " "))
		}
		return strings.Join(out, ", ")
	}
	plain := rep(click.CountNumber, 1, click.BPM(60))
	counted := rep(click.CountNumber, 2, click.BPM(60))
	countIn := plain
	countIn.Kind = click.CountIn
	short := rep(click.CountNumber, 1, click.BPM(400))
	short.Length, short.Strokes = click.Whole(1), short.Strokes[:1]
	for _, tt := range []struct {
		p    click.Phrase
		o    Options
		want string
	}{
		{plain, Options{}, ""},
		{plain, Options{Count: true}, "0:1, 1:2, 2:3, 3:4, 4:1, 5:2, 6:3, 7:4"},
		{plain, Options{Count: true, Bars: true}, "0:17, 1:2, 2:3, 3:4, 4:18, 5:2, 6:3, 7:4"},
		{plain, Options{Bars: true}, "0:17, 4:18"},
		{countIn, Options{Bars: true}, ""},
		{countIn, Options{Count: true, Rung: 76_000}, "0:rung 70 6, 1:2, 2:3, 3:4, 4:1, 5:2, 6:3, 7:4"},
		{countIn, Options{Count: true, Rung: 76_500}, "0:rung 70 6 point 5, 2:3, 3:4, 4:1, 5:2, 6:3, 7:4"},
		{countIn, Options{Rung: 76_000}, "0:rung 70 6"},
		{short, Options{Count: true, Rung: 400_000}, "0:1"},
		{counted, Options{Count: true, Bars: true}, "0:17, 1/2:and, 1:2, 3/2:and, 2:3, 5/2:and, 3:4, 7/2:and, 4:18, 9/2:and, 5:2, 11/2:and, 6:3, 13/2:and, 7:4, 15/2:and"},
	} {
		if got := said(tt.p, tt.o); got != tt.want {
			t.Errorf("%+v:\n  %s\nwant\n  %s", tt.o, got, tt.want)
		}
	}
}

// wav is a mono file of 8 kHz in 16 bits.
func wav(samples ...int16) []byte {
	n := 2 * len(samples)
	out := []byte("RIFF....WAVEfmt \x10\x00\x00\x00\x01\x00\x01\x00\x40\x1f\x00\x00\x80\x3e\x00\x00\x02\x00\x10\x00data")
	out = append(out, byte(n), byte(n>>8), byte(n>>16), 0)
	for _, s := range samples {
		out = append(out, byte(s), byte(s>>8))
	}
	size := len(out) - 8
	out[4], out[5], out[6], out[7] = byte(size), byte(size>>8), byte(size>>16), 0
	return out
}

// A player's own words take the place of ours; a vowel without a mark is found.
func TestAnOwnVoice(t *testing.T) {
	own := fstest.MapFS{
		"ta.WAV":     {Data: wav(100, -200, 4_999, 5_000, 10_000, -10_000)},
		"readme.txt": {Data: []byte("mine")},
		"di.wav/x":   {Data: []byte("a folder")},
	}
	v := ours(t, 8_000, own)
	if got := v.words["ta"]; got.vowel != 3 || len(got.samples) != 6 {
		t.Errorf("the own ta begins at %d of %d", got.vowel, len(got.samples))
	}
	if len(v.words["di"].samples) < 500 {
		t.Error("a word that is not there is not ours")
	}
	for name, tt := range map[string]struct {
		data []byte
		want string
	}{
		"silent": {wav(0, 0, 0), `read the word "1" of a voice: 1.wav is silent; record a word`},
		"long":   {wav(make([]int16, 8_000*3+1)...), `read the word "1" of a voice: 1.wav lasts longer than 3 s; record one word`},
		"large":  {make([]byte, maxFile+1), `read the word "1" of a voice: 1.wav is larger than 4 MB; record one word`},
		"broken": {[]byte("RIFF"), `read the word "1" of a voice: `},
	} {
		_, err := Load(context.Background(), 8_000, fstest.MapFS{"1.wav": {Data: tt.data}})
		if err == nil || !strings.HasPrefix(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %s", name, err, tt.want)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Load(stopped, 8_000, own); err != context.Canceled {
		t.Errorf("stopped: %v", err)
	}
	if _, err := Load(context.Background(), 8_000, fstest.MapFS{"a": {Data: nil}}, nofolder{}); err == nil {
		t.Error("a folder that is not there is read")
	}
}

type nofolder struct{}

func (nofolder) Open(string) (fs.File, error) { return nil, fs.ErrNotExist }

// What was shortened once is kept, and not without end.
func TestSoundsAreKept(t *testing.T) {
	v := ours(t, 22_050)
	p := rep(click.CountTakadimi, 4, click.BPM(60))
	a, b := v.Words(p, Options{Count: true}), v.Words(p, Options{Count: true})
	if &a[5].Sound[0] != &b[5].Sound[0] {
		t.Error("a sound is made anew")
	}
	for i := range 1500 {
		v.sound([]string{"ta"}, 0, i)
	}
	if len(v.short) > 1001 {
		t.Errorf("%d sounds are kept", len(v.short))
	}
}
