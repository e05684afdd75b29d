// Package listing is a score as a program may want to read it: plain values with
// names for JSON. Times are exact fractions of a quarter as text, such as "3/2",
// from the start of the piece or of the bar, in written order.
package listing

import (
	"strconv"

	"footing/ladder/passage"
)

// Listing is a whole score.
type Listing struct {
	File      string   `json:"file,omitempty"`
	Rootfile  string   `json:"rootfile,omitempty"` // in an archive
	Version   string   `json:"musicxml_version"`
	Title     string   `json:"title"`
	Parts     []Part   `json:"parts"`
	Playback  Playback `json:"playback"`
	Anomalies []string `json:"anomalies"`
}

// Part is one part.
type Part struct {
	ID         string             `json:"id"`
	Name       string             `json:"name"`
	Staves     int                `json:"staves"`
	Bars       []Bar              `json:"bars"`
	Attributes []Attribute        `json:"attributes"`
	Directions []Direction        `json:"directions"`
	Tempos     []Tempo            `json:"tempos"`
	Voices     map[string][]Note  `json:"voices"`
	Sounding   map[string][]Sound `json:"sounding"`
}

// Bar is one bar. Nominal is nil where no meter gives a length.
type Bar struct {
	Index        int     `json:"index"`
	Number       string  `json:"number"`
	Implicit     bool    `json:"implicit"`
	Time         *string `json:"time"`
	Start        string  `json:"start"`
	Length       string  `json:"length"`
	Nominal      *string `json:"nominal"`
	BeginsAtBeat string  `json:"begins_at_beat"`
}

// Attribute is one change of what is in force.
type Attribute struct {
	Bar          int        `json:"bar"`
	At           string     `json:"at"`
	Time         string     `json:"time,omitempty"`
	Symbol       string     `json:"symbol,omitempty"`
	Fifths       *int       `json:"fifths,omitempty"`
	Mode         string     `json:"mode,omitempty"`
	Key          [][2]any   `json:"key,omitempty"` // letter and semitones
	Clef         string     `json:"clef,omitempty"`
	Octave       int        `json:"octave,omitempty"` // of the clef
	Transpose    *Transpose `json:"transpose,omitempty"`
	MultipleRest int        `json:"multiple_rest,omitempty"`
	Staff        int        `json:"staff,omitempty"`
}

// Transpose is the way from what is written to what sounds.
type Transpose struct {
	Diatonic  int `json:"diatonic"`
	Chromatic int `json:"chromatic"`
	Octave    int `json:"octave"`
}

// Direction is a text or sign above or below the staff.
type Direction struct {
	Bar         int    `json:"bar"`
	At          string `json:"at"`
	Words       string `json:"words,omitempty"`
	Rehearsal   string `json:"rehearsal,omitempty"`
	Dynamics    string `json:"dynamics,omitempty"`
	Wedge       string `json:"wedge,omitempty"`
	Segno       bool   `json:"segno,omitempty"`
	Coda        bool   `json:"coda,omitempty"`
	Metronome   string `json:"metronome,omitempty"`
	Dots        *int   `json:"dots,omitempty"`
	OctaveShift string `json:"octave_shift,omitempty"`
	Size        int    `json:"size,omitempty"`
	Barline     string `json:"barline,omitempty"`
}

// Tempo is a tempo in quarters a minute.
type Tempo struct {
	Bar             int     `json:"bar"`
	At              string  `json:"at"`
	QuartersAMinute float64 `json:"quarters_a_minute"`
}

// Note is one note or rest as written.
type Note struct {
	Onset       string   `json:"onset"`
	Duration    string   `json:"duration"`
	Bar         int      `json:"bar"`
	Number      string   `json:"number"`
	At          string   `json:"at"`
	Beat        string   `json:"beat"`
	MIDI        *float64 `json:"midi,omitempty"`
	Pitch       string   `json:"pitch,omitempty"`
	Sounds      *float64 `json:"sounds,omitempty"` // where the part transposes
	Rest        bool     `json:"rest,omitempty"`
	WholeBar    bool     `json:"whole_bar,omitempty"`
	Unpitched   bool     `json:"unpitched,omitempty"`
	Chord       bool     `json:"chord,omitempty"`
	Grace       string   `json:"grace,omitempty"`
	Cue         bool     `json:"cue,omitempty"`
	Tie         string   `json:"tie,omitempty"`
	Accidental  string   `json:"accidental,omitempty"`
	Type        string   `json:"type,omitempty"`
	Dots        int      `json:"dots,omitempty"`
	Tuplet      string   `json:"tuplet,omitempty"`
	TupletMarks []string `json:"tuplet_marks,omitempty"`
	Staff       int      `json:"staff,omitempty"`
	Marks       []string `json:"marks,omitempty"`
}

