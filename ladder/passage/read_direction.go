package passage

import (
	"encoding/xml"
	"regexp"
	"strconv"
	"strings"
)

// direction reads what stands above or below the staff.
func (p *partReader) direction(e xml.StartElement) error {
	first := len(p.part.Directions)
	tempos := len(p.part.Tempos)
	var by Quarters
	var staff int
	err := p.children(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "direction-type":
			return p.children(p.directionType)
		case "offset":
			by, err = p.offset()
			return err
		case "staff":
			staff, err = p.number("staff", 1, 100)
			return err
		case "sound":
			return p.sound(e)
		}
		return p.skip()
	})
	if err != nil {
		return err
	}
	for i := range p.part.Directions[first:] {
		d := &p.part.Directions[first+i]
		d.Staff = staff
		if d.At, err = p.plus(d.At, by); err != nil {
			return err
		}
	}
	for i := range p.part.Tempos[tempos:] {
		t := &p.part.Tempos[tempos+i]
		if t.At, err = p.plus(t.At, by); err != nil {
			return err
		}
	}
	return nil
}

// offset reads how far from the cursor a direction stands, before it or behind.
func (p *partReader) offset() (Quarters, error) {
	text, err := p.text()
	if err != nil {
		return Quarters{}, err
	}
	d, ok := parseDecimal(text)
	if ok {
		d, ok = ratio(d, p.quarter())
	}
	if !ok {
		p.remark("the offset %s is not a plain number; it is left out", quoted(text))
		return Quarters{}, nil
	}
	return d, nil
}

// say adds a direction at the cursor.
func (p *partReader) say(kind DirectionKind, text string) {
	p.count()
	p.part.Directions = append(p.part.Directions, Direction{Bar: p.bar.Index, At: p.cursor, Kind: kind, Text: text})
}

// directionType reads one element of a direction-type.
func (p *partReader) directionType(e xml.StartElement) error {
	switch e.Name.Local {
	case "words":
		text, err := p.text()
		if wayWords.MatchString(text) {
			p.ways = append(p.ways, way{p.bar.Index, text})
		}
		if text != "" {
			p.say(Words, text)
		}
		return err
	case "rehearsal":
		text, err := p.text()
		p.say(Rehearsal, text)
		return err
	case "dynamics":
		return p.children(func(e xml.StartElement) error {
			p.say(Dynamics, p.known(e.Name.Local))
			return p.skip()
		})
	case "wedge":
		p.say(Wedge, p.known(attr(e, "type")))
	case "segno":
		p.say(SegnoSign, "")
	case "coda":
		p.say(CodaSign, "")
	case "metronome":
		return p.metronome()
	case "octave-shift":
		p.say(OctaveShift, p.known(attr(e, "type")))
		d := &p.part.Directions[len(p.part.Directions)-1]
		if d.Size = 8; attr(e, "size") != "" {
			d.Size, _ = strconv.Atoi(attr(e, "size"))
		}
	}
	return p.skip()
}

// metronome reads a metronome mark: a note value and a number, or two note values.
func (p *partReader) metronome() error {
	var units []string
	var number string
	var dots int
	err := p.children(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "beat-unit":
			text, err := p.text()
			units = append(units, text)
			return err
		case "beat-unit-dot":
			if len(units) <= 1 {
				dots++
			}
		case "per-minute":
			text, err := p.text()
			number = text
			return err
		}
		return p.skip()
	})
	if err != nil || len(units) == 0 {
		return err
	}
	if number == "" && len(units) > 1 {
		number = units[1]
	}
	p.say(Metronome, units[0]+"="+number)
	p.part.Directions[len(p.part.Directions)-1].Dots = dots
	return nil
}

// way is a text that tells a player where to go on.
type way struct {
	bar  int
	text string
}

// wayWords are the usual texts of jumps (common practice, no source).
var wayWords = regexp.MustCompile(`(?i)\bd\. ?[cs]\.|\bda capo\b|\bdal segno\b|\bto coda\b|^fine\.?$`)

// sound reads tempo and jumps.
func (p *partReader) sound(e xml.StartElement) error {
	tempo := len(p.part.Tempos)
	for _, a := range e.Attr {
		kind, jumps := soundJumps[a.Name.Local]
		switch {
		case a.Name.Local == "tempo":
			milli, ok := parseTempo(a.Value)
			if !ok {
				p.remark("the tempo %s is not a plain number of quarters a minute; it is left out", quoted(a.Value))
				continue
			}
			p.count()
			p.part.Tempos = append(p.part.Tempos, Tempo{p.bar.Index, p.cursor, milli})
		case !jumps || a.Value == "no" || len(p.bar.Jumps) >= maxJumps:
		case kind == DaCapo || kind == ForwardRepeat || kind == Fine:
			p.bar.Jumps = append(p.bar.Jumps, Jump{Kind: kind, Only: passes(attr(e, "time-only"))})
		default:
			p.bar.Jumps = append(p.bar.Jumps, Jump{Kind: kind, Name: a.Value, Only: passes(attr(e, "time-only"))})
		}
	}
	var by Quarters
	err := p.children(func(e xml.StartElement) (err error) {
		if e.Name.Local != "offset" {
			return p.skip()
		}
		by, err = p.offset()
		return err
	})
	for i := range p.part.Tempos[tempo:] {
		if err == nil {
			t := &p.part.Tempos[tempo+i]
			t.At, err = p.plus(t.At, by)
		}
	}
	return err
}

// maxJumps and maxPasses bound what one bar can say of the way.
const (
	maxJumps  = 8
	maxPasses = 64
)

var soundJumps = map[string]JumpKind{
	"dacapo": DaCapo, "dalsegno": DalSegno, "tocoda": ToCoda, "fine": Fine,
	"segno": Segno, "coda": Coda, "forward-repeat": ForwardRepeat,
}

// parseTempo reads quarters a minute in thousandths, to the nearest.
func parseTempo(s string) (int64, bool) {
	if _, ok := parseDecimal(strings.TrimSpace(s)); !ok {
		return 0, false
	}
	f, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	return int64(f*1000 + 0.5), err == nil && f >= 0 && f <= 1e6
}

// passes reads "1, 2": numbers from 1, with commas or spaces between; nil where
// there are none.
func passes(s string) []int {
	var out []int
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' }) {
		n, err := strconv.Atoi(strings.TrimSuffix(word, "."))
		if err != nil || n < 1 || len(out) >= maxPasses {
			return nil
		}
		out = append(out, n)
	}
	return out
}
