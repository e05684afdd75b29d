package look

import (
	"fyne.io/fyne/v2"

	"footing/assets"
)

// Face is a font of the window.
type Face int

// The faces: three weights of text, and the notes.
const (
	Regular Face = iota
	Medium
	Bold
	Notes
)

// CapHeight is the height of a capital of the text faces as a share of the
// font size, as the fonts' own OS/2 tables state it (668 of 1000).
const CapHeight = 0.668

// FarCap is the capital height, in pixels at 96 to the inch, that can be read
// from behind a music stand: 5.6 mm at 1.2 m is 16 minutes of arc, the least
// that ISO 9241-3 allows.
const FarCap = 5.6 / 25.4 * 96

// FarSize is the smallest font size whose capitals are FarCap high.
const FarSize = 32

// fonts are the resources behind the faces. They are made once, because Fyne
// caches a parsed font by its resource's identity.
var fonts = [...]fyne.Resource{
	Regular: fyne.NewStaticResource("AtkinsonHyperlegibleNext-Regular.ttf", assets.TextRegular),
	Medium:  fyne.NewStaticResource("AtkinsonHyperlegibleNext-Medium.ttf", assets.TextMedium),
	Bold:    fyne.NewStaticResource("AtkinsonHyperlegibleNext-Bold.ttf", assets.TextBold),
	Notes:   fyne.NewStaticResource("Bravura.otf", assets.Music),
}

// Resource is the font behind the face.
func (f Face) Resource() fyne.Resource { return fonts[f] }

// Note shapes by their code points in the Standard Music Font Layout (SMuFL
// 1.4: noteheads, individual notes, rests).
const (
	HeadBlack   = "\uE0A4"
	HeadHalf    = "\uE0A3"
	HeadX       = "\uE0A9"
	HeadDiamond = "\uE0DD"
	RestEighth  = "\uE4E6"

	noteWhole   = "\uE1D2"
	noteHalf    = "\uE1D3"
	noteQuarter = "\uE1D5"
	noteEighth  = "\uE1D7"
	note16th    = "\uE1D9"
	note32nd    = "\uE1DB"
	dot         = "\uE1E7"
)

// NoteFor is the note whose length is num/den of a whole note: 1/4 a quarter,
// 3/8 a dotted quarter. The dot is reported by itself, since it stands apart.
// ok is false when no single note has that length.
func NoteFor(num, den int) (note string, dotted, ok bool) {
	if num == 3 && den%2 == 0 {
		num, den, dotted = 1, den/2, true
	}
	if num != 1 {
		return "", false, false
	}
	switch den {
	case 1:
		note = noteWhole
	case 2:
		note = noteHalf
	case 4:
		note = noteQuarter
	case 8:
		note = noteEighth
	case 16:
		note = note16th
	case 32:
		note = note32nd
	default:
		return "", false, false
	}
	return note, dotted, true
}

// Dot is the augmentation dot that follows a dotted note.
const Dot = dot
