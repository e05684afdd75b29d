package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"syscall"

	"footing/audio/hear"
	"footing/audio/track"
	"footing/ui/picture"
)

// take is a recording that has been listened to.
type take struct {
	onsets  []hear.Onset
	hearing hear.Hearing
	rate    int // of the file
	chans   int
	wave    *picture.Wave // nil unless a picture is wanted
	Remarks []string      // what is wrong with it and was got over
}

// The rates that can be listened to as they are.
const (
	lowestRate  = 8_000
	highestRate = 192_000
)

// listen hears a file from its beginning to its end, a block at a time, so that
// its length doesn't matter. A take in which there is nothing to compare is the
// input's fault.
func listen(ctx context.Context, w World, path string, outline bool) (take, error) {
	r, err := track.Open(path)
	if err != nil {
		return take{}, takeFault(err)
	}
	defer r.Close()
	info := r.Info()
	t := take{rate: info.Rate, chans: info.Channels}
	level := newOverload(r)
	r = track.Mono(level)
	if rate := min(max(info.Rate, lowestRate), highestRate); rate != info.Rate {
		if r, err = track.Resample(r, rate); err != nil {
			return take{}, inputFault(fmt.Errorf("%s: %w", path, err))
		}
	}
	rate := r.Info().Rate
	ears, err := hear.NewListener(rate)
	if err != nil {
		return take{}, inputFault(fmt.Errorf("%s: %w", path, err))
	}
	if outline {
		t.wave = picture.NewWave(rate)
	}
	bar := newProgress(w)
	defer bar.done()
	block := make([]float32, 1<<14)
	for done := int64(0); ; {
		if err := ctx.Err(); err != nil {
			return take{}, err
		}
		n, err := r.Read(block)
		if err == io.EOF {
			break
		}
		if err != nil {
			return take{}, takeFault(err)
		}
		ears.Write(block[:n])
		if t.wave != nil {
			t.wave.Add(block[:n])
		}
		t.onsets = append(t.onsets, ears.Onsets()...)
		done += int64(n)
		if all := info.Seconds(); all > 0 {
			bar.show("%s: %s of %s", filepath.Base(path), clockTime(done, rate), clockTime(int64(all*float64(rate)), rate))
		} else {
			bar.show("%s: %s", filepath.Base(path), clockTime(done, rate))
		}
	}
	ears.Close()
	t.onsets = append(t.onsets, ears.Onsets()...)
	ears.Refine(t.onsets)
	t.hearing = ears.Hearing()
	t.Remarks = r.Notes()
	return t, t.judge(path, level.clipped())
}

// judge parts a take that cannot be compared from one that merely has a flaw.
func (t *take) judge(path string, clipped bool) error {
	said := t.hearing.Sentence()
	if len(t.onsets) < 2 {
		if said == "" {
			said = "Fewer than two notes were heard, so there is nothing to compare."
		}
		for _, note := range t.Remarks {
			said += " (" + note + ")"
		}
		return inputFault(fmt.Errorf("%s: %s", path, said))
	}
	if said == "" && clipped {
		said = "The recording is overloaded in places, so onsets are less sure: turn the level down and move back a little."
	}
	if said != "" {
		t.Remarks = append(t.Remarks, said)
	}
	if n := t.hearing.Broken; n > 0 {
		t.Remarks = append(t.Remarks, fmt.Sprintf("%s no number and heard as silence", plural(n, "sample is", "samples are")))
	}
	return nil
}

// takeFault is the input's fault unless the machine failed in reading it.
func takeFault(err error) error {
	for _, machine := range []error{syscall.EIO, syscall.EMFILE, syscall.ENFILE, syscall.ENOMEM} {
		if errors.Is(err, machine) {
			return machineFault(err)
		}
	}
	return inputFault(err)
}
