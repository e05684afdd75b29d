// Package chartfile reads a player's own fingerings, which lie beside their routines.
package chartfile

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"footing/files"
	"footing/ladder/fingers"
)

// Beside is the library with the player's own file in a folder read into it: as it
// is where there is none. The error is [fingers.Errors], that of ctx when it ends
// first, or the file's.
func Beside(ctx context.Context, l *fingers.Library, folder string) (*fingers.Library, error) {
	path := filepath.Join(folder, fingers.OwnFile)
	data, _, err := files.Read(ctx, path, fingers.MaxBytes+1)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.Is(err, fs.ErrNotExist):
		return l, nil
	case err != nil:
		return nil, fmt.Errorf("cannot read the fingerings %s: %w", files.Name(path), files.Cause(err))
	}
	return l.With(files.Name(path), data)
}
