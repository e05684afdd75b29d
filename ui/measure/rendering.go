package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// tenMinutes is a routine of sixteenths at 120 that lasts ten minutes: ten reps
// of 118 beats with two of breath.
const tenMinutes = `footing: 1
name: Ten minutes
steps:
  - name: Sixteenths
    passage: {piece: Weir Street March, bars: 1-30}
    tempo: {from: 120, goal: 120, step: 4 bpm}
    slots: 4
    dynamics: f p p p
    chunk: {start: "1:1", beats: 118, landing: false}
    count-in: 0
    breath: 2
    reps: 10
    rule: steady
`

// synthesis is what sox makes of the same length, rate and encoding: 4800
// clicks in ten minutes of 48 kHz, 16 bits, mono, a tone let through for 30 ms
// of every sixteenth, without dither.
var synthesis = []string{"synth", "600", "sine", "1000", "synth", "600", "square", "amod", "8", "0", "0", "24"}

// rendering sets the program against sox.
func rendering(ctx context.Context, dir, footing string) error {
	routine, ours, theirs := filepath.Join(dir, "ten.yaml"), filepath.Join(dir, "ours.wav"), filepath.Join(dir, "theirs.wav")
	if err := os.WriteFile(routine, []byte(tenMinutes), 0o644); err != nil {
		return err
	}
	const turns = 7
	var mine, sox []time.Duration
	for range turns {
		took, err := timed(ours, exec.CommandContext(ctx, footing, "render", routine, "-o", ours))
		if err != nil {
			return err
		}
		mine = append(mine, took)
		args := append([]string{"-D", "-n", "-r", "48000", "-b", "16", "-c", "1", theirs}, synthesis...)
		took, err = timed(theirs, exec.CommandContext(ctx, "sox", args...))
		if err != nil {
			return err
		}
		sox = append(sox, took)
	}
	a, b := median(mine), median(sox)
	ratio := float64(b) / float64(a)
	fmt.Printf("rendering ten minutes of sixteenths: footing %v, sox %v: %.1f times as fast (at least 5: %s)\n",
		a.Round(time.Millisecond), b.Round(time.Millisecond), ratio, verdict(ratio >= 5))
	return nil
}

// timed runs a command that writes a new file.
func timed(file string, cmd *exec.Cmd) (time.Duration, error) {
	if err := os.RemoveAll(file); err != nil {
		return 0, err
	}
	cmd.Stderr = os.Stderr
	began := time.Now()
	if err := cmd.Run(); err != nil {
		return 0, fmt.Errorf("%s: %w", cmd.Args[0], err)
	}
	return time.Since(began), nil
}
