package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"footing/files"
	"footing/ladder/counted"
	"footing/ladder/passage"
	"footing/ladder/passage/listing"
	"footing/ladder/passage/scorefile"
)

// notesCmd says what notes a score, a routine or a pattern holds.
type notesCmd struct {
	File string `arg:"" optional:"" help:"A score in MusicXML (.musicxml, .xml or .mxl), or a routine (.yaml)."`
	Part string `help:"One of a score's parts, by name or id." placeholder:"PART"`
	Step string `help:"One of a routine's steps, by name." placeholder:"NAME"`
	JSON bool   `name:"json" help:"Write every bar and note as an object."`

	Output string `short:"o" help:"Draw the notes of a part, or of a step, to a file that ends in .png or .svg." placeholder:"OUT"`
	Night  bool   `help:"Draw in the colours of the night."`

	Pattern string `help:"In place of a file: a key, or a chord by its root." placeholder:"KEY"`
	Figure  string `help:"What the pattern does: scale, thirds up, arpeggio, …" placeholder:"FIGURE"`
	Octaves int    `help:"How far the pattern goes, 1 to 8 octaves." placeholder:"N"`
	From    string `help:"The pattern's first note, such as E4." placeholder:"NOTE"`
	Range   string `help:"The pattern's lowest and highest note, such as E3-C6." placeholder:"LOW-HIGH"`
}

// Help is the long help.
func (notesCmd) Help() string {
	return `The score's parts are listed; with --part, the part's notes bar by bar, each with its length in quarters. A line is the
voice with most notes. Of a routine the notes of its steps are written, or of one step with --step. What is odd in the
score, and what was made of it, is told on standard error.

With --json all times are exact fractions of a quarter as text, in written order. playback.bars is the order in which
the bars are played, by index from 0. A routine's step has besides its passage, by bars' indexes, and what begins in its
chunk.

Example:
  footing notes weir-street.musicxml
  footing notes weir-street.mxl --part Bassoon
  footing notes weir-street.mxl --json
  footing notes runs.yaml --step "Weir Street run"
  footing notes runs.yaml --step "Weir Street run" -o run.svg
  footing notes --pattern "E flat major" --figure "thirds up" --octaves 1`
}

// Run implements the command.
func (c notesCmd) Run(ctx context.Context, w World) error {
	if err := c.checkOutput(); err != nil {
		return err
	}
	switch recipe := c.Figure != "" || c.From != "" || c.Range != "" || c.Octaves != 0; {
	case c.Pattern == "" && recipe:
		return usageFault(errors.New(`--figure, --octaves, --from and --range belong to a pattern; write --pattern "E flat major"`))
	case c.Pattern == "" && c.File == "":
		return usageFault(errors.New(`there is nothing to read; write a file, or --pattern "E flat major"`))
	case c.Pattern != "" && (c.File != "" || c.Part != "" || c.Step != ""):
		return usageFault(errors.New("a file and --pattern are both there; keep one of them"))
	case c.Pattern != "":
		return c.pattern(w)
	}
	if ext := strings.ToLower(filepath.Ext(c.File)); ext == ".yaml" || ext == ".yml" {
		if c.Part != "" {
			return usageFault(errors.New("--part belongs to a score; a routine's steps name their parts"))
		}
		return c.routine(ctx, w)
	}
	if c.Step != "" {
		return usageFault(errors.New("--step belongs to a routine, whose name ends in .yaml"))
	}
	score, remarks, err := scorefile.Read(ctx, c.File, passage.Limits{})
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return inputFault(err)
	}
	part, err := c.part(score)
	if err != nil {
		return err
	}
	if c.Output != "" {
		if err := c.drawPart(ctx, w, score, part); err != nil || !c.JSON {
			return err
		}
	}
	if c.JSON {
		out := listing.Of(filepath.Base(c.File), score, remarks)
		if part != nil {
			out.Parts = []listing.Part{listing.OfPart(part)}
		}
		return writeJSON(w.Out, out)
	}
	for _, r := range remarks {
		fmt.Fprintf(w.Err, "%s: %s\n", files.Name(c.File), r)
	}
	if part != nil {
		return writePart(w.Out, part)
	}
	return writeScore(w.Out, c.File, score)
}

