package passage

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Letter is one of the seven note letters, from C (0) to B (6).
type Letter int8

// The letters, in the order of an octave.
const (
	C Letter = iota
	D
	E
	F
	G
	A
	B
)

const letters = "CDEFGAB"

// semitones from C to each letter.
var natural = [7]int{0, 2, 4, 5, 7, 9, 11}

// String is the letter, "C" to "B".
func (l Letter) String() string { return letters[floorMod(int(l), 7):][:1] }

// ParseLetter reads a capital letter.
func ParseLetter(s string) (Letter, bool) {
	i := strings.Index(letters, s)
	return Letter(i), len(s) == 1 && i >= 0
}

// Alter is what an accidental does to a letter, in hundredths of a semitone: a
// sharp is 100, a quarter tone down −50.
type Alter int16

// The alterations that have a sign in every clef and key.
const (
	DoubleFlat  Alter = -200
	Flat        Alter = -100
	Natural     Alter = 0
	Sharp       Alter = 100
	DoubleSharp Alter = 200
)

// Pitch is a spelled pitch: letter, alteration and octave, of which 4 begins at
// middle C. C flat 4 lies below middle C, B sharp 3 on it. The zero value is C0.
// Pitches compare with ==, as spelled.
type Pitch struct {
	Letter Letter
	Octave int8 // 0 to 9 in what is read
	Alter  Alter
}

// MiddleC is C4, MIDI 60.
var MiddleC = Pitch{Letter: C, Octave: 4}

// Steps counts letters from C0: an octave is 7, middle C is 28. It is where a
// note stands on a staff, whatever its accidental.
func (p Pitch) Steps() int { return 7*int(p.Octave) + int(p.Letter) }

// Cents is the pitch in hundredths of a semitone, with middle C at 6000.
func (p Pitch) Cents() int {
	return 1200*(int(p.Octave)+1) + 100*natural[floorMod(int(p.Letter), 7)] + int(p.Alter)
}

// MIDI is the pitch in semitones, with middle C at 60; a quarter tone ends in .5.
func (p Pitch) MIDI() float64 { return float64(p.Cents()) / 100 }

// Interval is the way from one spelled pitch to another: letters and hundredths
// of a semitone, both negative going down. A minor third up is {2, 300}.
type Interval struct{ Steps, Cents int }

// Up is the pitch that lies an interval away, spelled by the interval's letters:
// a minor third above C sharp is E, an augmented second D double sharp. The
// alteration may come out larger than there are signs for; see [Pitch.Signed].
func (p Pitch) Up(i Interval) Pitch {
	steps := p.Steps() + i.Steps
	q := Pitch{Letter: Letter(floorMod(steps, 7)), Octave: int8(floorDiv(steps, 7))}
	q.Alter = Alter(p.Cents() + i.Cents - q.Cents())
	return q
}

// Down is the pitch an interval below; see [Pitch.Up].
func (p Pitch) Down(i Interval) Pitch { return p.Up(Interval{-i.Steps, -i.Cents}) }

// To is the interval from p to q, so that p.Up(p.To(q)) is q.
func (p Pitch) To(q Pitch) Interval {
	return Interval{q.Steps() - p.Steps(), q.Cents() - p.Cents()}
}

// Signed reports whether the alteration can be printed with the common signs,
// from double flat to double sharp.
func (p Pitch) Signed() bool { return p.Alter%100 == 0 && p.Alter >= -200 && p.Alter <= 200 }

var alterSigns = map[Alter]string{DoubleFlat: "bb", Flat: "b", Natural: "", Sharp: "#", DoubleSharp: "##"}

var alterWords = map[Alter]string{
	DoubleFlat: " double flat", -150: " three quarters flat", Flat: " flat", -50: " quarter flat",
	Natural: "", 50: " quarter sharp", Sharp: " sharp", 150: " three quarters sharp", DoubleSharp: " double sharp",
}

// String writes letter, sign and octave: "C#4", "Bb3", "F##5", and "D(-0.5)4"
// in semitones where there is no common sign.
func (p Pitch) String() string {
	return p.Letter.String() + p.Alter.sign() + strconv.Itoa(int(p.Octave))
}

func (a Alter) sign() string {
	if s, ok := alterSigns[a]; ok {
		return s
	}
	return fmt.Sprintf("(%+g)", float64(a)/100)
}

// Name is the pitch in words without its octave: "B flat", "F double sharp".
func (p Pitch) Name() string {
	if w, ok := alterWords[p.Alter]; ok {
		return p.Letter.String() + w
	}
	return p.Letter.String() + p.Alter.sign()
}

// ParsePitch reads what [Pitch.String] writes, octaves 0 to 9.
func ParsePitch(s string) (Pitch, error) {
	bad := fmt.Errorf("%q is not a pitch; write letter, accidental and octave such as C4, Bb3 or F##5", s)
	if len(s) < 2 {
		return Pitch{}, bad
	}
	l, ok := ParseLetter(s[:1])
	octave := s[len(s)-1]
	if !ok || octave < '0' || octave > '9' {
		return Pitch{}, bad
	}
	p := Pitch{Letter: l, Octave: int8(octave - '0')}
	sign := s[1 : len(s)-1]
	for a, text := range alterSigns {
		if sign == text {
			p.Alter = a
			return p, nil
		}
	}
	inner, opens := strings.CutPrefix(sign, "(")
	inner, closes := strings.CutSuffix(inner, ")")
	a, ok := parseAlter(strings.TrimPrefix(inner, "+"))
	if !opens || !closes || !ok {
		return Pitch{}, bad
	}
	p.Alter = a
	return p, nil
}

// maxAlter is the largest alteration that is read, three semitones.
const maxAlter = 300

// parseAlter reads a decimal of semitones from −3 to 3, to the nearest
// hundredth.
func parseAlter(s string) (Alter, bool) {
	if _, ok := parseDecimal(s); !ok {
		return 0, false
	}
	f, err := strconv.ParseFloat(s, 64)
	if err != nil || f < -maxAlter/100 || f > maxAlter/100 {
		return 0, false
	}
	return Alter(math.Round(f * 100)), true
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

func floorMod(a, b int) int { return a - b*floorDiv(a, b) }
