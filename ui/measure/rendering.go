package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"time"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/audio/track"
	"footing/ladder/conduct"
	"footing/ladder/routine"
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

// references are what sox makes of the same length, rate and encoding: 4800 clicks in
// ten minutes of 48 kHz, 16 bits, mono. The first synthesises every click, a tone let
// through for 30 ms of every sixteenth, without dither. The second makes one click and
// repeats it, which is no synthesis, with sox's dither.
var references = []struct {
	does string
	args []string
	want float64 // the least ratio
}{
	{"synthesising every click", []string{"-D", "-n", "-r", "48000", "-b", "16", "-c", "1", "OUT", "synth", "600", "sine", "1000", "synth", "600", "square", "amod", "8", "0", "0", "24"}, 20},
	{"repeating one click", []string{"-n", "-r", "48000", "-b", "16", "-c", "1", "OUT", "synth", "0.03", "sine", "1000", "fade", "0", "0.03", "0.03", "pad", "0", "0.095", "repeat", "4799"}, 10},
}

// rendering sets the program against sox, and MIDI against sound.
func rendering(ctx context.Context, dir, footing string) error {
	file, ours, theirs := filepath.Join(dir, "ten.yaml"), filepath.Join(dir, "ours.wav"), filepath.Join(dir, "theirs.wav")
	if err := os.WriteFile(file, []byte(tenMinutes), 0o644); err != nil {
		return err
	}
	const turns = 7
	for _, ref := range references {
		args := slices.Clone(ref.args)
		args[slices.Index(args, "OUT")] = theirs
		var mine, sox []time.Duration
		for range turns {
			took, err := timed(ours, exec.CommandContext(ctx, footing, "render", file, "-o", ours))
			if err != nil {
				return err
			}
			mine = append(mine, took)
			if took, err = timed(theirs, exec.CommandContext(ctx, "sox", args...)); err != nil {
				return err
			}
			sox = append(sox, took)
		}
		a, b := median(mine), median(sox)
		ratio := float64(b) / float64(a)
		fmt.Printf("rendering ten minutes of sixteenths: footing %v, sox %s %v: %.1f times as fast (at least %v: %s)\n",
			a.Round(time.Millisecond), ref.does, b.Round(time.Millisecond), ratio, ref.want, verdict(ratio >= ref.want))
	}
	return notating(ctx, file)
}

// notating sets MIDI against sound, both within this program and without the disk.
func notating(ctx context.Context, file string) error {
	f, err := routine.Load(file)
	if err != nil {
		return err
	}
	const rate = 48_000
	kit, err := timbre.Make(timbre.Names()[0], rate)
	if err != nil {
		return err
	}
	played := conduct.Rendition{Routine: f.Routine(), Rate: rate, Kit: &kit, Volume: click.DefaultVolume}
	var sound, notes []time.Duration
	for range 7 {
		began := time.Now()
		w, err := track.NewWriter(nowhere{}, track.Format{Rate: rate, Channels: 1})
		if err != nil {
			return err
		}
		played.Sink = w.Write
		if _, err := played.Render(ctx); err != nil {
			return err
		}
		if err := w.Close(); err != nil {
			return err
		}
		sound = append(sound, time.Since(began))
		began = time.Now()
		midi, err := played.MIDI(ctx, conduct.WoodBlocks, 0)
		if err != nil {
			return err
		}
		if err := midi.Write(io.Discard); err != nil {
			return err
		}
		notes = append(notes, time.Since(began))
	}
	a, b := median(notes), median(sound)
	ratio := float64(b) / float64(a)
	fmt.Printf("the same as MIDI, without the disk: %v, as sound %v: %.0f times as fast (at least 100: %s)\n",
		a.Round(10*time.Microsecond), b.Round(time.Millisecond), ratio, verdict(ratio >= 100))
	return nil
}

// nowhere takes a file and keeps nothing.
type nowhere struct{}

func (nowhere) Write(p []byte) (int, error)    { return len(p), nil }
func (nowhere) Seek(int64, int) (int64, error) { return 0, nil }

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
