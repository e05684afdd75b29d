//go:build linux && !android

package speaker

import (
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/godbus/dbus/v5"
	"golang.org/x/sys/unix"
)

// What is asked for, from the best down. rtkit grants a desktop program up to 20 by default, and a niceness of −15 (its
// README); a sound server asks for 5, so that a program that waits for it has no use for more.
const (
	realtime = 5
	niceness = -11
	// atOnce is how long the thread may run without waiting for anything before the system ends its hurry: rtkit
	// demands a bound, and 200 ms is the most that it takes by default.
	atOnce = 200 * time.Millisecond
)

// hurry asks for the calling thread to go before others, and for that which carries its sound to a sound server, by
// whatever the system grants to a program of a desktop: real time by its own leave or by that of rtkit, a better niceness
// in either way, or nothing. The goroutine has to be locked to its thread.
func hurry() {
	// A thread that comes back from the device waits for one of the places at which Go's code runs, and all may be held by
	// threads that this machine keeps from running. Nothing here works on more than a few at once: with two more than there
	// are processors one is free.
	runtime.GOMAXPROCS(max(runtime.GOMAXPROCS(0), runtime.NumCPU()+2))
	bound := unix.Rlimit{Cur: uint64(atOnce.Microseconds()), Max: uint64(atOnce.Microseconds())}
	bounded := unix.Setrlimit(unix.RLIMIT_RTTIME, &bound) == nil
	for _, thread := range append(carriers(), unix.Gettid()) {
		// Threads that this one begets do not inherit it.
		if bounded && unix.SchedSetAttr(thread, &unix.SchedAttr{
			Size: unix.SizeofSchedAttr, Policy: unix.SCHED_RR, Flags: unix.SCHED_FLAG_RESET_ON_FORK, Priority: realtime,
		}, 0) == nil {
			continue
		}
		if unix.Setpriority(unix.PRIO_PROCESS, thread, niceness) != nil {
			go askRTKit(thread, bounded) // beside the caller, who plays meanwhile
		}
	}
}

// carriers are the threads by which PulseAudio's library, behind ALSA, speaks with its server; they are known by the name
// that it gives them. PipeWire's see to their priority themselves.
func carriers() (threads []int) {
	names, _ := filepath.Glob("/proc/self/task/*/comm")
	for _, name := range names {
		if text, err := os.ReadFile(name); err == nil && strings.TrimSpace(string(text)) == "threaded-ml" {
			if thread, err := strconv.Atoi(filepath.Base(filepath.Dir(name))); err == nil {
				threads = append(threads, thread)
			}
		}
	}
	return threads
}

// askRTKit asks the service that lends programs of a desktop what they may not take themselves. That the thread goes
// before others by mere niceness needs no bound.
func askRTKit(thread int, bounded bool) {
	bus, err := dbus.ConnectSystemBus()
	if err != nil {
		return
	}
	defer func() { _ = bus.Close() }()
	kit := bus.Object("org.freedesktop.RealtimeKit1", "/org/freedesktop/RealtimeKit1")
	if bounded && kit.Call("org.freedesktop.RealtimeKit1.MakeThreadRealtime", 0, uint64(thread), uint32(realtime)).Err == nil {
		return
	}
	_ = kit.Call("org.freedesktop.RealtimeKit1.MakeThreadHighPriority", 0, uint64(thread), int32(niceness)).Err
}
