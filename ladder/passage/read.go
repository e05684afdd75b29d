package passage

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
)

// Read reads a score in MusicXML up to 4.0, partwise or timewise, in UTF-8,
// UTF-16, ISO-8859-1 or Windows-1252. It reads as a stream, stops when ctx does,
// and takes nothing beyond the limits.
//
// What is odd but can be read comes back as remarks. An error is one sentence that
// says where: "bar 12 of Clarinet: duration "x" is not a plain number of 0 or
// more". Several may read at once.
func Read(ctx context.Context, from io.Reader, limits Limits) (*Score, []Remark, error) {
	r := newReader(ctx, from, limits)
	if err := r.document(); err != nil {
		if errors.Is(err, errTooLarge) {
			err = fmt.Errorf("%w; at most %d MiB of MusicXML are read", err, r.limits.Bytes>>20)
		}
		return nil, r.remarks.all(), err
	}
	return r.score, r.remarks.all(), nil
}

// reader reads one document.
type reader struct {
	*scanner
	limits   Limits
	remarks  remarks
	score    *Score
	listed   []Part // as the part-list has them
	parts    []*partReader
	read     int  // notes so far, in all parts
	bars     int  // so far, in all parts
	signs    int  // marks, directions, changes, tempos so far, in all parts
	concert  bool // written at sounding pitch, but for octaves
	texts    map[string]string
	measures []string // the numbers of a timewise score's measures
}

func newReader(ctx context.Context, from io.Reader, limits Limits) *reader {
	limits = limits.Or(DefaultLimits)
	g := &gauge{ctx: ctx, from: from, left: limits.Bytes}
	dec := xml.NewDecoder(decoded(g))
	dec.CharsetReader = charset
	return &reader{
		scanner: &scanner{dec: dec, gauge: g, most: limits.Depth},
		limits:  limits,
		score:   &Score{Version: "1.0"},
		texts:   map[string]string{},
	}
}

func (r *reader) document() error {
	root, err := r.root()
	if err != nil {
		return err
	}
	if v := attr(root, "version"); v != "" {
		r.score.Version = v
	}
	read := r.partwise
	switch root.Name.Local {
	case "score-partwise":
	case "score-timewise":
		read = r.timewise
	case "opus":
		return errors.New("this is an opus, a list of scores; open one of the scores that it names")
	default:
		return fmt.Errorf("this is no score: its outermost element is %.40q, not score-partwise or score-timewise", root.Name.Local)
	}
	if err := r.children(func(e xml.StartElement) error { return r.top(e, read) }); err != nil {
		return err
	}
	if err := r.rest(); err != nil {
		return err
	}
	return r.finish()
}

// root is the document's outermost element.
func (r *reader) root() (xml.StartElement, error) {
	for {
		r.gauge.token = 0
		t, err := r.dec.Token()
		if err == io.EOF && r.gauge.err == nil {
			return xml.StartElement{}, errors.New("the file is empty, or has no XML in it")
		}
		if err != nil {
			return xml.StartElement{}, r.fault(err)
		}
		if e, ok := t.(xml.StartElement); ok {
			r.depth++
			return e, nil
		}
	}
}

// rest reads what stands behind the score, which must be nothing but space,
// comments and the like.
func (r *reader) rest() error {
	for {
		r.gauge.token = 0
		t, err := r.dec.Token()
		if err == io.EOF && r.gauge.err == nil {
			return nil
		}
		if err != nil {
			return r.fault(err)
		}
		if e, ok := t.(xml.StartElement); ok {
			return r.at("the element %.40q stands behind the score's end", e.Name.Local)
		}
	}
}

// top reads an element right below the root.
func (r *reader) top(e xml.StartElement, music func(xml.StartElement) error) error {
	switch e.Name.Local {
	case "work":
		return r.children(func(e xml.StartElement) error {
			if e.Name.Local != "work-title" {
				return r.skip()
			}
			return r.title()
		})
	case "movement-title":
		return r.title()
	case "defaults":
		return r.children(func(e xml.StartElement) error {
			r.concert = r.concert || e.Name.Local == "concert-score"
			return r.skip()
		})
	case "part-list":
		return r.children(r.partListed)
	case "part", "measure":
		return music(e)
	}
	return r.skip()
}

// title takes the first title that says anything.
func (r *reader) title() error {
	text, err := r.text()
	if r.score.Title == "" {
		r.score.Title = text
	}
	return err
}

// partListed reads one element of the part-list.
func (r *reader) partListed(e xml.StartElement) error {
	if e.Name.Local != "score-part" {
		return r.skip()
	}
	if len(r.listed) >= r.limits.Parts {
		return r.at("the score has too many parts; at most %d are read", r.limits.Parts)
	}
	p := Part{ID: attr(e, "id")}
	err := r.children(func(e xml.StartElement) error {
		if e.Name.Local != "part-name" {
			return r.skip()
		}
		var err error
		p.Name, err = r.text()
		return err
	})
	r.listed = append(r.listed, p)
	return err
}

// partwise reads a part with its measures.
func (r *reader) partwise(e xml.StartElement) error {
	if e.Name.Local != "part" {
		return r.skip()
	}
	p, err := r.newPart(attr(e, "id"))
	if err != nil {
		return err
	}
	return r.children(func(e xml.StartElement) error {
		if e.Name.Local != "measure" {
			return r.skip()
		}
		return p.measure(e)
	})
}

// timewise reads a measure with its parts.
func (r *reader) timewise(measure xml.StartElement) error {
	if measure.Name.Local != "measure" {
		return r.skip()
	}
	measure = measure.Copy()
	bar, nth := len(r.measures), 0
	if bar >= r.limits.Bars {
		return r.at("there are too many bars; at most %d are read", r.limits.Bars)
	}
	r.measures = append(r.measures, attr(measure, "number"))
	return r.children(func(e xml.StartElement) error {
		if e.Name.Local != "part" {
			return r.skip()
		}
		p, err := r.partOf(attr(e, "id"), nth)
		if err != nil {
			return err
		}
		nth++
		if len(p.part.Bars) > bar {
			return fmt.Errorf("bar %s has %s twice", oneLine(attr(measure, "number")), p.name())
		}
		for i := len(p.part.Bars); i < bar; i++ {
			if err := p.addBar(Bar{Index: i, Number: r.measures[i], Meter: p.meter}); err != nil {
				return err
			}
		}
		return p.measure(measure)
	})
}

// newPart begins a part. One without an id is the one that the part-list has in
// its place; one that is not listed is still read.
func (r *reader) newPart(id string) (*partReader, error) {
	if len(r.parts) >= r.limits.Parts {
		return nil, r.at("the score has too many parts; at most %d are read", r.limits.Parts)
	}
	p := Part{ID: id, Staves: 1}
	if n := len(r.parts); id == "" && n < len(r.listed) {
		p.ID = r.listed[n].ID
	}
	for _, l := range r.listed {
		if l.ID == p.ID {
			p.Name = l.Name
		}
	}
	pr := &partReader{reader: r, part: &p}
	r.parts = append(r.parts, pr)
	return pr, nil
}

// partOf is the part with that id, or, without one, the nth of a measure. A part
// that comes in late has had empty measures before.
func (r *reader) partOf(id string, nth int) (*partReader, error) {
	for i, p := range r.parts {
		if p.part.ID == id || id == "" && i == nth {
			return p, nil
		}
	}
	return r.newPart(id)
}
