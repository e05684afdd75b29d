package cli

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"footing/audio/speaker"
	"footing/ladder"
)

func TestARepIsOneOfManyOnlyWhereTheyAreCounted(t *testing.T) {
	step := ladder.DefaultStep()
	for kind, want := range map[ladder.RuleKind]string{ladder.Earned: "rep 1", ladder.Settle: "rep 1", ladder.Steady: "rep 1 of 5"} {
		step.Rule.Kind = kind
		if got := rep(ladder.New(ladder.Routine{Steps: []ladder.Step{step}}, true)); got != want {
			t.Errorf("%v: %q, want %q", kind, got, want)
		}
	}
}

// taped is a sound device that keeps what is played: 10 ms at a time, as they pass.
type taped struct {
	mu     sync.Mutex
	loud   []int // the hundredths of a second, from the first, in which something sounds
	ticks  int
	closed chan struct{}
}

func (d *taped) open(src io.Reader, f speaker.Format) (speaker.Device, error) {
	d.closed = make(chan struct{})
	go func() {
		block := make([]byte, f.Rate/100*2*4)
		for {
			select {
			case <-d.closed:
				return
			case <-time.After(10 * time.Millisecond):
			}
			n, err := io.ReadFull(src, block)
			d.mu.Lock()
			if peak(block[:n]) > 0.001 { // the volume reaches its 0 on a ramp
				d.loud = append(d.loud, d.ticks)
			}
			d.ticks++
			d.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return d, nil
}

// peak is the largest of some samples.
func peak(block []byte) (most float32) {
	for ; len(block) >= 4; block = block[4:] {
		v := math.Float32frombits(binary.LittleEndian.Uint32(block))
		most = max(most, v, -v)
	}
	return most
}

func (d *taped) Err() error             { return nil }
func (d *taped) SetQueue(time.Duration) {}
func (d *taped) Close() error           { close(d.closed); return nil }

// With --model the notes are heard: once and no more, or in every rep, less from
// rung to rung.
func TestPlayWithAModel(t *testing.T) {
	path := write(t, clarinet)
	for name, tt := range map[string]struct {
		args []string
		loud int // seconds in which something sounds; rests between notes may take up to 2 of them
	}{
		"without":    {nil, 0},
		"once":       {[]string{"--model", "once"}, 4},
		"every rep":  {[]string{"--model", "all"}, 18},   // four beats a rep at 60, 64, 68, 72 and 76
		"a fade out": {[]string{"--model", "fades"}, 15}, // and nothing at the goal
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				device := &taped{}
				var out, e bytes.Buffer
				code := Run(t.Context(), World{Out: &out, Err: &e, Device: device.open}, append([]string{"play", path, "--volume", "0", "--model-level", "1"}, tt.args...))
				if code != Done {
					t.Fatalf("status %d: %s", code, e.String())
				}
				device.mu.Lock()
				defer device.mu.Unlock()
				if loud := (len(device.loud) + 50) / 100; loud < tt.loud-2 || loud > tt.loud {
					t.Errorf("something sounds for %d s, want %d", loud, tt.loud)
				}
				if early := slices.ContainsFunc(device.loud, func(at int) bool { return at > 20 && at < 190 }); early {
					t.Error("a note sounds in the count-in")
				}
			})
		})
	}
	if code, _, stderr := run(t, "play", path, "--model", "loud"); code != FaultUsage || !strings.Contains(stderr, "write once, all or fades") {
		t.Errorf("status %d: %s", code, stderr)
	}
}

// A drone sounds on between the clicks, from the first to the end of the routine.
func TestPlayWithADrone(t *testing.T) {
	path := write(t, strings.Replace(clarinet, "    reps: 1", "    levels: {f: -40 dB, mf: -40 dB}\n    drone: {note: Bb2, level: 12 dB}\n    reps: 1", 1))
	synctest.Test(t, func(t *testing.T) {
		device := &taped{}
		var out, e bytes.Buffer
		if code := Run(t.Context(), World{Out: &out, Err: &e, Device: device.open}, []string{"play", path, "--volume", "1"}); code != Done {
			t.Fatalf("status %d: %s", code, e.String())
		}
		device.mu.Lock()
		defer device.mu.Unlock()
		first, last := device.loud[0], device.loud[len(device.loud)-1]
		// Two beats and four at 60, and the same at 64, 68, 72 and 76.
		const beats = 6 * 60 * (1/60. + 1/64. + 1/68. + 1/72. + 1/76.)
		if n := len(device.loud); n != last-first+1 || math.Abs(float64(n)/100-beats) > 1 {
			t.Errorf("something sounds in %d hundredths of %d; the routine has %.1f s", n, last-first+1, beats)
		}
	})
}
