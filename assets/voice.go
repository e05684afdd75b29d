package assets

import "embed"

// Voice are the words of the spoken count, in a folder "voice"; README.md there says
// how they were made.
//
//go:embed voice/*.wav
var Voice embed.FS
