package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// repainting sets the window's processor time while sixteenths at 120 play
// against that of the same window made to repaint at every frame (60 Hz). On a busy
// machine the latter gets fewer frames than that, so what one costs is counted. The two
// take turns, since what else is busy comes and goes.
func repainting(ctx context.Context, dir, _ string) error {
	const (
		watched = 10 * time.Second
		turns   = 2
		hertz   = 60
	)
	routine := filepath.Join(dir, "ten.yaml")
	var ours, theirs time.Duration
	var frames int64
	for range turns {
		one, err := playing(ctx, "window", routine, watched)
		if err != nil {
			return err
		}
		other, err := playing(ctx, "every-frame", routine, watched)
		if err != nil {
			return err
		}
		ours, theirs, frames = ours+one.spent, theirs+other.spent, frames+other.frames
	}
	whole := turns * watched
	full := time.Duration(float64(theirs) / float64(frames) * hertz * whole.Seconds())
	share := float64(ours) / float64(full)
	fmt.Printf("processor time in %v of sixteenths at 120: the window %v, at 60 Hz %v (%d frames took %v): a share of %.2f (at most 0.25: %s)\n",
		whole, ours, full.Round(10*time.Millisecond), frames, theirs, share, verdict(share <= 0.25))
	return nil
}

// twoBars is a step that loops two bars of sixteenths at 120, with a landing and a
// breath.
const twoBars = `footing: 1
name: Two bars
steps:
  - name: Sixteenths
    passage: {piece: Weir Street March, bars: 1-3}
    tempo: {from: 120, goal: 120, step: 4 bpm}
    slots: 4
    dynamics: f p p p
    chunk: {start: "1:1", beats: 8, landing: true}
    count-in: 0
    breath: 3
`

// itsNotes are the notes of those bars and of the landing.
const itsNotes = `    instrument: bassoon
    key: B flat major
    unit: 1/16
    notes: |
      B,,C,D,E, F,G,A,B, CDEF GFED | CB,A,G, F,E,D,C, B,,D,F,B, DB,F,D, | B,,16 |
`

// noting sets the window's processor time while sixteenths at 120 play under
// their notes, whose pages turn, against that without notes.
func noting(ctx context.Context, dir, _ string) error {
	const watched = 20 * time.Second
	spent := map[string]time.Duration{}
	for name, text := range map[string]string{"plain": twoBars, "noted": twoBars + itsNotes} {
		routine := filepath.Join(dir, name+".yaml")
		if err := os.WriteFile(routine, []byte(text), 0o644); err != nil {
			return err
		}
		played, err := playing(ctx, "window", routine, watched)
		if err != nil {
			return err
		}
		spent[name] = played.spent
	}
	ratio := float64(spent["noted"]) / float64(spent["plain"])
	fmt.Printf("processor time in %v of sixteenths at 120: with notes %v, without %v: %.2f times (at most 1.5: %s)\n",
		watched, spent["noted"], spent["plain"], ratio, verdict(ratio <= 1.5))
	return nil
}

// played is what a window needed while a routine played.
type played struct {
	spent  time.Duration // of processors
	frames int64         // that one painted which paints every frame
}

// playing watches a window while a routine plays for so long.
func playing(ctx context.Context, kind, routine string, watched time.Duration) (played, error) {
	w, err := openWindow(ctx, kind, routine)
	if err != nil {
		return played{}, err
	}
	if err := exec.CommandContext(ctx, "xdotool", "key", "--window", w.id, "space").Run(); err != nil {
		return played{}, fmt.Errorf("pressing space: %w", err)
	}
	// The window settles before it is watched.
	if err := wait(ctx, 3*time.Second); err != nil {
		return played{}, err
	}
	before, err := w.needed()
	if err != nil {
		return played{}, err
	}
	if err := wait(ctx, watched); err != nil {
		return played{}, err
	}
	after, err := w.needed()
	if err != nil {
		return played{}, err
	}
	return played{after.spent - before.spent, after.frames - before.frames}, w.close()
}

