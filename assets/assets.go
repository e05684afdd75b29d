// Package assets holds what the program carries inside itself: the fonts of
// the window and its icon. The licences of the fonts lie beside them.
package assets

import _ "embed"

// The faces of Atkinson Hyperlegible Next (SIL Open Font License 1.1), made to
// be told apart at a distance. Callers do not write to the bytes.
var (
	//go:embed fonts/AtkinsonHyperlegibleNext-Regular.ttf
	TextRegular []byte
	//go:embed fonts/AtkinsonHyperlegibleNext-Medium.ttf
	TextMedium []byte
	//go:embed fonts/AtkinsonHyperlegibleNext-Bold.ttf
	TextBold []byte
)

// Music is Bravura (SIL Open Font License 1.1), the reference font of the
// Standard Music Font Layout. Callers do not write to the bytes.
//
//go:embed fonts/Bravura.otf
var Music []byte

// Icon is the program's icon, a PNG of 256 by 256 pixels; icon.svg beside it
// is its master.
//
//go:embed icon.png
var Icon []byte
