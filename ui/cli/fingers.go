package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"footing/assets"
	"footing/files"
	"footing/ladder/fingers"
	"footing/ladder/fingers/chartfile"
	"footing/ladder/notes/fingering"
	"footing/ladder/passage"
	"footing/ladder/passage/scorefile"
	"footing/ladder/routine"
)

// fingersCmd says which fingers a passage takes.
type fingersCmd struct {
	File       string `arg:"" optional:"" help:"A score in MusicXML (.musicxml, .xml or .mxl), or a routine (.yaml)."`
	Step       string `help:"One of a routine's steps, by name." placeholder:"NAME"`
	Part       string `help:"One of a score's parts, by name or id." placeholder:"PART"`
	Notes      string `help:"In place of a file: notes as written, such as \"A4 B4 C#5 D5\"." placeholder:"NOTES"`
	Instrument string `help:"What is played on: clarinet, bassoon, flute, oboe, saxophone, or one of your own." placeholder:"NAME"`
	Loop       bool   `help:"The last note goes on to the first."`
	JSON       bool   `name:"json" help:"Write notes and changes as objects."`
}

// Help is the long help.
func (fingersCmd) Help() string {
	return `For each note the keys of the cheapest way through the passage are written, the changes from the hardest on, each with
its reasons, and what may stay down. L and R are the hand of the little finger that sounds; R>L takes the other's place
while the note sounds. "or" names another choice that is as good. A fingering that a mark of the routine names stays.

Notes are read as written, not as they sound. Of a score, and of --notes, all notes are taken to be long enough for a
change of finger; of a routine, those that last 0.2 s at the goal. What the chart has no row for is not judged.

A file ` + fingers.OwnFile + ` beside the routine or score adds fingerings of your own, or an instrument:
  instrument: clarinet
  fingerings:
    - {note: Bb4, keys: "gA S3", use: side}

What a change costs is a judgement of ours (1 is one finger alone). Hands differ, and a teacher's word comes first.

Example:
  footing fingers runs.yaml --step "Weir Street run"
  footing fingers weir-street.mxl --part Clarinet --instrument clarinet
  footing fingers --notes "A4 B4 C#5 D5" --instrument clarinet --json`
}

// fingered is a passage with its fingerings, and what it is called.
type fingered struct {
	name string
	*fingers.Choice
	changes []fingers.Change
}

// Run implements the command.
func (c fingersCmd) Run(ctx context.Context, w World) error {
	switch {
	case c.Notes != "" && (c.File != "" || c.Part != "" || c.Step != ""):
		return usageFault(errors.New("a file and --notes are both there; keep one of them"))
	case c.Notes == "" && c.File == "":
		return usageFault(errors.New(`there is nothing to read; write a file, or --notes "A4 B4 C#5 D5"`))
	case c.Notes != "" && c.Instrument == "":
		c.Instrument = "clarinet"
	}
	library, err := fingers.Load(assets.Fingerings, "fingerings")
	if err != nil {
		return machineFault(err)
	}
	if c.File != "" {
		if library, err = chartfile.Beside(ctx, library, filepath.Dir(c.File)); err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			return inputFault(err)
		}
	}
	switch ext := strings.ToLower(filepath.Ext(c.File)); {
	case c.Notes != "":
		return c.typed(w, library)
	case ext == ".yaml" || ext == ".yml":
		if c.Part != "" {
			return usageFault(errors.New("--part belongs to a score; a routine's steps name their parts"))
		}
		return c.routine(ctx, w, library)
	case c.Step != "":
		return usageFault(errors.New("--step belongs to a routine, whose name ends in .yaml"))
	}
	return c.score(ctx, w, library)
}

// chart is that of an instrument by name.
func (c fingersCmd) chart(l *fingers.Library, name string) (*fingers.Chart, error) {
	if chart, ok := l.For(name); ok {
		return chart, nil
	}
	if near, ok := l.Near(name); ok && name != "" {
		return nil, usageFault(fmt.Errorf("--instrument: there is no chart of the %q; did you mean %s?", name, near))
	}
	return nil, usageFault(fmt.Errorf("--instrument: there is no chart of the %q; write one of %s", name, strings.Join(l.Names(), ", ")))
}

