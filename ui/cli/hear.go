package cli

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/hearing"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
)

// hearCmd says what a recording holds, and which change is weak.
type hearCmd struct {
	Take    string   `arg:"" help:"A recording: WAV or FLAC; others through ffmpeg, where that is installed."`
	Tempo   string   `help:"The tempo it was played at; with --routine, the rung. 10 to 400 bpm." placeholder:"BPM"`
	Slots   *int     `help:"Notes a beat, 1 to 12." placeholder:"N"`
	Beats   *int     `help:"Beats of what is played over and over, 1 to 16, with --slots; found from its pitches when not given." placeholder:"N"`
	From    *float64 `help:"Where in the take a note on slot 1 lies; with --routine, the first note of the first rep." placeholder:"SECONDS"`
	Routine string   `help:"The routine that the take is of." placeholder:"FILE"`
	Step    string   `help:"Its step." placeholder:"NAME"`
	JSON    bool     `name:"json" help:"Write the result as an object."`
	Picture string   `help:"Draw the take to this file, ending in .png." placeholder:"OUT.png"`
	Night   bool     `help:"Draw it light on dark."`
	Size    string   `help:"Width and height of the picture in pixels, 640x400 to 6000x4000; 1600x1000 when not given." placeholder:"WxH"`
}

// Help is the long help.
func (hearCmd) Help() string {
	return `Each note is set against the click's grid: how early or late it comes on its slot, how much that changes from rep to
rep, and which change between two notes stands out. By how much the whole take lies off the grid, or drifts, is told and
taken out first.

The grid is --tempo and --slots, each beat then counting as a rep, or each time round a figure that is longer; or the
reps of a step, as a session plays them hands free on the step's first rung, or on the rung of --tempo, where there may
be fewer or more reps than the rung asks for; or, with nothing given, what fits the notes best. A tempo that could as
well be another is told with the others, and where another was played than was told, that is said.

A step whose notes are known is heard note by note: changes are named by them, and notes that were surely wrong, left out
or put in are told; as JSON under "notes": a_hz, shift_semitones, reps, right, unsure, wanted (what is played on each slot)
and faults (kind wrong, missed or extra; slot and rep, at as bar:beat, written and heard as the player reads, midi as it
sounds). What the ears are not sure of is no fault; an octave they cannot tell.

With --json there are onsets, slots and changes with what was measured of them, weak_change, cut, chunk and sentence; how
the take was taken: grid (cycle_slots of a figure longer than a beat), told where another grid was told, assumed,
fits_badly, rungs of a take that climbs (bpm, first_rep, reps, late_ms of the weak change, spread_ms); what else was
found: outcome, entry, also and perhaps (other slots off their place), unsteady_slot, doubtful_slot, outside (sounds
outside the reps), entry_ms (how evenly the reps begin); and what makes it less sure: room (0 is dry), soft_attack_ms,
overloaded, clicks, hum_hz.

A recording near the instrument, without the click in it, is heard best: wear headphones, at a low level. What the ears
say is no more than what they heard: a teacher hears more.

Example:
  footing hear take.wav --tempo 72 --slots 4
  footing hear take.wav --routine runs.yaml --step "Weir Street run" --picture take.png
  footing hear take.flac --json`
}

// asked is what the command line says, checked.
type asked struct {
	hearing.Question
	size image.Point
}

// Run implements the command.
func (c hearCmd) Run(ctx context.Context, w World) error {
	a, err := c.check()
	if err != nil {
		return err
	}
	if a.Notes, err = c.notes(ctx, w, a.Step); err != nil {
		return err
	}
	recording, wave, err := listen(ctx, w, c.Take, c.Picture != "")
	if err != nil {
		return err
	}
	if a.Hint.FirstKnown && a.Hint.First >= recording.Hearing.Seconds {
		return inputFault(fmt.Errorf("--from %v lies after the end of %s, which lasts %.2f s; write a smaller one", a.Hint.First, c.Take, recording.Hearing.Seconds))
	}
	report := hearing.Compare(recording, a.Question)
	c.addFingers(ctx, &report, a.Step, a.Notes)
	for _, remark := range report.Remarks {
		fmt.Fprintf(w.Err, "footing: %s: %s\n", c.Take, remark)
	}
	if err := c.tell(w, report); err != nil {
		return err
	}
	if c.Picture == "" {
		return nil
	}
	// Last, so that a picture that cannot be written takes nothing with it.
	return c.draw(ctx, report, wave, a.size)
}

