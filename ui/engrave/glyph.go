package engrave

import "footing/ladder/passage"

// The glyphs that are asked for by name.
const (
	clefG       Glyph = 0xE050
	clefG8up    Glyph = 0xE053
	clefG8down  Glyph = 0xE052
	clefC       Glyph = 0xE05C
	clefF       Glyph = 0xE062
	clefF8down  Glyph = 0xE064
	clefF8up    Glyph = 0xE065
	digit0      Glyph = 0xE080
	meterCommon Glyph = 0xE08A
	meterCut    Glyph = 0xE08B
	meterPlus   Glyph = 0xE08C
	headBreve   Glyph = 0xE0A0
	headWhole   Glyph = 0xE0A2
	headHalf    Glyph = 0xE0A3
	headBlack   Glyph = 0xE0A4
	headCross   Glyph = 0xE0A9
	flag8up     Glyph = 0xE240 // then down, then the same with a flag more
	flat        Glyph = 0xE260
	natural     Glyph = 0xE261
	sharp       Glyph = 0xE262
	doubleSharp Glyph = 0xE263
	doubleFlat  Glyph = 0xE264
	tripleSharp Glyph = 0xE265
	tripleFlat  Glyph = 0xE266
	bracketL    Glyph = 0xE26A
	bracketR    Glyph = 0xE26B
	augDot      Glyph = 0xE1E7
	restLong    Glyph = 0xE4E1
	restBreve   Glyph = 0xE4E2
	restWhole   Glyph = 0xE4E3 // then half, quarter …
	repeatDot   Glyph = 0xE044
	segno       Glyph = 0xE047
	coda        Glyph = 0xE048
	tuplet0     Glyph = 0xE880
	tupletColon Glyph = 0xE88A
	finger0     Glyph = 0xED10
	breath      Glyph = 0xE4CE
	caesura     Glyph = 0xE4D1
	fermataUp   Glyph = 0xE4C0
)

// The strokes, from the font's own engraving defaults.
const (
	staffThick  = 0.13
	stemThick   = 0.12
	ledgerThick = 0.16
	ledgerOut   = 0.4
	barThin     = 0.16
	barThick    = 0.5
	barGap      = 0.4
	beamThick   = 0.5
	beamStep    = 0.75
	fineThick   = 0.16 // brackets, endings
	curveThick  = 0.22
	headWidth   = 1.18
	stemRise    = 0.168 // a stem begins so far from the head's middle
)

const (
	graceSize = 0.6
	cueSize   = 0.75
)

func head(v passage.Value) Glyph {
	switch {
	case v <= passage.Breve:
		return headBreve
	case v == passage.Whole:
		return headWhole
	case v == passage.Half:
		return headHalf
	}
	return headBlack
}

func rest(v passage.Value) Glyph {
	switch {
	case v == passage.Maxima:
		return restLong - 1
	case v == passage.Long:
		return restLong
	case v == passage.Breve:
		return restBreve
	}
	return restWhole + Glyph(v-passage.Whole)
}

func flag(n int, up bool) Glyph {
	g := flag8up + 2*Glyph(n-1)
	if !up {
		g++
	}
	return g
}

// signs are the accidentals by the standard's names.
var signs = map[string]Glyph{
	"flat": flat, "natural": natural, "sharp": sharp, "double-sharp": doubleSharp, "sharp-sharp": 0xE269,
	"flat-flat": doubleFlat, "natural-flat": 0xE267, "natural-sharp": 0xE268,
	"triple-sharp": tripleSharp, "triple-flat": tripleFlat,
	"quarter-flat": 0xE280, "three-quarters-flat": 0xE281, "quarter-sharp": 0xE282, "three-quarters-sharp": 0xE283,
	"flat-up": 0xE270, "flat-down": 0xE271, "natural-up": 0xE272, "natural-down": 0xE273,
	"sharp-up": 0xE274, "sharp-down": 0xE275, "double-sharp-up": 0xE276, "double-sharp-down": 0xE277,
	"flat-flat-up": 0xE278, "flat-flat-down": 0xE279,
	"koron": 0xE460, "sori": 0xE461, "slash-quarter-sharp": 0xE444, "slash-sharp": 0xE446,
	"slash-flat": 0xE441, "double-slash-flat": 0xE440,
}

// signOf is the sign of an alteration that the file gives no sign for; the
// nearest there is.
func signOf(a passage.Alter) Glyph {
	all := [...]Glyph{tripleFlat, tripleFlat, doubleFlat, 0xE281, flat, 0xE280, natural, 0xE282, sharp, 0xE283, doubleSharp, tripleSharp, tripleSharp}
	return all[min(max((int(a)+325)/50, 0), len(all)-1)]
}

// articulations are the marks above or below a note: the glyph above; the one
// below follows it. Only those that may stand below are at the head's side.
var articulations = []struct {
	name      string
	glyph     Glyph
	headSide  bool // at the head, opposite the stem; else above the staff
	intoStaff bool // in a space of the staff where there is one
}{
	{"staccato", 0xE4A2, true, true},
	{"tenuto", 0xE4A4, true, true},
	{"detached-legato", 0xE4A4, true, true},
	{"staccatissimo", 0xE4A6, true, false},
	{"spiccato", 0xE4A8, true, false},
	{"stress", 0xE4A0, true, false},
	{"accent", 0xE4A0, true, false},
	{"strong-accent", 0xE4AC, false, false},
}

// ornaments stand above all articulations, in this order outwards.
var ornaments = []struct {
	name  string
	glyph Glyph
}{
	{"harmonic", 0xE614}, {"up-bow", 0xE612}, {"down-bow", 0xE610},
	{"turn", 0xE567}, {"delayed-turn", 0xE567}, {"inverted-turn", 0xE568}, {"mordent", 0xE56D}, {"inverted-mordent", 0xE56C},
	{"trill-mark", 0xE566}, {"fermata", fermataUp},
}
