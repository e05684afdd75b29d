package cli

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"path/filepath"
	"strings"

	"footing/audio/track"
	"footing/files"
	"footing/ladder/counted"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/palette"
)

// In pixels: how wide a picture of notes is at most, what is kept free around
// them, and how high one of pixels may be (some 700 bars of sixteenths).
const (
	notesWidth  = 1600
	notesMargin = 40
	notesHeight = 32_000
)

// checkOutput says whether the picture's name is one that can be written.
func (c notesCmd) checkOutput() error {
	switch ext := strings.ToLower(filepath.Ext(c.Output)); {
	case c.Output == "" && c.Night:
		return usageFault(errors.New("--night belongs to a picture; write -o OUT.png or -o OUT.svg"))
	case c.Output == "":
		return nil
	case ext != ".png" && ext != ".svg":
		return usageFault(fmt.Errorf("%s: notes are drawn as PNG or SVG; write a name that ends in .png or .svg", files.Name(c.Output)))
	case c.Pattern != "":
		return usageFault(errors.New("-o belongs to a score or a routine; write pattern: in a routine's step to have it drawn"))
	case sameFile(c.Output, c.File):
		return usageFault(fmt.Errorf("%s is what the notes are read from; write another name for the picture", files.Name(c.Output)))
	}
	return nil
}

// drawPart draws a part's first line: of a score with several parts, the one that
// was asked for.
func (c notesCmd) drawPart(ctx context.Context, w World, score *passage.Score, part *passage.Part) error {
	if part == nil {
		if len(score.Parts) != 1 {
			return usageFault(fmt.Errorf("%s has %s; write --part with the one to draw", files.Name(c.File), counted.Of(len(score.Parts), "part")))
		}
		part = &score.Parts[0]
	}
	line := passage.Line{Part: part}
	if lines := part.Lines(); len(lines) > 0 {
		line = lines[0]
	}
	return c.draw(ctx, w, engrave.Bars(line, 0, len(part.Bars)-1), len(part.Bars), nil)
}

// drawStep draws the passage of a step, with the player's marks.
func (c notesCmd) drawStep(ctx context.Context, w World, n *notes.Notes) error {
	var marks []engrave.PencilMark
	for _, m := range n.Marks {
		text := m.Text
		if text == "" {
			text = m.Finger
		}
		marks = append(marks, engrave.PencilMark{Note: n.All[m.Note].First, Text: text})
	}
	return c.draw(ctx, w, engrave.Bars(n.Line, n.First, n.Last), n.Last-n.First+1, marks)
}

// draw writes the picture, whole or not at all.
func (c notesCmd) draw(ctx context.Context, w World, e engrave.Excerpt, bars int, marks []engrave.PencilMark) error {
	const space = paint.LargeSpace
	d, err := engrave.Layout(e, engrave.Options{Width: float64(notesWidth-2*notesMargin) / space, Numbers: true, Between: 2, Pencil: marks})
	if err != nil {
		return inputFault(fmt.Errorf("%s: %w", files.Name(c.File), err))
	}
	colours := palette.Day()
	if c.Night {
		colours = palette.Night()
	}
	size := image.Pt(int(math.Ceil(d.Width*space))+2*notesMargin, int(math.Ceil(d.Height*space))+2*notesMargin)
	vector := strings.EqualFold(filepath.Ext(c.Output), ".svg")
	if !vector && size.Y > notesHeight {
		return inputFault(fmt.Errorf("%s: a picture of all notes would be %d pixels high; write a name that ends in .svg, or draw the bars of a routine's step",
			files.Name(c.File), size.Y))
	}
	painter, err := paint.New()
	if err != nil {
		return machineFault(fmt.Errorf("drawing %s: %w", files.Name(c.Output), err))
	}
	view := paint.View{Space: space, X: notesMargin, Y: notesMargin, Ink: paint.Colours(colours)}
	err = track.Replace(ctx, c.Output, func(f io.WriteSeeker) error {
		if vector {
			return painter.SVG(f, d, view, size.X, size.Y, colours.Paper)
		}
		img := image.NewRGBA(image.Rectangle{Max: size})
		draw.Draw(img, img.Rect, image.NewUniform(colours.Paper), image.Point{}, draw.Src)
		painter.Draw(img, d, view)
		return png.Encode(f, img)
	})
	if err != nil {
		return machineFault(err)
	}
	if !c.JSON {
		fmt.Fprintf(w.Out, "%s: %s in %s\n", files.Name(c.Output), counted.Of(bars, "bar"), counted.Of(len(d.Systems), "line"))
	}
	return nil
}
