package passage

import (
	"encoding/xml"
	"strconv"
)

// barline reads a line at the bar's start or end, or within it.
func (p *partReader) barline(e xml.StartElement) error {
	var style string
	at := &p.bar.Right
	switch attr(e, "location") {
	case "left":
		at = &p.bar.Left
	case "middle":
		at = &Barline{}
	}
	for _, a := range e.Attr {
		if kind := soundJumps[a.Name.Local]; (kind == Segno || kind == Coda) && len(p.bar.Jumps) < maxJumps {
			p.bar.Jumps = append(p.bar.Jumps, Jump{Kind: kind, Name: a.Value})
		}
	}
	err := p.children(func(e xml.StartElement) error {
		switch e.Name.Local {
		case "bar-style":
			text, err := p.text()
			style = p.known(text)
			return err
		case "repeat":
			p.repeat(at, e)
		case "ending":
			return p.ending(e)
		case "segno":
			p.say(SegnoSign, "")
		case "coda":
			p.say(CodaSign, "")
		}
		return p.skip()
	})
	if attr(e, "location") != "middle" {
		at.Style = style
	} else if style != "" {
		p.say(InnerBarline, style)
	}
	return err
}

// repeat reads a repeat that stands at a line.
func (p *partReader) repeat(at *Barline, e xml.StartElement) {
	switch attr(e, "direction") {
	case "forward":
		at.Repeat = Start
	case "backward":
		at.Repeat, at.Times = Stop, 2
		at.AfterJump = attr(e, "after-jump") == "yes"
		if text := attr(e, "times"); text != "" {
			n, err := strconv.Atoi(text)
			if err != nil || n < 0 {
				p.remark("a repeat's times %s is not a number; 2 is taken", quoted(text))
				n = 2
			}
			at.Times = n
		}
	}
}

// ending reads where an ending begins or stops, whichever line it stands at.
func (p *partReader) ending(e xml.StartElement) error {
	number := attr(e, "number")
	text, err := p.text()
	at := &p.bar.Right
	switch attr(e, "type") {
	case "start":
		at = &p.bar.Left
		at.Ending = Start
	case "stop":
		at.Ending = Stop
	case "discontinue":
		at.Ending = Continue
	default:
		return err
	}
	at.Endings, at.Text = passes(number), text
	return err
}