// Sound is a note as heard: onset, duration and written MIDI pitch.
type Sound [3]any

// Playback is the bars as they are played.
type Playback struct {
	Bars     []int    `json:"bars"`
	Numbers  []string `json:"numbers"`
	Quarters string   `json:"quarters"`
	Certain  bool     `json:"certain"`
	Why      string   `json:"why,omitempty"` // it is not certain
}

// Of lists a score that was read from a file of that name.
func Of(file string, s *passage.Score, remarks []passage.Remark) Listing {
	out := Listing{
		File: file, Rootfile: s.Source, Version: s.Version, Title: s.Title,
		Parts: []Part{}, Playback: playback(s), Anomalies: []string{},
	}
	for i := range s.Parts {
		out.Parts = append(out.Parts, OfPart(&s.Parts[i]))
	}
	for _, r := range remarks {
		out.Anomalies = append(out.Anomalies, r.String())
	}
	return out
}

func playback(s *passage.Score) Playback {
	out := Playback{Bars: s.Order, Numbers: []string{}, Certain: s.Unsure == "", Why: s.Unsure}
	var sum passage.Quarters
	for _, i := range s.Order {
		b := bar(s, i)
		out.Numbers = append(out.Numbers, b.Number)
		sum = sum.Add(b.Length)
	}
	out.Quarters = sum.String()
	return out
}

// bar is the bar with that index, of the first part that has it.
func bar(s *passage.Score, i int) passage.Bar {
	for p := range s.Parts {
		if bars := s.Parts[p].Bars; i < len(bars) {
			return bars[i]
		}
	}
	return passage.Bar{}
}

// OfPart lists one part.
func OfPart(p *passage.Part) Part {
	out := Part{
		ID: p.ID, Name: p.Name, Staves: p.Staves,
		Bars: []Bar{}, Attributes: []Attribute{}, Directions: []Direction{}, Tempos: []Tempo{},
		Voices: map[string][]Note{}, Sounding: map[string][]Sound{},
	}
	for _, b := range p.Bars {
		out.Bars = append(out.Bars, ofBar(b))
	}
	for _, c := range p.Changes {
		out.Attributes = append(out.Attributes, ofChange(c))
	}
	for _, d := range p.Directions {
		out.Directions = append(out.Directions, ofDirection(d))
	}
	for _, t := range p.Tempos {
		out.Tempos = append(out.Tempos, Tempo{t.Bar, t.At.String(), float64(t.MilliQuarters) / 1000})
	}
	voices := map[string][]passage.Note{}
	for _, n := range p.Notes {
		voices[n.Voice] = append(voices[n.Voice], n)
		out.Voices[n.Voice] = append(out.Voices[n.Voice], ofNote(p, n))
	}
	for voice, notes := range voices {
		out.Sounding[voice] = []Sound{}
		for _, s := range p.Sounding(notes) {
			out.Sounding[voice] = append(out.Sounding[voice], Sound{s.Onset.String(), s.Duration.String(), s.Pitch.MIDI()})
		}
	}
	return out
}

func ofBar(b passage.Bar) Bar {
	out := Bar{
		Index: b.Index, Number: b.Number, Implicit: b.Implicit,
		Start: b.Start.String(), Length: b.Length.String(), BeginsAtBeat: b.Beat(passage.Quarters{}).String(),
	}
	if b.Meter.Known() {
		time := b.Meter.String()
		out.Time = &time
	}
	if full := b.Meter.Length(); full.Sign() > 0 {
		nominal := full.String()
		out.Nominal = &nominal
	}
	return out
}