// opening sets the time until the window is on the screen against that of a
// blank one.
func opening(ctx context.Context, dir, _ string) error {
	const turns = 9
	routine := filepath.Join(dir, "ten.yaml")
	times := map[string][]time.Duration{}
	for range turns {
		for _, kind := range []string{"blank", "window"} {
			w, err := openWindow(ctx, kind, routine)
			if err != nil {
				return err
			}
			times[kind] = append(times[kind], w.took)
			if err := w.close(); err != nil {
				return err
			}
		}
	}
	a, b := median(times["window"]), median(times["blank"])
	ratio := float64(a) / float64(b)
	fmt.Printf("opening: the window %v, a blank one %v: %.2f times (at most 1.3: %s)\n",
		a.Round(time.Millisecond), b.Round(time.Millisecond), ratio, verdict(ratio <= 1.3))
	return nil
}

// shownWindow is a window of this program's own, in a process of its own.
type shownWindow struct {
	cmd  *exec.Cmd
	id   string
	took time.Duration // from the start of the process until it was on the screen

	ask    io.Writer // of one that paints every frame: a line asks it
	answer *bufio.Reader
}

func openWindow(ctx context.Context, kind, routine string) (*shownWindow, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	args := []string{kind}
	if kind != "blank" {
		args = append(args, routine)
	}
	w := &shownWindow{cmd: exec.CommandContext(ctx, self, args...)}
	w.cmd.Stderr = os.Stderr
	w.cmd.Cancel = func() error { return w.cmd.Process.Signal(syscall.SIGTERM) }
	if kind == "every-frame" {
		out, err := w.cmd.StdoutPipe()
		if err != nil {
			return nil, err
		}
		if w.ask, err = w.cmd.StdinPipe(); err != nil {
			return nil, err
		}
		w.answer = bufio.NewReader(out)
	}
	began := time.Now()
	if err := w.cmd.Start(); err != nil {
		return nil, err
	}
	for w.id == "" {
		if time.Since(began) > time.Minute {
			return nil, errors.Join(fmt.Errorf("the %s window does not come up", kind), w.close())
		}
		out, err := exec.CommandContext(ctx, "xdotool", "search", "--onlyvisible", "--pid", fmt.Sprint(w.cmd.Process.Pid), "--name", "Footing").Output()
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil {
			w.id, _, _ = strings.Cut(strings.TrimSpace(string(out)), "\n")
		}
	}
	w.took = time.Since(began)
	return w, nil
}

func (w *shownWindow) close() error {
	_ = w.cmd.Process.Signal(syscall.SIGTERM)
	if err := w.cmd.Wait(); err != nil {
		return fmt.Errorf("the window ended with: %w", err)
	}
	return nil
}

// needed is what the window needed so far.
func (w *shownWindow) needed() (p played, err error) {
	if w.ask != nil {
		if _, err := fmt.Fprintln(w.ask); err != nil {
			return p, fmt.Errorf("asking for frames: %w", err)
		}
		if _, err := fmt.Fscanln(w.answer, &p.frames); err != nil {
			return p, fmt.Errorf("counting frames: %w", err)
		}
	}
	p.spent, err = w.processorTime()
	return p, err
}

// processorTime is what the process has used so far, user and system.
func (w *shownWindow) processorTime() (time.Duration, error) {
	const ticks = 100 // a second, on every Linux that Go runs on
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", w.cmd.Process.Pid))
	if err != nil {
		return 0, err
	}
	// Fields 14 and 15, counted behind the name in brackets (proc(5)).
	_, rest, _ := strings.Cut(string(stat), ") ")
	fields := strings.Fields(rest)
	var user, system int64
	if _, err := fmt.Sscan(fields[11]+" "+fields[12], &user, &system); err != nil {
		return 0, err
	}
	return time.Duration(user+system) * time.Second / ticks, nil
}

func wait(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}
