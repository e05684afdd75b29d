package assets

import "embed"

// Routines are the starter routines, in a folder "routines".
//
//go:embed routines/*.yaml
var Routines embed.FS
