package ladder

// Accented is which of a step's notes are struck as accents, in place of the accents
// that the dynamics have.
type Accented uint8

// None of them, the first of each slur, those with an accent mark, or both.
const (
	AccentedOff Accented = iota
	AccentedSlurs
	AccentedWritten
	AccentedBoth
)

var accentedNames = [...]string{"off", "slurs", "written", "both"}

// String is the word in a routine file.
func (a Accented) String() string { return accentedNames[min(int(a), len(accentedNames)-1)] }

// Slurs reports whether the first note of each slur is accented.
func (a Accented) Slurs() bool { return a == AccentedSlurs || a == AccentedBoth }

// Written reports whether notes with an accent mark are accented.
func (a Accented) Written() bool { return a == AccentedWritten || a == AccentedBoth }

// ParseAccented reads "off", "slurs", "written" or "both".
func ParseAccented(s string) (Accented, error) {
	return named[Accented](s, "accented", accentedNames[:])
}