// part is the part that was asked for, nil for all.
func (c notesCmd) part(s *passage.Score) (*passage.Part, error) {
	if c.Part == "" {
		return nil, nil
	}
	part, err := s.PartNamed(c.Part)
	if err != nil {
		return nil, inputFault(fmt.Errorf("%s: %w", files.Name(c.File), err))
	}
	return part, nil
}

// writeScore writes a line for the score and one for each part.
func writeScore(w io.Writer, path string, s *passage.Score) error {
	title := ""
	if s.Title != "" {
		title = fmt.Sprintf("%q, ", strings.Join(strings.Fields(s.Title), " "))
	}
	bars := 0
	for i := range s.Parts {
		bars = max(bars, len(s.Parts[i].Bars))
	}
	fmt.Fprintf(w, "%s: %s%s, %s", files.Name(path), title, counted.Of(len(s.Parts), "part"), counted.Of(bars, "bar"))
	if len(s.Order) != bars {
		fmt.Fprintf(w, ", %d as played", len(s.Order))
	}
	fmt.Fprintln(w)
	for i := range s.Parts {
		p := &s.Parts[i]
		fmt.Fprintf(w, "  %s (%s): %s\n", p.Called(), p.ID, partSum(p))
	}
	return nil
}

// partSum says how many notes a part has, from which to which, and in how many
// lines.
func partSum(p *passage.Part) string {
	var low, high *passage.Pitch
	type line struct {
		voice string
		staff int
	}
	lines := map[line]bool{}
	notes := 0
	for i := range p.Notes {
		n := &p.Notes[i]
		lines[line{n.Voice, n.OnStaff()}] = true
		if n.Kind == passage.Rest || n.Cue {
			continue
		}
		if notes++; n.Kind != passage.Pitched {
			continue
		}
		if low == nil || n.Pitch.Cents() < low.Cents() {
			low = &n.Pitch
		}
		if high == nil || n.Pitch.Cents() > high.Cents() {
			high = &n.Pitch
		}
	}
	out := counted.Of(notes, "note")
	if low != nil {
		out += fmt.Sprintf(" from %s to %s", low, high)
	}
	if len(lines) > 1 {
		out += fmt.Sprintf(" in %d lines", len(lines))
	}
	return out
}

// writePart writes the notes of a part's first line, a line a bar.
func writePart(w io.Writer, p *passage.Part) error {
	line := passage.Line{Part: p}
	if lines := p.Lines(); len(lines) > 0 {
		line = lines[0]
	}
	return writeBars(w, line, 0, len(p.Bars)-1)
}

// writeBars writes the notes of a line's bars from first to last, by index.
func writeBars(w io.Writer, line passage.Line, first, last int) error {
	meter := ""
	for i := first; i <= last; i++ {
		b := line.Part.Bars[i]
		fmt.Fprintf(w, "bar %s", strings.Join(strings.Fields(b.Number), " "))
		if m := b.Meter.String(); m != meter {
			meter = m
			fmt.Fprintf(w, " (%s)", m)
		}
		fmt.Fprint(w, ":")
		for _, n := range line.Between(i, i) {
			fmt.Fprint(w, " ", noteText(n))
		}
		fmt.Fprintln(w)
	}
	return nil
}

// noteText writes a note as "Bb3:1/2": pitch and quarters, "~" where it is tied on.
func noteText(n passage.Note) string {
	name := n.Pitch.String()
	switch n.Kind {
	case passage.Rest:
		name = "rest"
	case passage.Unpitched:
		name = "stroke"
	}
	switch {
	case n.Grace != passage.NoGrace:
		return name + ":grace"
	case n.Chord:
		name = "+" + name
	case n.Cue:
		name = "cue-" + name
	}
	name += ":" + n.Duration.String()
	if n.TieTo {
		name += "~"
	}
	return name
}
