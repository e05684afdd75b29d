//go:build rig

// These tests play on the sound card that .ci/rig gives, and unplug it:
//
//	.ci/rig go test -tags rig ./audio/speaker
package speaker

import (
	"encoding/binary"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

const rig = "../../.ci/rig"

// every is the number of frames between two clicks of the source.
const every = 6000

type clicks struct{ next atomic.Int64 }

func (c *clicks) Render(dst []float32) {
	clear(dst)
	at := c.next.Add(int64(len(dst)/2)) - int64(len(dst)/2)
	for i := range len(dst) / 2 {
		if (at+int64(i))%every == 0 {
			dst[2*i], dst[2*i+1] = 0.5, 0.5
		}
	}
}

func sound(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("RIG_DIR") == "" {
		t.Fatal("this test needs a sound card that it may unplug: run it through .ci/rig")
	}
	if out, err := exec.Command(rig, "--sound", what).CombinedOutput(); err != nil {
		t.Fatalf("rig --sound %s: %v\n%s", what, err, out)
	}
}

// await waits until the state is as wanted.
func await(t *testing.T, s *Speaker, sounding bool) {
	t.Helper()
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	late := time.After(20 * time.Second)
	for s.State().Sounding != sounding {
		select {
		case <-tick.C:
		case <-late:
			t.Fatalf("sounding did not become %v: %+v", sounding, s.State())
		}
	}
}

// record listens to the card until it heard n clicks, and returns their places in frames of the recording.
func record(t *testing.T, n int) (at []int) {
	t.Helper()
	at, _ = recordBy(t, n, func() time.Duration { return 0 })
	return at
}

// recordBy also finds when the recording's first frame sounded, on the clock given. A block can come late and never
// early, so that the earliest of all tells it, less what the recording's way takes.
func recordBy(t *testing.T, n int, clock func() time.Duration) (at []int, began time.Duration) {
	t.Helper()
	began = math.MaxInt64
	cmd := exec.Command("parec", "--device=loop.monitor", "--raw", "--format=float32le", "--rate=48000", "--channels=1", "--latency-msec=20")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}()
	buf := make([]byte, 4*480)
	for frame := 0; len(at) < n; {
		if frame > 30*48_000 {
			t.Fatalf("%d clicks in 30 s of recording, want %d", len(at), n)
		}
		if _, err := io.ReadFull(out, buf); err != nil {
			t.Fatalf("record: %v", err)
		}
		for i := 0; i < len(buf); i += 4 {
			if math.Float32frombits(binary.LittleEndian.Uint32(buf[i:])) > 0.25 {
				at = append(at, frame)
			}
			frame++
		}
		began = min(began, clock()-time.Duration(frame)*time.Second/48_000)
	}
	return at, began
}

func isEven(at []int) bool {
	for i := 1; i < len(at); i++ {
		if at[i]-at[i-1] != every {
			return false
		}
	}
	return true
}

func evenly(t *testing.T, at []int) {
	t.Helper()
	for i := 1; i < len(at); i++ {
		if d := at[i] - at[i-1]; d != every {
			t.Errorf("click %d came %d frames after the one before, want %d", i, d, every)
		}
	}
}

