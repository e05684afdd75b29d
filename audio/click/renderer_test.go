package click

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// spike is a kit of single samples, so that clicks are told apart by height
// and found on the sample.
func spike() *Kit { return &Kit{Accent: []float32{1}, Beat: []float32{0.5}, Slot: []float32{0.25}} }

// ringing is a kit of full-scale sounds of 80 ms, the worst that can overlap.
func ringing(rate int) *Kit {
	sound := make([]float32, rate*80/1000)
	for i := range sound {
		sound[i] = 1
	}
	return &Kit{sound, sound, sound}
}

// clicks renders n frames in blocks and returns the frames that are not zero.
func clicks(r *Renderer, n, block int) []int64 {
	var out []int64
	buf := make([]float32, 2*block)
	for done := 0; done < n; done += block {
		at := r.Frames()
		r.Render(buf)
		for i := range block {
			if buf[2*i] != 0 {
				out = append(out, at+int64(i))
			}
			if buf[2*i] != buf[2*i+1] {
				panic("left and right differ")
			}
		}
	}
	return out
}

func equal(t *testing.T, got, want []int64) {
	t.Helper()
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("click %d of %d (want %d): got %v, want %v", i, len(got), len(want), tail(got, i), tail(want, i))
		}
	}
}

func tail(list []int64, i int) []int64 { return list[min(i, len(list)):min(i+5, len(list))] }

func plain(seq uint64, t Tempo, beats int) Phrase {
	l := Loop{Measures: bars(4), Slots: EvenSlots(1), CountIn: beats}
	p, _ := l.CountInPhrase(t)
	p.Seq = seq
	return p
}

// The first non-zero sample of each click is its exact place, rounded once,
// whatever the block size, through phrases at changing tempos.
func TestClicksLieOnTheirSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]int{44_100, 48_000, 96_000}).Draw(t, "rate")
		r := NewRenderer(rate, spike())
		lead := rapid.IntRange(0, 5000).Draw(t, "silence before")
		r.Render(make([]float32, 2*lead))
		line := NewTimeline(int64(lead), MinTempo, rate)
		var want []int64
		for seq := range uint64(rapid.IntRange(1, 6).Draw(t, "phrases")) {
			l := loop(rapid.IntRange(1, MaxSlots).Draw(t, "slots"), "", nil)
			l.Pulse = Pulse(rapid.IntRange(0, 3).Draw(t, "pulse"))
			p := l.RepPhrase(Tempo(rapid.Int64Range(100_000, int64(MaxTempo)).Draw(t, "tempo")))
			p.Seq = seq + 1
			r.Queue(p)
			line.Change(Beats{}, p.Tempo)
			for _, s := range p.Strokes {
				if s.Dynamics != Silent {
					want = append(want, line.At(s.At).Round())
				}
			}
			line.Advance(p.Length)
		}
		end := line.At(Beats{}).Round()
		r.Start()
		block := rapid.IntRange(1, 3000).Draw(t, "block")
		got := clicks(r, int(end)-lead+block, block)
		for len(got) > 0 && got[len(got)-1] >= end {
			got = got[:len(got)-1] // the vamp that follows
		}
		for i := range max(len(got), len(want)) {
			if i >= len(got) || i >= len(want) || got[i] != want[i] {
				t.Fatalf("click %d: got %v, want %v", i, tail(got, i), tail(want, i))
			}
		}
	})
}

func TestAnEmptyRingVamps(t *testing.T) {
	r := NewRenderer(48_000, spike())
	r.Queue(plain(1, BPM(120), 2))
	r.Start()
	equal(t, clicks(r, 5*24_000, 500), []int64{0, 24_000, 48_000, 72_000, 96_000})
	// What arrives late takes over at the next beat.
	r.Queue(plain(2, BPM(240), 2))
	equal(t, clicks(r, 36_000, 500), []int64{120_000, 132_000, 144_000})
}

func TestNothingSoundsBeforeStartOrAfterStop(t *testing.T) {
	r := NewRenderer(48_000, spike())
	r.Queue(plain(1, BPM(240), 4))
	equal(t, clicks(r, 10_000, 500), nil)
	r.Start()
	equal(t, clicks(r, 12_500, 500), []int64{10_000, 22_000})
	r.Stop(2)
	equal(t, clicks(r, 50_000, 500), nil)
	r.Start() // nothing waits: silence, not a vamp
	equal(t, clicks(r, 50_000, 500), nil)
	r.Queue(plain(2, BPM(240), 4))
	equal(t, clicks(r, 500, 500), []int64{122_500})
	// A stop and a start between two blocks cut the phrase and begin another.
	r.Stop(3)
	r.Queue(plain(3, BPM(240), 4))
	r.Start()
	equal(t, clicks(r, 500, 500), []int64{123_000})
}

