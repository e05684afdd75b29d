package assets

import "embed"

// Fingerings are the charts of five woodwinds, what a change costs and where each
// row comes from, in a folder "fingerings".
//
//go:embed fingerings/*.yaml
var Fingerings embed.FS
