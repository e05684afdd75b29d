package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"footing/audio/track"
	"footing/files"
	"footing/ladder/conduct"
)

// renderCmd writes a routine to a sound file.
type renderCmd struct {
	File   string `arg:"" help:"A routine file."`
	Output string `short:"o" required:"" help:"The file to write, ending in .wav." placeholder:"OUT.wav"`
	Step   string `help:"Only this step." placeholder:"NAME"`
	Rate   int    `help:"Frames a second, 22050 to 192000." default:"48000" placeholder:"HZ"`
	Bits   int    `help:"Bits of a sample: 16 or 24, or 32 for floating point." default:"16" placeholder:"BITS"`
	sound  `embed:""`
	model  `embed:""`
	JSON   bool `name:"json" help:"Write what was made as an object."`
}

// Help is the long help.
func (renderCmd) Help() string {
	return `The routine is played hands free: every rep is taken for clean, so that it climbs to its goal. Each rung and each rep
is marked with a cue point and a label, which a sound editor shows. With --model the notes of the steps sound too.

Example:
  footing render runs.yaml -o runs.wav
  footing render runs.yaml --step "Weir Street run" --sound metal -o run.wav
  footing render runs.yaml --step "Weir Street run" --model once -o listen.wav`
}

// rendered is what was made, in JSON.
type rendered struct {
	File   string  `json:"file"`
	Frames int64   `json:"frames"`
	Rate   int     `json:"rate"`
	Length float64 `json:"seconds"`
	Rungs  int     `json:"rungs"`
	Reps   int     `json:"reps"`
}

// Run implements the command.
func (c renderCmd) Run(ctx context.Context, w World) error {
	format, err := c.format()
	if err != nil {
		return err
	}
	kit, err := c.kit(c.Rate)
	if err != nil {
		return err
	}
	r, err := loadRoutine(c.File, c.Step)
	if err != nil {
		return err
	}
	rendition := conduct.Rendition{Routine: r, Rate: c.Rate, Kit: kit, Volume: c.Volume}
	if err := c.join(ctx, &rendition, c.File); err != nil {
		return err
	}
	total, err := rendition.Length(ctx)
	if err != nil {
		return err
	}
	if total > format.MaxFrames() {
		return inputFault(fmt.Errorf("%s lasts %s hands free, and a WAV file of this kind has room for %s; render one step at a time with --step, or write fewer --bits or a lower --rate",
			files.Name(c.File), clockTime(total, c.Rate), clockTime(format.MaxFrames(), c.Rate)))
	}
	made := rendered{File: c.Output, Rate: c.Rate}
	bar := newProgress(w)
	err = track.Create(ctx, c.Output, format, func(file *track.Writer) error {
		done, marking := int64(0), error(nil)
		rendition.Sink = func(mono []float32) error {
			done += int64(len(mono))
			bar.show("%s: %s of %s", filepath.Base(c.Output), clockTime(done, c.Rate), clockTime(total, c.Rate))
			return file.Write(mono)
		}
		rendition.Mark = func(p conduct.Place) {
			made.count(p)
			marking = errors.Join(marking, file.Mark(p.Frame, p.Label()))
		}
		n, err := rendition.Render(ctx)
		made.Frames = n
		return errors.Join(err, marking)
	})
	bar.done()
	if err != nil {
		return machineFault(err)
	}
	made.Length = float64(made.Frames) / float64(c.Rate)
	if c.JSON {
		return writeJSON(w.Out, made)
	}
	fmt.Fprintf(w.Out, "%s: %s, %d rungs, %d reps\n", files.Name(c.Output), clockTime(made.Frames, c.Rate), made.Rungs, made.Reps)
	return nil
}

func (r *rendered) count(p conduct.Place) {
	if p.Rep == 0 {
		r.Rungs++
	} else {
		r.Reps++
	}
}

func (c renderCmd) format() (track.Format, error) {
	f := track.Format{Rate: c.Rate, Channels: 1}
	switch ext := strings.ToLower(filepath.Ext(c.Output)); {
	case ext != ".wav":
		return f, usageFault(fmt.Errorf("%s: a file is written as WAV; write a name that ends in .wav", files.Name(c.Output)))
	case c.Rate < 22_050 || c.Rate > 192_000:
		return f, usageFault(fmt.Errorf("--rate %d is out of range; write 22050 to 192000", c.Rate))
	}
	switch c.Bits {
	case 16:
		f.Encoding = track.Int16
	case 24:
		f.Encoding = track.Int24
	case 32:
		f.Encoding = track.Float32
	default:
		return f, usageFault(fmt.Errorf("--bits %d is not written; write 16, 24 or 32", c.Bits))
	}
	return f, nil
}
