package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"footing/files"
	"footing/ladder"
	"footing/ladder/counted"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ladder/passage/listing"
	"footing/ladder/passage/pattern"
	"footing/ladder/routine"
)

// stepListing is a step's notes in JSON: those of a score, and where the step is in
// it.
type stepListing struct {
	Step   string `json:"step"`
	Source string `json:"source"` // "score", "notes" or "pattern"
	listing.Listing
	Passage [2]int         `json:"passage"` // the first bar and the last, by index
	Chunk   []chunkListing `json:"chunk"`
	Marks   []markListing  `json:"marks"`
}

// chunkListing is a note that begins in the chunk.
type chunkListing struct {
	Place  string  `json:"place"` // "18:2+1/2", in the step's beats
	Beats  string  `json:"beats"` // its length in them
	Pitch  string  `json:"pitch"`
	MIDI   float64 `json:"midi"`
	Sounds float64 `json:"sounds"`
}

type markListing struct {
	Place  string `json:"place"`
	Pitch  string `json:"pitch"`
	Text   string `json:"text,omitempty"`
	Finger string `json:"finger,omitempty"`
}

// routine writes the notes of a routine's steps, or of one.
func (c notesCmd) routine(ctx context.Context, w World) error {
	file, err := routine.LoadContext(ctx, c.File)
	if err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return loadFault(err)
	}
	r := file.Routine()
	if c.Output != "" && c.Step == "" && len(r.Steps) > 1 {
		return usageFault(fmt.Errorf("%s has %s; write --step with the one to draw: %s", files.Name(c.File), counted.Of(len(r.Steps), "step"), stepNames(r)))
	}
	steps, err := stepsWithNotes(ctx, file, c.File, c.Step)
	if err != nil {
		return err
	}
	var all []stepListing
	for _, s := range steps {
		found := s.found
		if c.Output != "" {
			if err := c.drawStep(ctx, w, found.Notes); err != nil || !c.JSON {
				return err
			}
		}
		if c.JSON {
			all = append(all, listed(c.File, s.Step, found))
			continue
		}
		for _, remark := range found.Score {
			fmt.Fprintf(w.Err, "%s: %s\n", files.Name(filepath.Join(filepath.Dir(c.File), s.Notes.Score.File)), remark)
		}
		for _, remark := range found.Typed {
			at := file.ErrorWithin(s.index, ladder.Fault{Key: "notes"}, remark.Line, remark.Col)
			fmt.Fprintf(w.Err, "%s:%d:%d: %s\n", files.Name(c.File), at.Line, at.Col, remark.Text)
		}
		if err := writeStep(w, s.Step, found.Notes); err != nil {
			return err
		}
	}
	switch {
	case c.JSON && len(r.Steps) == 1, c.JSON && c.Step != "":
		return writeJSON(w.Out, all[0])
	case c.JSON:
		return writeJSON(w.Out, struct {
			File  string        `json:"file"`
			Steps []stepListing `json:"steps"`
		}{filepath.Base(c.File), all})
	}
	return nil
}

// writeStep writes a line for a step, its passage bar by bar, and its chunk.
func writeStep(w World, s ladder.Step, n *notes.Notes) error {
	fmt.Fprintf(w.Out, "%s: %s of %s\n", s.Name, s.Passage.Bars(), sourceText(s, n))
	if err := writeBars(w.Out, n.Line, n.First, n.Last); err != nil {
		return err
	}
	fmt.Fprintf(w.Out, "chunk %s, %s:", n.Place(s.ChunkStart()), counted.Value(s.Chunk.Length, "beat"))
	chunk := n.Chunk(s)
	for _, i := range chunk.Begin {
		fmt.Fprintf(w.Out, " %s", n.All[i].Pitch)
	}
	if len(chunk.Landing) > 0 {
		fmt.Fprintf(w.Out, ", landing on %s", n.All[chunk.Landing[0]].Pitch)
	}
	_, err := fmt.Fprintln(w.Out)
	for _, m := range n.Marks {
		_, err = fmt.Fprintf(w.Out, "mark %s on %s: %s\n", n.Place(m.At), n.All[m.Note].Pitch, strings.TrimSpace(m.Text+" "+m.Finger))
	}
	return err
}

// sourceText says where a step's notes come from.
func sourceText(s ladder.Step, n *notes.Notes) string {
	switch source(s) {
	case "score":
		return files.Name(s.Notes.Score.File) + ", " + n.Part.Called()
	case "notes":
		return "typed notes"
	}
	return n.Score.Title
}

// source is the key of the routine file that a step's notes come from.
func source(s ladder.Step) string {
	switch {
	case s.Notes.Score.File != "":
		return "score"
	case s.Notes.Typed.Text != "":
		return "notes"
	}
	return "pattern"
}

// listed is a step's notes in JSON.
func listed(path string, s ladder.Step, found notesfile.Found) stepListing {
	n := found.Notes
	out := stepListing{
		Step: s.Name, Source: source(s), Listing: listing.Of(filepath.Base(path), n.Score, found.Score),
		Passage: [2]int{n.First, n.Last}, Chunk: []chunkListing{}, Marks: []markListing{},
	}
	if out.Source == "score" {
		out.File = filepath.Base(s.Notes.Score.File)
	}
	out.Parts = []listing.Part{listing.OfPart(n.Part)}
	for _, remark := range found.Typed {
		out.Anomalies = append(out.Anomalies, remark.String())
	}
	for _, i := range n.Chunk(s).Begin {
		note := n.All[i]
		out.Chunk = append(out.Chunk, chunkListing{n.Place(note.From), note.To.Sub(note.From).String(), note.Pitch.String(), note.Pitch.MIDI(), note.Sounds.MIDI()})
	}
	for _, m := range n.Marks {
		out.Marks = append(out.Marks, markListing{n.Place(m.At), n.All[m.Note].Pitch.String(), m.Text, m.Finger})
	}
	return out
}

// pattern writes the notes of a recipe.
func (c notesCmd) pattern(w World) error {
	got, err := pattern.Answer(pattern.Words{Key: c.Pattern, Figure: c.Figure, Octaves: c.Octaves, From: c.From, Range: c.Range})
	if err != nil {
		if fault := (*pattern.Error)(nil); errors.As(err, &fault) {
			flag := fault.Of.String()
			if fault.Of == pattern.InKey {
				flag = "pattern"
			}
			err = fmt.Errorf("--%s: %w", flag, err)
		}
		return usageFault(err)
	}
	if c.JSON {
		return writeJSON(w.Out, got)
	}
	_, err = fmt.Fprintf(w.Out, "%s, %s: %s\n", got.Pattern, got.Figure, strings.Join(got.Pitches, " "))
	return err
}
