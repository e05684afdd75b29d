// Package sample makes lines of notes from short texts, for the tests of drawing
// them. The music is invented.
package sample

import (
	"fmt"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder/passage"
)

// The clefs.
var (
	Treble = passage.Clef{Sign: "G", Line: 2}
	Bass   = passage.Clef{Sign: "F", Line: 4}
	Alto   = passage.Clef{Sign: "C", Line: 3}
	Tenor  = passage.Clef{Sign: "C", Line: 4}
)

// Line is a line of bars in a clef, key and meter. Words of a bar are notes, such
// as
//
//	C4:16     pitch as [passage.ParsePitch] reads it, and note value
//	r:4.      a rest, dotted;  R a rest that fills its bar
//	+E4:16    a chord's note more
//	gD5:8     a grace note;  gsD5:8 a slashed one
//	C4:8t3:2  in a tuplet of 3 in the time of 2
//
// each with signs behind it: ~ a tie begins, ( and ) a slur, ' staccato, _ tenuto,
// > accent, ^ marcato, , breath, f fermata, T trill, 1 to 5 in braces a fingering.
// Words |: and :| are repeats, || and |] bar lines. The error names the word.
func Line(clef passage.Clef, fifths int, meter string, bars ...string) (passage.Line, error) {
	m, err := parseMeter(meter)
	if err != nil {
		return passage.Line{}, err
	}
	p := passage.Part{ID: "P1", Name: "Bassoon", Staves: 1}
	key := passage.Key{Fifths: fifths}
	p.Changes = []passage.Change{{Clef: &clef}, {Key: &key}, {Meter: &m}}
	tied := map[int]bool{}
	for i, text := range bars {
		bar := passage.Bar{Number: strconv.Itoa(i + 1), Meter: m}
		var at passage.Quarters
		for _, word := range strings.Fields(text) {
			if barline(&bar, word) {
				continue
			}
			n, err := note(word)
			if err != nil {
				return passage.Line{}, fmt.Errorf("bar %d: %w", i+1, err)
			}
			n.Bar, n.At, n.Voice = i, at, "1"
			switch {
			case n.WholeBar:
				n.Duration = m.Length()
			case n.Chord:
				n.At = p.Notes[len(p.Notes)-1].At
			}
			if n.Kind == passage.Pitched && n.Grace == passage.NoGrace {
				n.TieFrom = tied[n.Pitch.Cents()]
				tied[n.Pitch.Cents()] = n.TieTo
			}
			if !n.Chord {
				at = at.Add(n.Duration)
			}
			p.Notes = append(p.Notes, n)
		}
		bar.Length = at
		if i == 0 && at.Less(m.Length()) {
			bar.Implicit = true
		}
		p.Bars = append(p.Bars, bar)
	}
	s := passage.Score{Parts: []passage.Part{p}}
	if err := s.Settle(); err != nil {
		return passage.Line{}, err
	}
	return s.Parts[0].Lines()[0], nil
}

func barline(b *passage.Bar, word string) bool {
	switch word {
	case "|:":
		b.Left = passage.Barline{Style: "heavy-light", Repeat: passage.Start}
	case ":|":
		b.Right = passage.Barline{Style: "light-heavy", Repeat: passage.Stop, Times: 2}
	case "||":
		b.Right.Style = "light-light"
	case "|]":
		b.Right.Style = "light-heavy"
	default:
		return false
	}
	return true
}

func parseMeter(s string) (passage.Meter, error) {
	if s == "C" {
		return passage.Meter{Terms: []passage.MeterTerm{{Above: []int{4}, Below: 4}}, Symbol: "common"}, nil
	}
	c, err := click.ParseMeter(s)
	return passage.Meter{Terms: []passage.MeterTerm{{Above: c.Groups(), Below: c.Below()}}}, err
}

var values = map[string]passage.Value{"1": passage.Whole, "2": passage.Half, "4": passage.Quarter, "8": passage.Eighth,
	"16": passage.Sixteenth, "32": passage.ThirtySecond, "64": passage.SixtyFourth}

var marks = map[byte]passage.Mark{
	'(': {Name: passage.MarkSlur, Edge: passage.Start, Number: 1}, ')': {Name: passage.MarkSlur, Edge: passage.Stop, Number: 1},
	'\'': {Name: passage.MarkStaccato}, '_': {Name: passage.MarkTenuto}, '>': {Name: passage.MarkAccent}, '^': {Name: passage.MarkMarcato},
	',': {Name: passage.MarkBreath}, 'f': {Name: passage.MarkFermata}, 'T': {Name: passage.MarkTrill},
}

func note(word string) (passage.Note, error) {
	var n passage.Note
	bad := func(what string) (passage.Note, error) { return n, fmt.Errorf("%q: %s", word, what) }
	if word == "R" {
		return passage.Note{Kind: passage.Rest, WholeBar: true}, nil
	}
	name, rest, ok := strings.Cut(word, ":")
	if !ok {
		return bad("no note value")
	}
	if after, ok := strings.CutPrefix(name, "+"); ok {
		name, n.Chord = after, true
	}
	if after, ok := strings.CutPrefix(name, "g"); ok {
		name, n.Grace = after, passage.PlainGrace
		if after, ok := strings.CutPrefix(name, "s"); ok {
			name, n.Grace = after, passage.SlashedGrace
		}
	}
	if name == "r" {
		n.Kind = passage.Rest
	} else {
		p, err := passage.ParsePitch(name)
		if err != nil {
			return n, err
		}
		n.Pitch, n.Sounds = p, p
	}
	i := strings.IndexFunc(rest, func(r rune) bool { return r < '0' || r > '9' })
	if i < 0 {
		i = len(rest)
	}
	if n.Value, ok = values[rest[:i]]; !ok {
		return bad("no such note value")
	}
	rest = rest[i:]
	for ; strings.HasPrefix(rest, "."); rest = rest[1:] {
		n.Dots++
	}
	if strings.HasPrefix(rest, "t") {
		var t passage.Ratio
		if _, err := fmt.Sscanf(rest, "t%d:%d", &t.Actual, &t.Normal); err != nil {
			return bad("not a tuplet")
		}
		n.Tuplet = t
		rest = strings.TrimPrefix(rest, fmt.Sprintf("t%d:%d", t.Actual, t.Normal))
	}
	if n.Grace == passage.NoGrace {
		n.Duration = n.Value.Length(n.Dots)
		if t := n.Tuplet; t.Normal > 0 {
			n.Duration = click.Frac(n.Duration.Num()*int64(t.Normal), n.Duration.Den()*int64(t.Actual))
		}
	}
	for ; rest != ""; rest = rest[1:] {
		m, known := marks[rest[0]]
		switch {
		case rest[0] == '~':
			n.TieTo = true
		case known:
			n.Marks = append(n.Marks, m)
		case len(rest) >= 3 && rest[0] == '{':
			n.Marks = append(n.Marks, passage.Mark{Name: passage.MarkFingering, Text: rest[1:2]})
			rest = rest[2:]
		default:
			return bad("no such sign")
		}
	}
	return n, nil
}

// Join is bars of so many words each.
func Join(words []string, each int) []string {
	var out []string
	for ; len(words) > 0; words = words[min(each, len(words)):] {
		out = append(out, strings.Join(words[:min(each, len(words))], " "))
	}
	return out
}