func ofChange(c passage.Change) Attribute {
	out := Attribute{Bar: c.Bar, At: c.At.String(), Staff: c.Staff}
	switch {
	case c.Meter != nil:
		out.Time, out.Symbol = c.Meter.String(), c.Meter.Symbol
	case c.Key != nil && len(c.Key.Signs) > 0:
		for _, s := range c.Key.Signs {
			out.Key = append(out.Key, [2]any{s.Letter.String(), float64(s.Alter) / 100})
		}
		out.Mode = c.Key.Mode
	case c.Key != nil:
		out.Fifths, out.Mode = &c.Key.Fifths, c.Key.Mode
	case c.Clef != nil:
		out.Clef, out.Octave = c.Clef.String(), c.Clef.Octave
	case c.Transpose != nil:
		out.Transpose = &Transpose{c.Transpose.Diatonic, c.Transpose.Chromatic, c.Transpose.Octave}
	case c.Rests != nil:
		out.MultipleRest = *c.Rests
	}
	return out
}

func ofDirection(d passage.Direction) Direction {
	out := Direction{Bar: d.Bar, At: d.At.String()}
	switch d.Kind {
	case passage.Words:
		out.Words = d.Text
	case passage.Rehearsal:
		out.Rehearsal = d.Text
	case passage.Dynamics:
		out.Dynamics = d.Text
	case passage.Wedge:
		out.Wedge = d.Text
	case passage.SegnoSign:
		out.Segno = true
	case passage.CodaSign:
		out.Coda = true
	case passage.Metronome:
		out.Metronome, out.Dots = d.Text, &d.Dots
	case passage.OctaveShift:
		out.OctaveShift, out.Size = d.Text, d.Size
	case passage.InnerBarline:
		out.Barline = d.Text
	}
	return out
}

func ofNote(p *passage.Part, n passage.Note) Note {
	b := p.Bars[n.Bar]
	out := Note{
		Onset: p.Onset(n).String(), Duration: n.Duration.String(),
		Bar: n.Bar, Number: b.Number, At: n.At.String(), Beat: b.Beat(n.At).String(),
		Rest: n.Kind == passage.Rest, WholeBar: n.WholeBar, Unpitched: n.Kind == passage.Unpitched,
		Chord: n.Chord, Cue: n.Cue, Grace: [...]string{"", "plain", "slash"}[n.Grace],
		Accidental: n.Accidental, Type: n.Value.String(), Dots: n.Dots, Staff: n.Staff,
	}
	if n.Kind == passage.Pitched {
		midi := n.Pitch.MIDI()
		out.MIDI, out.Pitch = &midi, n.Pitch.String()
		if n.Sounds != n.Pitch {
			sounds := n.Sounds.MIDI()
			out.Sounds = &sounds
		}
	}
	switch {
	case n.TieTo && n.TieFrom:
		out.Tie = "both"
	case n.TieTo:
		out.Tie = "start"
	case n.TieFrom:
		out.Tie = "stop"
	}
	if n.Tuplet.Actual > 0 {
		out.Tuplet = strconv.Itoa(n.Tuplet.Actual) + ":" + strconv.Itoa(n.Tuplet.Normal)
	}
	for _, m := range n.TupletMarks {
		out.TupletMarks = append(out.TupletMarks, m.Edge.String()+":"+strconv.Itoa(m.Number))
	}
	for _, m := range n.Marks {
		out.Marks = append(out.Marks, ofMark(m))
	}
	return out
}

// worded are the marks whose text is what they mean; with others it says how they
// look.
var worded = map[string]bool{
	"fingering": true, "fret": true, "string": true, "pluck": true, "tremolo": true, "dynamics": true,
	"other-technical": true, "other-articulation": true, "other-ornament": true, "other-notation": true,
}

// ofMark writes "staccato", "fingering=2" or "slur:start:1".
func ofMark(m passage.Mark) string {
	out := m.Name
	if worded[m.Name] && m.Text != "" {
		out += "=" + m.Text
	}
	if m.Edge != passage.NoEdge {
		out += ":" + m.Edge.String() + ":" + strconv.Itoa(m.Number)
	}
	return out
}