func TestReplacePassesOverWhatWaits(t *testing.T) {
	r := NewRenderer(48_000, spike())
	r.Queue(plain(1, BPM(240), 2))
	r.Start()
	clicks(r, 500, 500)
	r.Replace(plain(2, BPM(60), 2))
	r.Replace(plain(3, BPM(120), 2))
	equal(t, clicks(r, 60_000, 500), []int64{12_000, 24_000, 48_000})
}

func TestAFinalPhraseEndsTheClick(t *testing.T) {
	r := NewRenderer(48_000, spike())
	p := plain(1, BPM(240), 2)
	p.Final = true
	r.Queue(p)
	r.Start()
	equal(t, clicks(r, 100_000, 500), []int64{0, 12_000})
	last := Mark{}
	for {
		m, ok := r.NextMark()
		if !ok {
			break
		}
		last = m
	}
	if last.Kind != RanOut || last.Frame != 24_000 {
		t.Errorf("the last mark is %+v, want RanOut at 24000", last)
	}
	r.Queue(plain(2, BPM(240), 1))
	r.Start()
	if got := clicks(r, 500, 500); len(got) != 1 {
		t.Errorf("a start after the end gives %v", got)
	}
}

// A tempo set by hand is heard at the next slot: that slot keeps its place,
// and the one after it is at the new distance.
func TestATempoByHandIsHeardAtTheNextSlot(t *testing.T) {
	r := NewRenderer(48_000, spike())
	r.Queue(plain(1, BPM(120), 4))
	r.Queue(plain(2, BPM(120), 1))
	r.Queue(plain(3, BPM(60), 1))
	r.Start()
	clicks(r, 30_000, 500) // clicks at 0 and 24 000
	r.SetTempo(BPM(240), 2)
	equal(t, clicks(r, 120_000, 500), []int64{48_000, 60_000, 72_000, 84_000, 132_000})
}

func TestMarksSayWhatWasRenderedWhere(t *testing.T) {
	r := NewRenderer(48_000, spike())
	r.Queue(plain(1, BPM(240), 2))
	r.Start()
	clicks(r, 30_000, 700)
	want := []struct {
		kind  MarkKind
		frame int64
	}{{Began, 0}, {Struck, 0}, {Struck, 12_000}, {Ended, 24_000}, {Began, 24_000}, {Struck, 24_000}}
	for i, w := range want {
		m, ok := r.NextMark()
		if !ok || m.Kind != w.kind || m.Frame != w.frame || m.Tempo != BPM(240) {
			t.Fatalf("mark %d is %+v (%v), want kind %d at %d", i, m, ok, w.kind, w.frame)
		}
	}
	if m, ok := r.NextMark(); ok {
		t.Errorf("one mark too many: %+v", m)
	}
	if r.LostMarks() != 0 {
		t.Errorf("%d marks lost", r.LostMarks())
	}
	clicks(r, 5000*12_000, 12_000)
	if r.LostMarks() == 0 {
		t.Error("marks that nobody takes are not counted as lost")
	}
}

// Peaks stay under −1 dBFS by construction, whatever overlaps.
func TestPeaksStayUnderMinusOneDecibel(t *testing.T) {
	const limit = 0.8913 // 10^(−1/20)
	r := NewRenderer(48_000, ringing(48_000))
	r.SetVolume(1)
	l := loop(12, "f f f f f f f f f f f f", func(l *Loop) { l.Pulse = Doubled })
	p := l.RepPhrase(MaxTempo)
	p.Seq = 1
	r.Queue(p)
	r.Start()
	buf := make([]float32, 2*30_000)
	r.Render(buf)
	peak := float32(0)
	for _, s := range buf {
		peak = max(peak, s, -s)
	}
	if peak > limit || peak < 0.8 {
		t.Errorf("the peak is %v, want close to %v and under %v", peak, MaxPeak, limit)
	}
}

// A change of volume is a ramp of at most 1/480 of full scale a frame (10 ms
// from silence to full), and a stop a fade of 5 ms.
func TestEveryChangeOfLevelIsRamped(t *testing.T) {
	flat := make([]float32, 3840)
	for i := range flat {
		flat[i] = 0.5
	}
	r := NewRenderer(48_000, &Kit{flat, flat, flat})
	r.SetVolume(1)
	r.Render(make([]float32, 2*480)) // the ramp up is over before the click
	r.Queue(plain(1, BPM(60), 4))
	r.Start()
	buf := make([]float32, 2*500)
	steps := func(what string, want float32) {
		t.Helper()
		last, largest := buf[len(buf)-1], float32(0)
		r.Render(buf)
		for i := 0; i < len(buf); i += 2 {
			largest = max(largest, float32(math.Abs(float64(buf[i]-last))))
			last = buf[i]
		}
		if largest > want*1.01 || largest < want*0.9 {
			t.Errorf("%s: the largest step is %v, want %v", what, largest, want)
		}
	}
	r.Render(buf)
	r.SetVolume(0.2)
	steps("volume down", 0.5/480)
	r.SetVolume(1)
	steps("volume up", 0.5/480)
	r.Stop(2)
	steps("stop", 0.5/240)
	r.Render(buf)
	if buf[0] != 0 || buf[999] != 0 {
		t.Error("the click still rings 10 ms after a stop")
	}
}

