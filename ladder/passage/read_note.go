package passage

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"footing/audio/click"
)

// noteReader is a note being read.
type noteReader struct {
	Note
	timed, chord, kind bool // a duration, a chord, a pitch or rest has been said
	tie, tied          [2]bool
}

// note reads one note or rest.
func (p *partReader) note(e xml.StartElement) error {
	if p.read++; p.read > p.limits.Notes {
		return fmt.Errorf("the score has too many notes; at most %d are read", p.limits.Notes)
	}
	n := noteReader{Note: Note{Bar: p.bar.Index, Voice: "1", Kind: Unpitched, Hidden: attr(e, "print-object") == "no"}}
	if err := p.children(func(e xml.StartElement) error { return p.noteChild(&n, e) }); err != nil {
		return err
	}
	if !p.begun {
		p.begun, p.bar.Meter = true, p.meter
	}
	return p.place(n)
}

// noteChild reads one element of a note.
func (p *partReader) noteChild(n *noteReader, e xml.StartElement) (err error) {
	switch e.Name.Local {
	case "pitch":
		n.Kind, n.kind = Pitched, true
		n.Pitch, err = p.pitch()
		return err
	case "rest":
		n.Kind, n.kind = Rest, true
		n.WholeBar = attr(e, "measure") == "yes"
	case "unpitched":
		n.Kind, n.kind = Unpitched, true
	case "chord":
		n.chord = true
	case "cue":
		n.Cue = true
	case "grace":
		n.Grace = PlainGrace
		if attr(e, "slash") == "yes" {
			n.Grace = SlashedGrace
		}
	case "duration":
		n.timed = true
		n.Duration, err = p.duration()
		return err
	case "voice":
		text, err := p.text()
		if text != "" {
			n.Voice = p.known(text)
		}
		return err
	case "staff":
		n.Staff, err = p.number("staff", 1, 100)
		return err
	case "type":
		text, err := p.text()
		v, ok := ParseValue(text)
		if n.Value = v; err == nil && !ok {
			p.remark("the note value %s is not known", quoted(text))
		}
		return err
	case "dot":
		n.Dots++
	case "accidental":
		n.Bracketed = attr(e, "parentheses") == "yes" || attr(e, "bracket") == "yes"
		text, err := p.text()
		n.Accidental = p.known(text)
		return err
	case "time-modification":
		n.Tuplet, err = p.timeModification()
		return err
	case "tie":
		tie(&n.tie, e)
	case "notations":
		return p.children(func(e xml.StartElement) error { return p.notation(n, e) })
	}
	return p.skip()
}

// tie notes an end of a tie.
func tie(ends *[2]bool, e xml.StartElement) {
	switch attr(e, "type") {
	case "start":
		ends[0] = true
	case "stop":
		ends[1] = true
	}
}

// printed are the accidentals that leave no doubt of what they mean.
var printed = map[string]Alter{
	"sharp": Sharp, "flat": Flat, "natural": Natural, "double-sharp": DoubleSharp, "sharp-sharp": DoubleSharp, "flat-flat": DoubleFlat,
	"natural-sharp": Sharp, "natural-flat": Flat, "quarter-flat": -50, "quarter-sharp": 50, "three-quarters-flat": -150, "three-quarters-sharp": 150,
}

// place gives a note that has been read its place, and moves on behind it.
func (p *partReader) place(r noteReader) error {
	n := r.Note
	if !r.kind {
		p.remark("a note has neither pitch nor rest; its time is kept")
	}
	if a, ok := printed[n.Accidental]; ok && n.Kind == Pitched && a != n.Pitch.Alter {
		p.remark("the accidental of %s says %s; what is altered in the pitch sounds", n.Pitch, n.Accidental)
	}
	ends := r.tie
	if ends == ([2]bool{}) {
		ends = r.tied
	}
	n.TieTo, n.TieFrom = ends[0], ends[1]
	if n.Kind == Pitched {
		n.Sounds = n.Pitch.Up(p.transpose.Interval())
	}
	if err := p.length(&n, r.timed); err != nil {
		return err
	}
	n.At = p.cursor
	if r.chord {
		if n.Chord = p.chordable; n.Chord {
			n.At = p.last
		} else {
			p.remark("a chord's note has no note before it in its bar; it is taken as a note of its own")
		}
	}
	end, err := p.plus(n.At, n.Duration)
	if err != nil {
		return err
	}
	p.reach = longer(p.reach, end)
	if !n.Chord {
		p.last, p.cursor, p.chordable = n.At, end, true
	}
	p.keep(n)
	return nil
}

