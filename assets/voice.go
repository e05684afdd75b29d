package assets

import (
	"embed"
	"io/fs"
)

//go:embed voice/*.wav
var voice embed.FS

// Voice is the folder with the words of the spoken count; README.md in voice/ says how
// they were made.
func Voice() fs.FS {
	folder, err := fs.Sub(voice, "voice")
	if err != nil {
		return voice // cannot be: the name is a good one
	}
	return folder
}
