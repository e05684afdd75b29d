package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"time"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/audio/track"
	"footing/ladder/conduct"
	"footing/ladder/conduct/export"
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

// turns is how often each thing is measured. The least counts: what else is busy on the
// machine can only add to it.
const turns = 7

// rendering sets the program against sox, and MIDI against sound. What counts is the
// time of processors, which a machine that is busy with other things leaves as it is.
func rendering(ctx context.Context, dir, footing string) error {
	file, ours, theirs := filepath.Join(dir, "ten.yaml"), filepath.Join(dir, "ours.wav"), filepath.Join(dir, "theirs.wav")
	if err := os.WriteFile(file, []byte(tenMinutes), 0o644); err != nil {
		return err
	}
	var may time.Duration // that the bounds leave
	for _, ref := range references {
		args := slices.Clone(ref.args)
		args[slices.Index(args, "OUT")] = theirs
		var mine, sox []time.Duration
		for range turns {
			took, err := spentBy(ours, exec.CommandContext(ctx, footing, "render", file, "-o", ours))
			if err != nil {
				return err
			}
			mine = append(mine, took)
			if took, err = spentBy(theirs, exec.CommandContext(ctx, "sox", args...)); err != nil {
				return err
			}
			sox = append(sox, took)
		}
		a, b := slices.Min(mine), slices.Min(sox)
		ratio := float64(b) / float64(a)
		fmt.Printf("rendering ten minutes of sixteenths, processor time: footing %v, sox %s %v: %.1f times as fast (at least %v: %s)\n",
			short(a), ref.does, short(b), ratio, ref.want, verdict(ratio >= ref.want))
		if one := time.Duration(float64(b) / ref.want); may == 0 || one < may {
			may = one
		}
	}
	return errors.Join(floors(ctx, dir, footing, ours), notating(ctx, dir, file, may))
}

// floors says what of the rendering is no rendering: the start of the program, and the
// disk.
func floors(ctx context.Context, dir, footing, like string) error {
	info, err := os.Stat(like)
	if err != nil {
		return err
	}
	out, block := filepath.Join(dir, "floor.wav"), make([]byte, 48_000)
	var start, disk []time.Duration
	for range turns {
		took, err := spentBy(out, exec.CommandContext(ctx, footing, "--help"))
		if err != nil {
			return err
		}
		start = append(start, took)
		took, err = spentHere(1, func() error {
			return track.Replace(ctx, out, func(w io.WriteSeeker) error {
				for left := info.Size(); left > 0; left -= int64(len(block)) {
					if _, err := w.Write(block[:min(left, int64(len(block)))]); err != nil {
						return err
					}
				}
				return nil
			})
		})
		if err != nil {
			return err
		}
		disk = append(disk, took)
	}
	fmt.Printf("of that, starting the program is %v, and bringing as many bytes to the disk %v\n", short(slices.Min(start)), short(slices.Min(disk)))
	return nil
}

// notating sets MIDI against sound, both within this program. MIDI may take a hundredth
// of the time that sound may take.
func notating(ctx context.Context, dir, file string, sound time.Duration) error {
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
	maker := export.Maker{Rendition: played, Percussion: conduct.WoodBlocks}
	write := func(name string, k export.Kind) error {
		m := maker
		m.Kind = k
		_, err := m.Write(ctx, filepath.Join(dir, name), export.Whole(played.Routine))
		return err
	}
	var spent [4][]time.Duration
	for range turns {
		for i, kind := range []struct {
			times int
			make  func() error
		}{
			{10, func() error {
				midi, err := played.MIDI(ctx, conduct.WoodBlocks, 0)
				if err != nil {
					return err
				}
				return midi.Write(io.Discard)
			}},
			{1, func() error {
				w, err := track.NewWriter(nowhere{}, track.Format{Rate: rate, Channels: 1})
				if err != nil {
					return err
				}
				to := played
				to.Sink, to.Kept = w.Write, w.WriteKept
				if _, err := to.Render(ctx); err != nil {
					return err
				}
				return w.Close()
			}},
			{10, func() error { return write("ours.mid", export.MIDI) }},
			{1, func() error { return write("ours.wav", export.WAV) }},
		} {
			took, err := spentHere(kind.times, kind.make)
			if err != nil {
				return err
			}
			spent[i] = append(spent[i], took)
		}
	}
	made, rendered, midi, wav := slices.Min(spent[0]), slices.Min(spent[1]), slices.Min(spent[2]), slices.Min(spent[3])
	fmt.Printf("the same as MIDI, in this process: %v (a hundredth of what sound may take, %v: %s)\n",
		short(made), short(sound/100), verdict(made <= sound/100))
	fmt.Printf("as a file on the disk %v; sound without the disk %v, as a file %v: %.0f times what MIDI takes without one\n",
		short(midi), short(rendered), short(wav), float64(wav)/float64(made))
	return nil
}

// nowhere takes a file and keeps nothing.
type nowhere struct{}

func (nowhere) Write(p []byte) (int, error)    { return len(p), nil }
func (nowhere) Seek(int64, int) (int64, error) { return 0, nil }

// spentBy is the processor time, user and system, of a command that writes a new file.
func spentBy(file string, cmd *exec.Cmd) (time.Duration, error) {
	if err := os.RemoveAll(file); err != nil {
		return 0, err
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Run(); err != nil {
		return 0, fmt.Errorf("%s: %w", cmd.Args[0], err)
	}
	return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), nil
}

// spentHere is the processor time of one of so many runs of f within this process.
func spentHere(times int, f func() error) (time.Duration, error) {
	runtime.GC()
	began, err := processorTime()
	for range times {
		err = errors.Join(err, f())
	}
	ended, late := processorTime()
	return (ended - began) / time.Duration(times), errors.Join(err, late)
}

// short rounds a time to three digits.
func short(d time.Duration) time.Duration {
	step := time.Duration(1)
	for d/step >= 1000 {
		step *= 10
	}
	return d.Round(step)
}
