package passage

import (
	"encoding/xml"
	"fmt"
	"math/bits"
	"strconv"
	"strings"
)

// attributes reads what is in force from the cursor on.
func (p *partReader) attributes() error {
	return p.children(func(e xml.StartElement) error {
		c := Change{Bar: p.bar.Index, At: p.cursor, Staff: staffNumber(e)}
		var err error
		switch e.Name.Local {
		case "divisions":
			return p.readDivisions()
		case "staves":
			p.part.Staves, err = p.number("staves", 1, 100)
			return err
		case "time":
			c.Meter, err = p.readTime(e)
			if err == nil && c.Staff <= 1 {
				p.meter = *c.Meter
			}
		case "key":
			c.Key, err = p.readKey()
		case "clef":
			c.Clef, err = p.readClef()
		case "transpose":
			c.Transpose, err = p.readTranspose()
			if err == nil {
				p.transpose = *c.Transpose
			}
		case "measure-style":
			if c.Rests, err = p.readRests(); c.Rests == nil {
				return err
			}
		default:
			return p.skip()
		}
		if err == nil {
			p.count()
			p.part.Changes = append(p.part.Changes, c)
		}
		return err
	})
}

// staffNumber is the staff that an element is for, 0 for all.
func staffNumber(e xml.StartElement) int {
	n, err := strconv.Atoi(attr(e, "number"))
	if err != nil || n < 1 || n > 100 {
		return 0
	}
	return n
}

// readDivisions reads how many divisions a quarter has from here on.
func (p *partReader) readDivisions() error {
	text, err := p.text()
	if err != nil {
		return err
	}
	d, ok := parseDecimal(text)
	if !ok || d.Sign() <= 0 {
		return fmt.Errorf("divisions %s is not a plain number above 0 of at most 18 digits", quoted(text))
	}
	if p.divisions.Sign() > 0 && p.divisions != d && p.cursor.Sign() > 0 {
		p.remark("divisions change inside the bar")
	}
	p.divisions = d
	return nil
}

// readTime reads a time signature.
func (p *partReader) readTime(e xml.StartElement) (*Meter, error) {
	m := Meter{Symbol: p.known(attr(e, "symbol"))}
	var above []int
	err := p.children(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "senza-misura":
			m.Free = true
		case "beats":
			text, err := p.text()
			if err != nil {
				return err
			}
			if above = beats(text); above == nil {
				return fmt.Errorf("time signature: beats %s is not a number from 1 to 64, or several with + between them", quoted(text))
			}
			return nil
		case "beat-type":
			text, err := p.text()
			if err != nil {
				return err
			}
			n, err := strconv.Atoi(text)
			if err != nil || n < 1 || n > 64 || bits.OnesCount(uint(n)) != 1 {
				return fmt.Errorf("time signature: beat-type %s is not 1, 2, 4, 8, 16, 32 or 64", quoted(text))
			}
			if above == nil {
				return fmt.Errorf("time signature: a beat-type has no beats before it")
			}
			if m.Terms = append(m.Terms, MeterTerm{above, n}); len(m.Terms) > 64 {
				return fmt.Errorf("time signature: it has more than 64 fractions")
			}
			above = nil
			return nil
		}
		return p.skip()
	})
	switch {
	case err != nil:
		return nil, err
	case above != nil:
		return nil, fmt.Errorf("time signature: beats have no beat-type after them")
	case m.Free:
		m.Terms = nil
	case len(m.Terms) == 0:
		return nil, fmt.Errorf("time signature: it has neither beats nor senza-misura")
	}
	return &m, nil
}

// beats reads "4" or "3+2", each 1 to 64; nil for anything else.
func beats(s string) []int {
	terms := strings.Split(s, "+")
	if len(terms) > 64 {
		return nil
	}
	var out []int
	for _, t := range terms {
		n, err := strconv.Atoi(strings.TrimSpace(t))
		if err != nil || n < 1 || n > 64 {
			return nil
		}
		out = append(out, n)
	}
	return out
}

// readKey reads a key signature.
func (p *partReader) readKey() (*Key, error) {
	var k Key
	step := -1
	err := p.children(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "fifths":
			k.Fifths, err = p.number("fifths", -15, 15)
			return err
		case "mode":
			text, err := p.text()
			k.Mode = p.known(text)
			return err
		case "key-step":
			text, err := p.text()
			l, ok := ParseLetter(text)
			if step = int(l); err == nil && !ok {
				err = fmt.Errorf("key-step %s is not a letter from A to G", quoted(text))
			}
			return err
		case "key-alter":
			text, err := p.text()
			a, ok := parseAlter(text)
			switch {
			case err != nil:
				return err
			case !ok:
				return fmt.Errorf("key-alter %s is not a number of semitones from -3 to 3", quoted(text))
			case step < 0:
				return fmt.Errorf("a key-alter has no key-step before it")
			case len(k.Signs) >= 64:
				return fmt.Errorf("a key signature has more than 64 signs")
			}
			k.Signs = append(k.Signs, KeySign{Letter(step), a})
			step = -1
			return nil
		}
		return p.skip()
	})
	return &k, err
}

// readClef reads a clef; one that does not name its line stands on the usual one.
func (p *partReader) readClef() (*Clef, error) {
	var c Clef
	err := p.children(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "sign":
			text, err := p.text()
			c.Sign = p.known(text)
			return err
		case "line":
			c.Line, err = p.number("clef: line", -20, 20)
			return err
		case "clef-octave-change":
			c.Octave, err = p.number("clef-octave-change", -9, 9)
			return err
		}
		return p.skip()
	})
	if usual := map[string]int{"G": 2, "F": 4, "C": 3}[c.Sign]; c.Line == 0 {
		c.Line = usual
	}
	return &c, err
}

// readTranspose reads the way from what is written to what sounds.
func (p *partReader) readTranspose() (*Transposition, error) {
	var t Transposition
	var spelled bool
	err := p.children(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "diatonic":
			spelled = true
			t.Diatonic, err = p.number("transpose: diatonic", -70, 70)
			return err
		case "chromatic":
			t.Chromatic, err = p.number("transpose: chromatic", -120, 120)
			return err
		case "octave-change":
			t.Octave, err = p.number("transpose: octave-change", -9, 9)
			return err
		case "double":
			t.Double = -1
			if attr(e, "above") == "yes" {
				t.Double = 1
			}
		}
		return p.skip()
	})
	if !spelled {
		t.Diatonic = usualSteps(t.Chromatic)
	}
	if r := p.reader; r.concert && (t.Diatonic != 0 || t.Chromatic != 0) {
		p.remark("a score in concert pitch transposes all the same; only the octave is taken")
		t.Diatonic, t.Chromatic = 0, 0
	}
	return &t, err
}

// usualSteps is how many letters so many semitones are in instruments that
// transpose: a whole tone is one, a minor third two.
func usualSteps(semitones int) int {
	if semitones < 0 {
		return -usualSteps(-semitones)
	}
	return 7*(semitones/12) + [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}[semitones%12]
}

// readRests reads a rest over several bars; nil where the style is another.
func (p *partReader) readRests() (*int, error) {
	var rests *int
	err := p.children(func(e xml.StartElement) error {
		if e.Name.Local != "multiple-rest" {
			return p.skip()
		}
		n, err := p.number("multiple-rest", 1, p.limits.Bars)
		rests = &n
		return err
	})
	return rests, err
}