func openOnCard(t *testing.T) (*Speaker, *clicks) {
	src := &clicks{}
	s, err := Open(src, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	<-s.Ready()
	return s, src
}

func TestRigUnplugAndPlugIn(t *testing.T) {
	s, src := openOnCard(t)
	await(t, s, true)
	evenly(t, record(t, 16))
	for range 2 {
		sound(t, "stop")
		await(t, s, false)
		t.Log(s.State().Line)
		before, frames, begin := s.Heard(), src.next.Load(), time.Now()
		<-time.After(3 * time.Second)
		went := time.Duration(s.Heard()-before) * time.Second / 48_000
		if d := went - time.Since(begin); d.Abs() > 300*time.Millisecond {
			t.Errorf("without a card the position went %v in %v", went, time.Since(begin))
		}
		if src.next.Load() == frames {
			t.Error("without a card the source was not pulled")
		}
		sound(t, "start")
		await(t, s, true)
		evenly(t, record(t, 16))
	}
	// While a device pulls, the source may be a pull ahead of the count.
	_ = s.Close()
	if src.next.Load() != s.Rendered() {
		t.Errorf("the source gave %d frames, %d were counted", src.next.Load(), s.Rendered())
	}
}

func TestRigNoCardAtStart(t *testing.T) {
	sound(t, "stop")
	s, _ := openOnCard(t)
	if s.State().Sounding || s.State().Line == "" {
		t.Errorf("without a card the state is %+v", s.State())
	}
	sound(t, "start")
	await(t, s, true)
	evenly(t, record(t, 16))
}

// held counts the descriptors and the threads of this process.
func held(t *testing.T) (descriptors, threads int) {
	t.Helper()
	count := func(dir string) int {
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		return len(entries)
	}
	return count("/proc/self/fd"), count("/proc/self/task")
}

// A player whose card comes and goes all week keeps no more of it than its last coming. The first replug warms up
// what is made once. Go may start a thread or two of its own meanwhile; a card that was kept shows as one and five
// descriptors each time.
func TestRigAReplugLeavesNothingBehind(t *testing.T) {
	s, _ := openOnCard(t)
	await(t, s, true)
	const replugs = 20
	var descriptors, threads int
	for i := range replugs + 1 {
		sound(t, "stop")
		await(t, s, false)
		sound(t, "start")
		await(t, s, true)
		d, th := held(t)
		if i == 0 {
			descriptors, threads = d, th
		}
		if i == replugs {
			t.Logf("after %d replugs %d descriptors, %d before; %d threads, %d before", replugs, d, descriptors, th, threads)
			if d > descriptors+3 || th > threads+5 {
				t.Errorf("%d replugs left %d descriptors and %d threads behind", replugs, d-descriptors, th-threads)
			}
		}
	}
}

// What a microphone hears with the click's frame that was audible then is the click itself: each recorded click, asked
// for by the time at which it came, is the source's own. The recording's way and what the estimate of the device is off
// by stay the same from click to click.
func TestRigWhatWasAudible(t *testing.T) {
	s, _ := openOnCard(t)
	await(t, s, true)
	record(t, 16) // the line settles
	at, began := recordBy(t, 64, s.Now)
	for tries := 1; !isEven(at); tries++ {
		// The card or the recording ran dry, so that nothing is known of its places.
		if tries == 5 {
			t.Fatal("the machine is too busy to record 64 clicks without a gap")
		}
		at, began = recordBy(t, 64, s.Now)
	}
	low, high := int64(math.MaxInt64), int64(math.MinInt64)
	for _, place := range at {
		frame, ok := s.AudibleAt(began + time.Duration(place)*time.Second/48_000)
		if !ok {
			t.Fatalf("what was audible with frame %d of the recording is not known", place)
		}
		off := (frame+every/2)%every - every/2
		low, high = min(low, off), max(high, off)
	}
	t.Logf("what is said to have been audible lies %d to %d frames beside the recorded clicks", low, high)
	if high-low > 480 {
		t.Errorf("from click to click it differs by %d frames, want less than 10 ms", high-low)
	}
	if low < -2400 || high > 2400 {
		t.Errorf("it is off by %d to %d frames, want less than 50 ms", low, high)
	}
}

// A sound server can accept and never answer. That is told, and it is taken up when it answers after all.
func TestRigAServerThatDoesNotAnswer(t *testing.T) {
	sound(t, "stop")
	sound(t, "start")
	pid, err := os.ReadFile(filepath.Join(os.Getenv("RIG_DIR"), "sound.pid"))
	if err != nil {
		t.Fatal(err)
	}
	server, err := strconv.Atoi(strings.TrimSpace(string(pid)))
	if err != nil {
		t.Fatal(err)
	}
	signal := func(sig syscall.Signal) {
		if err := syscall.Kill(server, sig); err != nil {
			t.Fatal(err)
		}
	}
	signal(syscall.SIGSTOP)
	t.Cleanup(func() { signal(syscall.SIGCONT) })
	s, err := Open(&clicks{}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	select {
	case <-s.Ready():
	case <-time.After(20 * time.Second):
		t.Fatal("a server that does not answer is waited for without end")
	}
	if line := s.State().Line; !strings.Contains(line, "does not answer") {
		t.Errorf("it says %q", line)
	}
	signal(syscall.SIGCONT)
	await(t, s, true)
	record(t, 4)
}

// A device that is named plays; one that there is not is told, and the way back is short.
func TestRigADeviceByName(t *testing.T) {
	var named bool
	for _, d := range Devices() {
		named = named || d.ID == "pulse"
	}
	if !named {
		t.Fatalf("the sound server is not among the devices %v", Devices())
	}
	s, _ := openOnCard(t)
	await(t, s, true)
	s.SetDevice("no such device")
	await(t, s, false)
	t.Log(s.State().Line)
	s.SetDevice("pulse")
	await(t, s, true)
	evenly(t, record(t, 16))
	s.SetBuffer(300 * time.Millisecond) // more is held while it plays on
	for s.Buffer() != 300*time.Millisecond {
		record(t, 2)
	}
	evenly(t, record(t, 24))
}
