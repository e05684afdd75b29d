package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/audio/track"
	"footing/files"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/conduct/export"
	"footing/ladder/counted"
	"footing/ladder/notes/notesfile"
)

// renderCmd writes a routine to sound or MIDI files.
type renderCmd struct {
	File   string `arg:"" help:"A routine file."`
	Output string `short:"o" required:"" help:"The file to write, ending in .wav, .flac or .mid; with --each a folder." placeholder:"OUT"`
	Step   string `help:"Only this step." placeholder:"NAME"`
	Rung   string `help:"Only this rung of the steps that have it: their reps at so many bpm." placeholder:"BPM"`
	Each   string `help:"Write a file for each step or each rung into a folder: step or rung." placeholder:"WHAT"`
	As     string `help:"What the files in a folder are: flac, wav or mid; flac where it is left out." placeholder:"KIND"`
	Rate   int    `help:"Frames a second, 22050 to 192000." default:"48000" placeholder:"HZ"`
	Bits   int    `help:"Bits of a sample: 16 or 24, or in WAV 32 for floating point." default:"16" placeholder:"BITS"`
	sound  `embed:""`
	model  `embed:""`
	voice  `embed:""`
	JSON   bool `name:"json" help:"Write what was made as an object."`
}

// Help is the long help.
func (renderCmd) Help() string {
	return `The routine is played hands free: every rep is taken for clean, so that it climbs to its goal. With --model the notes
of the steps sound too. A step that says speak: true is counted aloud, but in MIDI.

OUT.wav   sound; each rung and each rep is marked with a cue point and a label, which a sound editor shows
OUT.flac  the same samples in less than half the room, with a title
OUT.mid   a Standard MIDI File: tempos, time signatures, marks, the click on percussion, the model on its instrument

With --each rung a folder gets a file for each rung of each step, from the lowest to the goal, with the step's reps
whatever its rule, numbered and titled for a phone's player. Files there are replaced by those of the same name, and a
run that is stopped leaves those that it has finished.

Example:
  footing render runs.yaml -o runs.wav
  footing render runs.yaml --step "Weir Street run" --sound metal -o run.flac
  footing render runs.yaml --step "Weir Street run" --rung 76 -o slow.mid
  footing render runs.yaml --each rung --as flac -o phone/
  footing render runs.yaml --step "Weir Street run" --model once -o listen.wav`
}

// rendered is what was made, in JSON.
type rendered struct {
	File   string  `json:"file"`
	Frames int64   `json:"frames,omitempty"`
	Rate   int     `json:"rate,omitempty"`
	Length float64 `json:"seconds"`
	Rungs  int     `json:"rungs"`
	Reps   int     `json:"reps"`
}

// renderedAll is what was made in a folder.
type renderedAll struct {
	Folder string     `json:"folder"`
	Files  []rendered `json:"files"`
}

// Run implements the command.
func (c renderCmd) Run(ctx context.Context, w World) error {
	maker, err := c.maker()
	if err != nil {
		return err
	}
	r, err := loadRoutine(c.File, c.Step)
	if err != nil {
		return err
	}
	pieces, err := c.pieces(r)
	if err != nil {
		return err
	}
	maker.Rendition.Routine = r
	if err := c.model.join(ctx, &maker.Rendition, c.File, c.Each != ""); err != nil {
		return err
	}
	if maker.Rendition.Begins, err = notesfile.At(c.File).Begins(ctx, r); err != nil {
		return err
	}
	if err := c.voice.join(ctx, &maker.Rendition, c.File, c.model); err != nil {
		return err
	}
	maker.Program = export.ProgramOf(cmp.Or(c.Wind, r.On(r.Steps[0]).Notes.Instrument.Name))
	bar := newProgress(w)
	maker.Progress = func(p export.Progress) {
		if !bar.due() {
			return
		}
		of := ""
		if p.Of > 1 {
			of = fmt.Sprintf("%d of %d, ", p.Number, p.Of)
		}
		bar.show("%s%s: %s of %s", of, p.File, clockTime(p.Done, c.Rate), clockTime(p.Total, c.Rate))
	}
	if c.Each != "" {
		err = c.folder(ctx, w, maker, pieces, r.Name, bar)
	} else {
		err = c.file(ctx, w, maker, pieces[0], bar)
	}
	switch {
	case errors.Is(err, export.ErrTooLong):
		return inputFault(fmt.Errorf("%s: %w; render one step at a time with --step, or a rung with --rung, or write fewer --bits or a lower --rate", files.Name(c.File), err))
	case errors.Is(err, conduct.ErrNoMIDI):
		return inputFault(err)
	case err != nil:
		return machineFault(err)
	}
	return nil
}

func (c renderCmd) file(ctx context.Context, w World, m export.Maker, p export.Piece, bar *progress) error {
	made, err := m.Write(ctx, c.Output, p)
	bar.done()
	if err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(w.Out, c.rendered(made))
	}
	fmt.Fprintf(w.Out, "%s: %s\n", files.Name(c.Output), length(made))
	return nil
}