// length gives a note its duration where it has none, or the wrong one.
func (p *partReader) length(n *Note, timed bool) error {
	written, held := n.Value.Length(n.Dots), true
	if n.Tuplet.Actual > 0 {
		written, held = ratio(written.Times(int64(n.Tuplet.Normal)), click.Whole(n.Tuplet.Actual))
	}
	full := p.meter.Length()
	switch {
	case n.Grace != NoGrace:
		n.Duration = Quarters{}
	case !timed && (n.Value == NoValue || !held):
		return fmt.Errorf("a note has no duration")
	case !timed:
		p.remark("a note has no duration; the written %s is taken", n.Value)
		n.Duration = written
	case n.WholeBar:
		if full.Sign() > 0 && full.Less(n.Duration) {
			p.remark("a whole-bar rest lasts %s quarters where the bar has %s; the bar's length is taken", n.Duration, full)
			n.Duration = full
		}
	case n.Value != NoValue && written != n.Duration && !n.Cue:
		p.remark("the duration of %s quarters is not that of the written note, %s", n.Duration, written)
	}
	return nil
}

// pitch reads a written pitch.
func (p *partReader) pitch() (Pitch, error) {
	var out Pitch
	var step, octave bool
	err := p.children(func(e xml.StartElement) error {
		name := e.Name.Local
		if name != "step" && name != "octave" && name != "alter" {
			return p.skip()
		}
		text, err := p.text()
		if err != nil {
			return err
		}
		switch name {
		case "step":
			if out.Letter, step = ParseLetter(text); !step {
				return fmt.Errorf("step %s is not a letter from A to G", quoted(text))
			}
		case "octave":
			n, err := strconv.Atoi(text)
			if octave = err == nil && n >= 0 && n <= 9; !octave {
				return fmt.Errorf("octave %s is not a number from 0 to 9", quoted(text))
			}
			out.Octave = int8(n)
		case "alter":
			var ok bool
			if out.Alter, ok = parseAlter(text); !ok {
				return fmt.Errorf("alter %s is not a number of semitones from -3 to 3", quoted(text))
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return out, err
	case !step:
		return out, fmt.Errorf("a pitch has no step")
	case !octave:
		return out, fmt.Errorf("a pitch has no octave")
	}
	return out, nil
}

// maxTuplet bounds both numbers of a time-modification, in which nested tuplets
// are multiplied out.
const maxTuplet = 64 * 64

// timeModification reads how many notes stand in the time of how many.
func (p *partReader) timeModification() (Ratio, error) {
	var r Ratio
	err := p.children(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "actual-notes":
			r.Actual, err = p.number("time-modification: actual-notes", 1, maxTuplet)
			return err
		case "normal-notes":
			r.Normal, err = p.number("time-modification: normal-notes", 1, maxTuplet)
			return err
		}
		return p.skip()
	})
	if err == nil && (r.Actual == 0 || r.Normal == 0) {
		err = fmt.Errorf("a time-modification lacks actual-notes or normal-notes")
	}
	return r, err
}

// notation reads one element of notations.
func (p *partReader) notation(n *noteReader, e xml.StartElement) error {
	switch e.Name.Local {
	case "tied":
		tie(&n.tied, e)
	case "tuplet":
		return p.tuplet(n, e)
	case "articulations", "technical", "ornaments":
		return p.children(func(e xml.StartElement) error { return p.mark(n, e) })
	case "dynamics":
		return p.children(func(e xml.StartElement) error {
			p.count()
			n.Marks = append(n.Marks, Mark{Name: "dynamics", Text: p.known(e.Name.Local)})
			return p.skip()
		})
	case "footnote", "level":
	default:
		return p.mark(n, e)
	}
	return p.skip()
}

// tuplet reads where a tuplet begins or ends on a note.
func (p *partReader) tuplet(n *noteReader, e xml.StartElement) error {
	edge := edges[attr(e, "type")]
	if edge == Start || edge == Stop {
		m := TupletMark{Edge: edge, Number: markNumber(e), Bracket: p.known(attr(e, "bracket")), Show: p.known(attr(e, "show-number"))}
		p.count()
		n.TupletMarks = append(n.TupletMarks, m)
	}
	return p.skip()
}

var edges = map[string]Edge{"start": Start, "stop": Stop, "continue": Continue}

// markNumber pairs a start with its stop, 1 where the file does not say.
func markNumber(e xml.StartElement) int {
	if n, err := strconv.Atoi(attr(e, "number")); err == nil && n > 0 && n < 1000 {
		return n
	}
	return 1
}

// mark reads a sign on a note.
func (p *partReader) mark(n *noteReader, e xml.StartElement) error {
	m := Mark{Name: p.known(e.Name.Local), Edge: edges[attr(e, "type")]}
	if m.Edge != NoEdge {
		m.Number = markNumber(e)
	}
	text, err := p.text()
	m.Text = p.known(text)
	p.count()
	n.Marks = append(n.Marks, m)
	return err
}

// number reads an element's text as a whole number from least to most.
func (p *partReader) number(what string, least, most int) (int, error) {
	text, err := p.text()
	if err != nil {
		return 0, err
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		return 0, fmt.Errorf("%s %s is not a whole number from %d to %d", what, quoted(text), least, most)
	}
	return n, nil
}

// known is the same text as was read before, where it was: names of voices, marks
// and signs come again and again.
func (r *reader) known(s string) string {
	if old, ok := r.texts[s]; ok {
		return old
	}
	const most = 1000 // a score of music has fewer
	if len(r.texts) < most {
		s = strings.Clone(s)
		r.texts[s] = s
	}
	return s
}