// tell writes the result.
func (c hearCmd) tell(w World, r hearing.Report) error {
	if c.JSON {
		return writeJSON(w.Out, r)
	}
	if _, err := w.Out.Write([]byte(r.Text())); err != nil {
		return machineFault(fmt.Errorf("writing the result: %w", err))
	}
	return nil
}

// check reads the options; its errors are faults.
func (c hearCmd) check() (asked, error) {
	var a asked
	usage := func(format string, args ...any) (asked, error) {
		return asked{}, usageFault(fmt.Errorf(format, args...))
	}
	if c.Tempo != "" {
		tempo, err := click.ParseTempo(c.Tempo)
		if err != nil {
			return usage("--tempo: %w", err)
		}
		a.Tempo, a.Hint.BPM = tempo, tempo.BPM()
	}
	if c.Slots != nil {
		if *c.Slots < 1 || *c.Slots > click.MaxSlots {
			return usage("--slots %d is out of range; write 1 to %d", *c.Slots, click.MaxSlots)
		}
		a.Hint.SlotsPerBeat = *c.Slots
	}
	if c.Beats != nil {
		switch {
		case c.Routine != "":
			return usage("--beats stands in the routine's chunk already; leave it out")
		case c.Slots == nil || c.Tempo == "":
			return usage("--beats needs the grid; write --tempo and --slots as well")
		case *c.Beats < 1 || *c.Beats > 16:
			return usage("--beats %d is out of range; write 1 to 16", *c.Beats)
		}
		a.Hint.Cycle = *c.Beats * *c.Slots
	}
	if c.From != nil {
		if !(*c.From >= 0 && *c.From < math.MaxInt32) {
			return usage("--from %v is no place in a take; write seconds from its start, such as 1.25", *c.From)
		}
		a.Hint.First, a.Hint.FirstKnown = *c.From, true
	}
	switch {
	case c.Routine != "" && c.Slots != nil:
		return usage("--slots stands in the routine's step already; leave it out")
	case c.Routine == "" && c.Step != "":
		return usage("--step %q is of no routine; write --routine FILE as well", c.Step)
	case c.Picture == "" && (c.Night || c.Size != ""):
		return usage("--night and --size are for a picture; write --picture OUT.png as well")
	case c.Picture != "" && !strings.EqualFold(filepath.Ext(c.Picture), ".png"):
		return usage("%s: a picture is written as PNG; write a name that ends in .png", c.Picture)
	case c.Picture != "" && sameFile(c.Picture, c.Take):
		return usage("%s would be written over the take; write another name", c.Picture)
	case c.Picture != "" && c.Routine != "" && sameFile(c.Picture, c.Routine):
		return usage("%s would be written over the routine; write another name", c.Picture)
	}
	size, err := parseSize(c.Size)
	if err != nil {
		return usage("--size: %w", err)
	}
	a.size = size
	a.Step, err = c.step()
	return a, err
}

// sameFile reports whether two names are of one file, by whatever links.
func sameFile(a, b string) bool {
	if filepath.Clean(a) == filepath.Clean(b) {
		return true
	}
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

// step is the routine's step that is asked for, nil when none is.
func (c hearCmd) step() (*ladder.Step, error) {
	if c.Routine == "" {
		return nil, nil
	}
	r, err := loadRoutine(c.Routine, c.Step)
	if err != nil {
		return nil, err
	}
	if len(r.Steps) > 1 {
		return nil, usageFault(fmt.Errorf("%s has %d steps; write --step with one of %s", c.Routine, len(r.Steps), stepNames(r)))
	}
	step := r.On(r.Steps[0])
	return &step, nil
}

// notes are those of the step, nil where it has none. What keeps them from being
// found is said, and the take is heard without them.
func (c hearCmd) notes(ctx context.Context, w World, step *ladder.Step) (*notes.Notes, error) {
	if step == nil {
		return nil, nil
	}
	found, err := notesfile.At(c.Routine).Notes(ctx, *step)
	var faults notes.Faults
	if errors.As(err, &faults) {
		fmt.Fprintf(w.Err, "footing: %s: %s; the take is heard without notes\n", c.Routine, faults[0])
		return nil, nil
	}
	return found.Notes, err
}
