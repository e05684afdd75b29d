package cli

import (
	"context"
	"fmt"
	"image"
	"image/png"
	"io"
	"path/filepath"

	"footing/audio/track"
	"footing/ladder/hearing"
	"footing/ui/palette"
	"footing/ui/picture"
)

// parseSize reads "1600x1000"; without one it is that.
func parseSize(s string) (image.Point, error) {
	if s == "" {
		return image.Pt(1600, 1000), nil
	}
	var size image.Point
	var rest string
	if n, _ := fmt.Sscanf(s, "%dx%d%s", &size.X, &size.Y, &rest); n != 2 {
		return size, fmt.Errorf("%q is no size; write width and height in pixels, such as 1600x1000", s)
	}
	return size, picture.CheckSize(size)
}

// draw writes the picture, whole or not at all.
func (c hearCmd) draw(ctx context.Context, r hearing.Report, wave *picture.Wave, size image.Point) error {
	p := palette.Day()
	if c.Night {
		p = palette.Night()
	}
	img, err := picture.Draw(picture.Of(filepath.Base(c.Take), r, wave), size, p)
	if err != nil {
		return fmt.Errorf("drawing %s: %w", c.Picture, err)
	}
	if err := track.Replace(ctx, c.Picture, func(f io.WriteSeeker) error { return png.Encode(f, img) }); err != nil {
		return machineFault(err)
	}
	return nil
}
