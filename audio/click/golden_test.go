package click

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"testing"
)

// What sounds without a model is what sounded before there was one: the samples
// of a count-in and reps with overlapping sounds, a tempo by hand, changes of
// volume, a stop and a start, and a vamp, in stereo and mono. They are rounded to
// 16 bits, so that a last bit of a float on another processor does not matter.
func TestGoldenWithoutAModel(t *testing.T) {
	for _, tt := range []struct {
		channels int
		want     string
	}{{2, "ebb6b519ea2fc227"}, {1, "8185a8b370bb372f"}} {
		if got := fmt.Sprintf("%x", hashOfAPractice(tt.channels, 16)); got != tt.want {
			t.Errorf("%d channels hash to %q, want %q: put it in only if the sound was meant to change", tt.channels, got, tt.want)
		}
	}
}

// hashOfAPractice renders a practice and hashes its samples, rounded to 16 bits
// or in full.
func hashOfAPractice(channels, bits int) []byte {
	const rate = 48_000
	sound := make([]float32, rate*80/1000)
	for i := range sound {
		sound[i] = float32(math.Cos(float64(i)/7) * math.Exp(-float64(i)/1500))
	}
	r := NewRenderer(rate, &Kit{sound, sound[:2000], sound[:900]})
	h := sha256.New()
	buf := make([]float32, channels*700)
	run := func(blocks int) {
		for range blocks {
			if channels == 2 {
				r.Render(buf)
			} else {
				r.RenderMono(buf)
			}
			for _, s := range buf {
				word := math.Float32bits(s)
				if bits == 16 {
					word = uint32(int32(math.Round(float64(s) * 32767)))
				}
				h.Write(binary.LittleEndian.AppendUint32(nil, word))
			}
		}
	}
	l := loop(4, "", nil)
	l.CountIn, l.Breath = 2, 1
	for i, tempo := range []Tempo{BPM(132), BPM(90), MaxTempo} {
		p, _ := l.CountInPhrase(tempo)
		p.Seq = uint64(3*i + 1)
		r.Queue(p)
		p = l.RepPhrase(tempo)
		p.Seq = uint64(3*i + 2)
		r.Queue(p)
		p, _ = l.BreathPhrase(tempo)
		p.Seq = uint64(3*i + 3)
		r.Queue(p)
	}
	run(3)
	r.Start()
	run(90)
	r.SetVolume(1)
	run(60)
	r.SetTempo(77_777, 5)
	run(60)
	r.Stop(7)
	run(5)
	r.SetVolume(0.2)
	r.Start()
	run(200)
	return h.Sum(nil)[:8]
}
