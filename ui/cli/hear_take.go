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
	"footing/ladder/hearing"
	"footing/ui/picture"
)

// The rates that are listened to as they are.
const (
	lowestRate  = 8_000
	highestRate = 192_000
)

// listen hears a file from its beginning to its end, a block at a time, so that
// its length does not matter; where an outline is wanted, it makes one. A take in
// which there is nothing to compare is the input's fault.
func listen(ctx context.Context, w World, path string, outline bool) (hearing.Recording, *picture.Wave, error) {
	fail := func(err error) (hearing.Recording, *picture.Wave, error) { return hearing.Recording{}, nil, err }
	file, done, err := openTake(ctx, path)
	if err != nil {
		return fail(err)
	}
	defer done()
	info := file.Info()
	level := gauged{file, hear.NewClipping(info.Channels, info.Bits)}
	r := track.Mono(level)
	rate := min(max(info.Rate, lowestRate), highestRate)
	if rate != info.Rate {
		if r, err = track.Resample(r, rate); err != nil {
			return fail(inputFault(fmt.Errorf("%s: %w", path, err)))
		}
	}
	ear, err := hearing.NewEar(rate)
	if err != nil {
		return fail(inputFault(fmt.Errorf("%s: %w", path, err)))
	}
	takers := []func([]float32){ear.Write}
	var wave *picture.Wave
	if outline {
		wave = picture.NewWave(rate)
		takers = append(takers, wave.Add)
	}
	bar := newProgress(w)
	defer bar.done()
	if err := pass(ctx, r, bar, path, info.Seconds(), takers...); err != nil {
		return fail(err)
	}
	recording := ear.Close()
	recording.Name, recording.Rate, recording.Channels = path, info.Rate, info.Channels
	recording.Notes, recording.Clipped = r.Notes(), level.clipping.Clipped()
	if said := recording.Nothing(); said != "" {
		for _, note := range recording.Notes {
			said += " (" + note + ")"
		}
		return fail(inputFault(fmt.Errorf("%s: %s", path, said)))
	}
	return recording, wave, nil
}

// pass hands all that a reader reads to those who take it, and shows how far it
// is of so many seconds, 0 when that is not known.
func pass(ctx context.Context, r track.Reader, bar *progress, path string, seconds float64, takers ...func([]float32)) error {
	rate := r.Info().Rate
	block := make([]float32, 1<<14)
	for done := int64(0); ; {
		if err := ctx.Err(); err != nil {
			return err
		}
		n, err := r.Read(block)
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return takeFault(err)
		}
		for _, take := range takers {
			take(block[:n])
		}
		done += int64(n)
		if seconds > 0 {
			bar.show("%s: %s of %s", filepath.Base(path), clockTime(done, rate), clockTime(int64(seconds*float64(rate)), rate))
		} else {
			bar.show("%s: %s", filepath.Base(path), clockTime(done, rate))
		}
	}
}

// gauged looks for clipping in the samples as they were recorded.
type gauged struct {
	track.Reader
	clipping *hear.Clipping
}

// Read implements [track.Reader].
func (g gauged) Read(dst []float32) (int, error) {
	n, err := g.Reader.Read(dst)
	g.clipping.Add(dst[:n])
	return n, err
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
