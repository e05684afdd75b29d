package journal

import (
	"encoding/json"
	"time"
	"unicode/utf8"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
)

// Place is where a step stands: the file of its routine, and its name in there.
type Place struct {
	Routine string // the file's path
	Step    string
}

// place is a Place in JSON, which holds no byte that is not UTF-8; the name of a
// file may.
type place struct {
	Routine string `json:"routine"`
	Step    string `json:"step"`
	Raw     []byte `json:"raw,omitempty"` // the routine's path where JSON can't hold it
}

// MarshalJSON writes the place so that it is read as it is.
func (p Place) MarshalJSON() ([]byte, error) {
	out := place{Routine: p.Routine, Step: p.Step}
	if !utf8.ValidString(p.Routine) {
		out.Raw = []byte(p.Routine)
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON has written.
func (p *Place) UnmarshalJSON(data []byte) error {
	var in place
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	*p = Place{in.Routine, in.Step}
	if in.Raw != nil {
		p.Routine = string(in.Raw)
	}
	return nil
}

// Form is how a step was practised: the passage, the chunk of it, and what sounded
// to it. Its texts are the words of the routine file.
type Form struct {
	Piece   string      `json:"piece,omitempty"`
	From    int         `json:"from"` // bars, both included
	To      int         `json:"to"`
	Goal    click.Tempo `json:"goal"`
	Start   string      `json:"start"` // of the chunk, "18:2+1/2"
	Beats   string      `json:"beats"` // of the chunk, "3/2"
	Landing bool        `json:"landing,omitempty"`
	Angle   string      `json:"angle,omitempty"` // another way through the notes; empty for as written
	Slots   string      `json:"slots"`           // "4", "swing 2:1"
	Pulse   string      `json:"pulse"`
	Rule    string      `json:"rule"`
	Clean   int         `json:"clean"` // cleans in a row that make a footing, at least 1
	Loop    int         `json:"loop"`  // beats of a rep with its landing and breath
}

// FormOf is the form in which a step is practised, with the chunk and the angle that
// it has. The step must be valid.
func FormOf(s ladder.Step) Form {
	way := ""
	if s.Angle != (angle.Angle{}) {
		way = s.Angle.String()
	}
	c := s.Chunk
	return Form{
		Piece: s.Passage.Piece, From: s.Passage.From, To: s.Passage.To, Goal: s.Tempo.Goal,
		Start: click.FormatPlace(c.Bar, c.At), Beats: c.Length.String(), Landing: c.Landing, Angle: way,
		Slots: s.Slots.String(), Pulse: s.Pulse.String(),
		Rule: s.Rule.Kind.String(), Clean: s.Rule.Clean,
		Loop: s.Loop().RepBeats() + s.Breath,
	}
}

// Session is a time of practice without a long pause.
type Session struct {
	Key   int64     `json:"key"` // its own among all sessions ever
	Start time.Time `json:"start"`
}

// Pause is how long nothing is played before what is played next belongs to
// another session.
const Pause = 30 * time.Minute

// Rep is one rep as the journal keeps it. Session and Number name it: a rep that
// is kept again takes the place of the one before.
type Rep struct {
	Session Session        `json:"session"`
	Number  int            `json:"number"`
	At      time.Time      `json:"at"` // when it had been heard to its end
	Place   Place          `json:"place"`
	Form    Form           `json:"form"`
	Tempo   click.Tempo    `json:"tempo"`
	Rung    int            `json:"rung"` // on the step's ladder from 0, −1 for a tempo off it
	Verdict ladder.Verdict `json:"verdict"`
	Source  ladder.Source  `json:"source"`
	Sure    float64        `json:"sure,omitempty"` // of the ears, 0 to 1
	Whole   bool           `json:"whole"`          // played to its end
}

// Played is the rep p of a step, which must be valid, as the journal keeps it.
func Played(p ladder.Played, step ladder.Step, routine string, in Session, at time.Time) Rep {
	step.Chunk, step.Angle = p.Chunk, p.Angle
	r := Rep{
		Session: in, Number: p.Number, At: at, Place: Place{routine, p.Name}, Form: FormOf(step),
		Tempo: p.Tempo, Rung: -1, Verdict: p.Verdict, Source: p.Source, Sure: p.Certainty, Whole: p.Whole,
	}
	for i, t := range step.Tempo.Rungs() {
		if t == p.Tempo {
			r.Rung = i
		}
	}
	return r
}

// Looped is how long the rep took, with its breath.
func (r Rep) Looped() time.Duration { return looped(r.Form.Loop, r.Tempo) }

func looped(beats int, t click.Tempo) time.Duration {
	return time.Duration(beats) * 60_000 * time.Second / time.Duration(max(t, 1))
}

// Met says what a step is of: whoever opens a routine meets its steps.
type Met struct {
	Place Place       `json:"place"`
	Piece string      `json:"piece,omitempty"`
	From  int         `json:"from"`
	To    int         `json:"to"`
	Goal  click.Tempo `json:"goal"`
}

// Same says that the history of one place is that of another too.
type Same struct {
	Place Place `json:"place"`
	As    Place `json:"as"`
	// Moved is set where the old place is no more: the step was renamed.
	Moved bool `json:"moved,omitempty"`
}

// Fresh says that a place has nothing to do any more with the history it had.
type Fresh struct {
	Place Place `json:"place"`
}

// Left is where the player stood on a step when it was last left.
type Left struct {
	Place Place           `json:"place"`
	At    time.Time       `json:"at"`
	Stood ladder.Bookmark `json:"stood"`
}

// Mark is a pencil mark: what was written on a step at a time.
type Mark struct {
	Place Place     `json:"place"`
	At    time.Time `json:"at"`
	On    string    `json:"on,omitempty"` // the note, "18:3+1/4"; empty for the step as a whole
	Text  string    `json:"text"`         // empty where the mark was taken away
}

// Kept is what was remembered of a step before there was a journal: the fastest
// clean rung of a day.
type Kept struct {
	Place Place       `json:"place"`
	Day   Day         `json:"day"`
	Best  click.Tempo `json:"best"`
}

// Entry is one thing to be kept; one of its fields is set.
type Entry struct {
	Rep   *Rep   `json:"rep,omitempty"`
	Gone  *Rep   `json:"gone,omitempty"` // a rep that was kept and is none after all
	Left  *Left  `json:"left,omitempty"`
	Mark  *Mark  `json:"mark,omitempty"`
	Met   *Met   `json:"met,omitempty"`
	Same  *Same  `json:"same,omitempty"`
	Fresh *Fresh `json:"fresh,omitempty"`
	Kept  *Kept  `json:"kept,omitempty"`
}

// Day is a day of the calendar, counted from 1 January 1970.
type Day int

// DayOf is the day of a moment, in its own place of the world.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / (24 * 60 * 60))
}

// Time is the day's beginning in UTC, for writing its date.
func (d Day) Time() time.Time { return time.Unix(int64(d)*24*60*60, 0).UTC() }