func (c renderCmd) folder(ctx context.Context, w World, m export.Maker, pieces []export.Piece, album string, bar *progress) error {
	all, err := m.WriteAll(ctx, c.Output, pieces, album)
	bar.done()
	if err != nil {
		return err
	}
	sum, out := export.Made{}, renderedAll{Folder: c.Output}
	for _, made := range all {
		sum.Length, sum.Rungs, sum.Reps = sum.Length+made.Length, sum.Rungs+made.Rungs, sum.Reps+made.Reps
		out.Files = append(out.Files, c.rendered(made))
	}
	if c.JSON {
		return writeJSON(w.Out, out)
	}
	fmt.Fprintf(w.Out, "%s: %s, %s\n", files.Name(c.Output), counted.Of(len(all), "file"), length(sum))
	return nil
}

// length says how long what was made is: as a clock, in rungs and in reps.
func length(m export.Made) string {
	return fmt.Sprintf("%s, %s, %s", clock(m.Length), counted.Of(m.Rungs, "rung"), counted.Of(m.Reps, "rep"))
}

func (c renderCmd) rendered(made export.Made) rendered {
	out := rendered{File: made.Path, Length: made.Length.Seconds(), Rungs: made.Rungs, Reps: made.Reps}
	if made.Frames > 0 {
		out.Frames, out.Rate = made.Frames, c.Rate
		out.Length = float64(made.Frames) / float64(c.Rate)
	}
	return out
}

// clock writes a time as minutes and seconds, "1:07".
func clock(d time.Duration) string { return clockTime(int64(d/time.Millisecond), 1000) }

// pieces is what is written: one without --each.
func (c renderCmd) pieces(r ladder.Routine) ([]export.Piece, error) {
	if c.Rung == "" {
		switch c.Each {
		case "rung":
			return export.Rungs(r), nil
		case "step":
			return export.Steps(r), nil
		}
		return []export.Piece{export.Whole(r)}, nil
	}
	tempo, err := click.ParseTempo(c.Rung)
	if err != nil {
		return nil, usageFault(fmt.Errorf("--rung: %w", err))
	}
	rungs, err := export.Rung(r, tempo)
	switch {
	case err != nil:
		return nil, inputFault(fmt.Errorf("%s: %w", files.Name(c.File), err))
	case c.Each == "":
		rungs = []export.Piece{export.Joined(rungs)}
	}
	return rungs, nil
}

// maker is how files are made, but for the model.
func (c renderCmd) maker() (export.Maker, error) {
	m := export.Maker{Percussion: export.PercussionOf(c.Sound)}
	var err error
	switch {
	case c.Each == "" && c.As != "":
		return m, usageFault(errors.New("--as is for the files that --each writes; without it the end of the name says what is written"))
	case c.Each == "":
		m.Kind, err = export.KindOf(c.Output)
	case c.Each != "rung" && c.Each != "step":
		return m, usageFault(fmt.Errorf("--each %q is not known; write step or rung", c.Each))
	default:
		m.Kind, err = export.ParseKind(cmp.Or(c.As, export.FLAC.String()))
	}
	if err != nil {
		return m, usageFault(err)
	}
	if m.Kind == export.MIDI {
		if err := c.notOfMIDI(); err != nil {
			return m, err
		}
	}
	if m.Encoding, err = c.encoding(m.Kind); err != nil {
		return m, err
	}
	kit, err := c.kit(c.Rate)
	if err != nil {
		return m, err
	}
	m.Rendition = conduct.Rendition{Rate: c.Rate, Kit: kit, Volume: c.Volume, Sounds: c.model.sounds(c.Rate)}
	return m, nil
}

// notOfMIDI refuses what has no meaning in a MIDI file.
func (c renderCmd) notOfMIDI() error {
	var vain []string
	for _, o := range []struct {
		name  string
		given bool
	}{
		{"--rate", c.Rate != 48_000}, {"--bits", c.Bits != 16}, {"--volume", c.Volume != click.DefaultVolume},
		{"--model-level", c.ModelLevel != click.DefaultModelLevel}, {"--a", c.A != timbre.UsualA},
	} {
		if o.given {
			vain = append(vain, o.name)
		}
	}
	if len(vain) == 0 {
		return nil
	}
	return usageFault(fmt.Errorf("a MIDI file holds notes and no samples, and what plays it says how they sound; leave out %s", strings.Join(vain, ", ")))
}

func (c renderCmd) encoding(k export.Kind) (track.Encoding, error) {
	switch {
	case c.Rate < 22_050 || c.Rate > 192_000:
		return 0, usageFault(fmt.Errorf("--rate %d is out of range; write 22050 to 192000", c.Rate))
	case c.Bits == 16:
		return track.Int16, nil
	case c.Bits == 24:
		return track.Int24, nil
	case c.Bits == 32 && k == export.WAV:
		return track.Float32, nil
	case k == export.FLAC:
		return 0, usageFault(fmt.Errorf("--bits %d is not written to FLAC; write 16 or 24", c.Bits))
	}
	return 0, usageFault(fmt.Errorf("--bits %d is not written; write 16, 24 or 32", c.Bits))
}
