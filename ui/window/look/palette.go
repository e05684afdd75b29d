// Package look is the appearance of the window: fonts, note shapes and the Fyne
// theme made of them and of the palettes.
package look

import "footing/ui/palette"

// Palette is one set of colours; see [palette.Palette].
type Palette = palette.Palette