// typed fingers the notes of --notes.
func (c fingersCmd) typed(w World, l *fingers.Library) error {
	chart, err := c.chart(l, c.Instrument)
	if err != nil {
		return err
	}
	var in []fingers.Note
	apart := false
	for _, word := range strings.FieldsFunc(c.Notes, func(r rune) bool { return r == ' ' || r == ',' || r == '\t' || r == '\n' || r == '|' }) {
		if word == "rest" {
			apart = true
			continue
		}
		p, err := passage.ParsePitch(strings.NewReplacer("♯", "#", "♭", "b").Replace(word))
		if err != nil {
			return usageFault(fmt.Errorf("--notes: %w", err))
		}
		in = append(in, fingers.Note{Pitch: p, Long: true, Apart: apart})
		apart = false
	}
	if len(in) == 0 {
		return usageFault(errors.New(`--notes: there is no note; write such as "A4 B4 C#5 D5"`))
	}
	got := choose(chart, in, c.Loop)
	if c.JSON {
		return writeJSON(w.Out, got.listed())
	}
	return got.write(w.Out)
}

func choose(chart *fingers.Chart, in []fingers.Note, loop bool) fingered {
	got := chart.Choose(in, loop)
	return fingered{"", got, got.Changes()}
}

// score fingers a part of a score.
func (c fingersCmd) score(ctx context.Context, w World, l *fingers.Library) error {
	score, remarks, err := scorefile.Read(ctx, c.File, passage.Limits{})
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return inputFault(err)
	}
	part, err := score.PartNamed(c.Part)
	if err != nil {
		return inputFault(fmt.Errorf("%s: %w", files.Name(c.File), err))
	}
	name := c.Instrument
	if name == "" {
		name = part.Called()
	}
	chart, err := c.chart(l, name)
	if err != nil {
		return err
	}
	for _, r := range remarks {
		fmt.Fprintf(w.Err, "%s: %s\n", files.Name(c.File), r)
	}
	lines := part.Lines()
	if len(lines) == 0 {
		return inputFault(fmt.Errorf("%s: the part %s has no notes", files.Name(c.File), part.Called()))
	}
	got := choose(chart, ofLine(part, lines[0]), c.Loop)
	got.name = part.Called()
	if c.JSON {
		return writeJSON(w.Out, got.listed())
	}
	return got.write(w.Out)
}

// ofLine is the notes of a line to be fingered. Rests are as long as at the score's
// tempo, or at 100 quarters a minute where it has none.
func ofLine(part *passage.Part, line passage.Line) []fingers.Note {
	var out []fingers.Note
	var at, end passage.Quarters
	for _, s := range part.Sounding(line.Notes) {
		if len(out) > 0 && !at.Less(s.Onset) {
			continue // of a chord the first
		}
		quarter := 0.6
		for _, t := range part.Tempos {
			if !s.Onset.Less(part.Bars[t.Bar].Start.Add(t.At)) && t.MilliQuarters > 0 {
				quarter = 60_000 / float64(t.MilliQuarters)
			}
		}
		out = append(out, fingers.Note{Pitch: s.Pitch, Long: true, Apart: len(out) > 0 && s.Onset.Sub(end).Float()*quarter >= fingers.Rest})
		at, end = s.Onset, s.Onset.Add(s.Duration)
	}
	return out
}

// routine fingers the notes of a routine's steps, or of one.
func (c fingersCmd) routine(ctx context.Context, w World, l *fingers.Library) error {
	file, err := routine.LoadContext(ctx, c.File)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return loadFault(err)
	}
	steps, err := stepsWithNotes(ctx, file, c.File, c.Step)
	if err != nil {
		return err
	}
	var all []fingered
	for _, s := range steps {
		name := c.Instrument
		if name == "" {
			name = s.Notes.Instrument.Name
		}
		if name == "" {
			return usageFault(fmt.Errorf("%s: the step %q names no instrument; write --instrument, or instrument: in it", files.Name(c.File), s.Name))
		}
		chart, err := c.chart(l, name)
		if err != nil {
			return err
		}
		got := fingering.Of(s.found.Notes, s.Step, chart)
		one := fingered{s.Name, got.Choice, got.Changes}
		if c.Loop {
			one.Choice = chart.Choose(got.Asked(), true)
			one.changes = one.Changes()
		}
		all = append(all, one)
	}
	switch {
	case c.JSON && (len(file.Routine().Steps) == 1 || c.Step != ""):
		return writeJSON(w.Out, all[0].listed())
	case c.JSON:
		out := struct {
			File  string            `json:"file"`
			Steps []fingeredListing `json:"steps"`
		}{File: filepath.Base(c.File)}
		for _, one := range all {
			out.Steps = append(out.Steps, one.listed())
		}
		return writeJSON(w.Out, out)
	}
	for _, one := range all {
		if err := one.write(w.Out); err != nil {
			return err
		}
	}
	return nil
}