func TestTheCallbackAllocatesNothing(t *testing.T) {
	r := NewRenderer(48_000, ringing(48_000))
	buf := make([]float32, 2*512)
	p := loop(12, "", nil).RepPhrase(BPM(208))
	seq := uint64(0)
	feed := func() {
		for range 8 {
			seq++
			p.Seq = seq
			r.Queue(p)
		}
	}
	feed()
	r.Start()
	// 8 phrases of 3 beats at 208 bpm last 6.9 s: 600 blocks of 512 frames run
	// within them, and the rest vamps; starts and stops are made on the way.
	i := 0
	if n := testing.AllocsPerRun(900, func() {
		if i++; i%100 == 0 {
			r.Stop(0)
			r.Start()
			r.SetVolume(float32(i%7) / 7)
			r.SetTempo(Tempo(100_000+i), seq)
		}
		r.Render(buf)
		for {
			if _, ok := r.NextMark(); !ok {
				break
			}
		}
	}); n != 0 {
		t.Errorf("a block allocates %v times", n)
	}
}

// Feeder, callback and reader run at once; the race detector is the judge, and
// every phrase comes through once and in order, within a minute.
func TestThreeGoroutinesAtOnce(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	r := NewRenderer(48_000, spike())
	const phrases = 300
	var wg sync.WaitGroup
	defer wg.Wait()
	defer cancel()
	var read atomic.Int64 // the frame of the latest mark taken
	// The click runs before anything else does: silence gives no marks, and the
	// callback below waits for marks.
	r.Queue(plain(1, MaxTempo, 1))
	r.Start()
	wg.Go(func() {
		for seq := uint64(2); seq <= phrases && ctx.Err() == nil; {
			if r.Queue(plain(seq, MaxTempo, 1)) {
				seq++
			}
			r.SetVolume(float32(seq) / phrases)
		}
	})
	wg.Go(func() {
		buf := make([]float32, 2*256)
		for ctx.Err() == nil {
			// Never so far ahead that marks are lost.
			if r.Frames()-read.Load() < 480_000 {
				r.Render(buf)
			} else {
				runtime.Gosched()
			}
		}
	})
	for want := uint64(1); want <= phrases; {
		if ctx.Err() != nil {
			t.Fatalf("phrase %d of %d has not begun within a minute; %d frames were rendered", want, phrases, r.Frames())
		}
		m, ok := r.NextMark()
		if ok {
			read.Store(m.Frame)
		}
		if ok && m.Kind == Began && m.Phrase.Kind != Vamp {
			if m.Phrase.Seq != want {
				t.Fatalf("phrase %d began, want %d", m.Phrase.Seq, want)
			}
			want++
		}
	}
}

// Twelve slots a beat at 400 bpm, of which seven ring at once: the most that a
// callback of 512 frames has to do.
func BenchmarkRender(b *testing.B) {
	r := NewRenderer(48_000, ringing(48_000))
	buf := make([]float32, 2*512)
	l := loop(12, "", func(l *Loop) { l.CountIn = 2000 })
	p, _ := l.CountInPhrase(MaxTempo)
	seq := uint64(0)
	b.ReportAllocs()
	for b.Loop() {
		if r.Frames()%(300*48_000) < 512 { // the phrase lasts 300 s
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
}

// In silence a preview is a beat at mf from the next frame on, and one more cuts it;
// while the click runs it is not heard, nor afterwards.
func TestPreview(t *testing.T) {
	kit := &Kit{Beat: make([]float32, 2000), Accent: []float32{1}, Slot: []float32{1}}
	for i := range kit.Beat {
		kit.Beat[i] = 0.5
	}
	r := NewRenderer(48_000, kit)
	r.SetVolume(1)
	mono(r, 1000)
	r.Preview()
	if x := mono(r, 3000); x[0] != 0.3 || x[1999] != 0.3 || x[2000] != 0 {
		t.Errorf("a preview is %v … %v, %v", x[0], x[1999], x[2000])
	}
	r.Preview()
	mono(r, 500)
	r.Preview()
	if x := mono(r, 2500); x[0] < 0.55 || x[0] > 0.6 || x[240] != 0.3 || x[1999] != 0.3 || x[2000] != 0 {
		t.Errorf("one more is %v, %v … %v, %v", x[0], x[240], x[1999], x[2000])
	}
	r.Start()
	r.Preview()
	if p := peakOf(mono(r, 3000)); p != 0 {
		t.Errorf("while the click runs the peak is %v", p)
	}
	r.Stop(0)
	if p := peakOf(mono(r, 3000)); p != 0 {
		t.Errorf("afterwards the peak is %v", p)
	}
}
