package cli

import "context"

// openCmd opens the window.
type openCmd struct {
	File string `arg:"" optional:"" help:"A routine, or a score in MusicXML to make one of."`
}

// Run implements the command.
func (c openCmd) Run(ctx context.Context, w World) error { return w.Window(ctx, c.File) }
