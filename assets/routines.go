package assets

import "embed"

// Routines are the starter routines, in a folder "routines".
//
//go:embed routines/*.yaml
var Routines embed.FS

// FirstRoutine is the starter that a newcomer begins with: it does what README
// says of the first minutes.
const FirstRoutine = "two-beats.yaml"
