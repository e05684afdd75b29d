package output

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/passage"
	"footing/ui/window/draw"
)

// page is some lines that are shown together.
type page struct {
	name string
	rows []string // those that the keys turn
}

// The lines of the step's pages.
const (
	rowBar    = "bar line"
	rowBeat   = "beat"
	rowSlot   = "slot"
	rowStereo = "stereo"
	rowDrone  = "drone"
	rowNote   = "note"
	rowA      = "a"
	rowDroned = "drone level"
)

// pages are the device's lines, and those of the step at the Stand.
var pages = []page{
	{"Device", []string{rowDevice, rowLevel, rowCap, rowBuffer, rowOffset}},
	{"This step's click", []string{rowBar, rowBeat, rowSlot, rowStereo, "f", "mf", "p", "pp"}},
	{"This step's drone", []string{rowDrone, rowNote, rowA, rowDroned}},
}

// pageOf is the page of a line, from 0.
func pageOf(row string) int {
	return max(slices.IndexFunc(pages, func(p page) bool { return slices.Contains(p.rows, row) }), 0)
}

// moved is the line so many before or behind another, over all pages.
func moved(row string, by int) string {
	var all []string
	for _, p := range pages {
		all = append(all, p.rows...)
	}
	return all[min(max(slices.Index(all, row)+by, 0), len(all)-1)]
}

// turnedTo is the first line of the page so many before or behind a line's.
func turnedTo(row string, by int) string {
	return pages[min(max(pageOf(row)+by, 0), len(pages)-1)].rows[0]
}

// strokeOf is the stroke that a line is about: that which a bar line, a beat, a slot
// or a mark most often has.
func strokeOf(row string) click.Trial {
	switch row {
	case rowBar, "f":
		return click.Trial{Rank: click.BarRank, Voice: click.AccentVoice, Dynamics: click.Forte}
	case rowSlot, "p":
		return click.Trial{Rank: click.SlotRank, Voice: click.SlotVoice, Dynamics: click.Piano}
	case "pp":
		return click.Trial{Rank: click.SlotRank, Voice: click.SlotVoice, Dynamics: click.Pianissimo}
	case rowDrone, rowNote, rowA, rowDroned:
		return click.Trial{Drone: true}
	}
	return click.Trial{Rank: click.BeatRank, Voice: click.BeatVoice, Dynamics: click.MezzoForte}
}

// hear sounds what the chosen line is about, where the click does not run.
func (v *View) hear() {
	if pageOf(v.chosen) > 0 {
		v.o.Try(v.step(), strokeOf(v.chosen))
	}
}

func (v *View) step() ladder.Step { return v.o.Heard().State.Step() }

// turnStep turns a line of the step, and lets it be heard.
func (v *View) turnStep(id string, by int) {
	before := v.step().Sounds
	after := v.turnedSounds(before, id, by)
	if after == before {
		return
	}
	if after.Drone.On() {
		v.note = after.Drone.Note
	}
	v.o.Change(func(s ladder.Step) ladder.Step {
		s.Sounds = after
		return s
	})
	v.hear()
}

// turnedSounds is what a line makes of a step's sounds.
func (v *View) turnedSounds(s ladder.Sounds, id string, by int) ladder.Sounds {
	switch id {
	case rowBar:
		s.Bar = nextSound(s.Bar, by)
	case rowBeat:
		s.Beat = nextSound(s.Beat, by)
	case rowSlot:
		s.Slot = nextSound(s.Slot, by)
	case rowStereo:
		s.Stereo = ladder.Stereo(min(max(int(s.Stereo)+by, 0), int(ladder.BeatsRight)))
	case rowDrone:
		if s.Drone.On() {
			s.Drone.Note = passage.Pitch{}
		} else {
			s.Drone.Note = v.droneNote(s)
		}
	case rowNote:
		s.Drone.Note = nextNote(v.droneNote(s), by)
	case rowA:
		own := v.o.A()
		a := s.Drone.A
		if a == 0 {
			a = own
		}
		if a = min(max(a+by, timbre.LowestA), timbre.HighestA); a == own {
			a = 0
		}
		s.Drone.A = a
	case rowDroned:
		s.Drone.Level = min(max(s.Drone.Level+by, ladder.LeastLevel), ladder.MostDrone)
	default:
		if d, err := click.ParseDynamics(id); err == nil {
			usual := ladder.UsualLevel(d)
			dB := usual
			if l := s.Levels[d]; l.Given {
				dB = l.DB
			}
			if s.Levels[d] = (ladder.Level{}); min(max(dB+by, ladder.LeastLevel), 0) != usual {
				s.Levels[d] = ladder.Level{Given: true, DB: min(max(dB+by, ladder.LeastLevel), 0)}
			}
		}
	}
	return s
}

// nextSound is the timbre behind or before another; before the first is the player's
// own.
func nextSound(name string, by int) string {
	all := append([]string{""}, timbre.Names()...)
	return all[min(max(slices.Index(all, name)+by, 0), len(all)-1)]
}

// droneNote is the note of the drone, or what it had last, or the A that a piano and a
// bassoon have in common.
func (v *View) droneNote(s ladder.Sounds) passage.Pitch {
	switch {
	case s.Drone.On():
		return s.Drone.Note
	case v.note != passage.Pitch{}:
		return v.note
	}
	return passage.Pitch{Letter: passage.A, Octave: 3}
}

// spelled is how a key of an octave is written where nothing says otherwise.
var spelled = [12]string{"C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"}

// nextNote is the note so many semitones higher, held within what a drone can have.
func nextNote(p passage.Pitch, by int) passage.Pitch {
	key := min(max(p.Cents()/100+by, timbre.LowestDrone), timbre.HighestDrone)
	next, err := passage.ParsePitch(spelled[key%12] + strconv.Itoa(key/12-1))
	if err != nil {
		return p
	}
	return next
}

// clickRows are the lines of the step's click.
func (v *View) clickRows() []draw.Setting {
	s := v.step().Sounds
	var out []draw.Setting
	for _, t := range []struct{ id, label, name, says string }{
		{rowBar, "Bar line", s.Bar, "the first beat of each bar"},
		{rowBeat, "Beat", s.Beat, "the other beats, and the second click of a doubled pulse"},
		{rowSlot, "Slot", s.Slot, "the slots between"},
	} {
		value, says := "yours, "+v.o.Sound(), t.says+"; as you chose it at the Stand"
		if t.name != "" {
			value, says = t.name, t.says+": "+timbre.Describe(t.name)
		}
		out = append(out, draw.Setting{ID: t.id, Label: t.label, Value: value, Says: says})
	}
	out = append(out, draw.Setting{ID: rowStereo, Label: "Left and right", Value: s.Stereo.String(), Says: map[ladder.Stereo]string{
		ladder.AllCentre:  "all from the centre",
		ladder.BeatsLeft:  "bar lines and beats left, slots right; files have two channels",
		ladder.BeatsRight: "bar lines and beats right, slots left; files have two channels",
	}[s.Stereo]})
	for _, d := range []click.Dynamics{click.Forte, click.MezzoForte, click.Piano, click.Pianissimo} {
		value, says := decibels(ladder.UsualLevel(d)), "as usual"
		if l := s.Levels[d]; l.Given {
			value, says = decibels(l.DB), "as usual it is "+decibels(ladder.UsualLevel(d))
		}
		out = append(out, draw.Setting{ID: d.String(), Label: "Strokes marked " + d.String(), Value: value, Says: says})
	}
	return out
}

// droneRows are the lines of the step's drone.
func (v *View) droneRows() []draw.Setting {
	s := v.step().Sounds
	on, note, a := s.Drone.On(), v.droneNote(s), s.Drone.A
	state, tuned := "off", fmt.Sprintf("%d Hz", a)
	if on {
		state = "on"
	}
	if a == 0 {
		a = v.o.A()
		tuned = fmt.Sprintf("yours, %d Hz", a)
	}
	hz := click.Cents(note.Cents()).Hz(float64(a))
	return []draw.Setting{
		{ID: rowDrone, Label: "Drone", Value: state, Says: "a steady tone under the click, to tune to; it goes on through every change, and ends with the click"},
		{ID: rowNote, Label: "Its note", Value: fmt.Sprintf("%s %d", note.Name(), note.Octave), Says: fmt.Sprintf("as it sounds, not as a transposing part has it: %.1f Hz", hz)},
		{ID: rowA, Label: "Its A", Value: tuned, Says: "yours is the A of the notes that the Stand lets you hear"},
		{ID: rowDroned, Label: "Its level", Value: signed(s.Drone.Level), Says: "0 dB is as loud as the click; a tone that never pauses tires the ear: keep it low, on headphones lower still"},
	}
}

// signed is a level that may lie over 0.
func signed(dB int) string {
	if dB > 0 {
		return fmt.Sprintf("+%d dB", dB)
	}
	return decibels(dB)
}

// pageHit is the line's id under which a page answers to the pointer.
const pageHit = "page "

// toPage goes to the page that was tapped, and reports whether that is what was.
func (v *View) toPage(id string) bool {
	n, ok := strings.CutPrefix(id, pageHit)
	i, err := strconv.Atoi(n)
	if !ok || err != nil || i < 0 || i >= len(pages) {
		return false
	}
	v.chosen = pages[i].rows[0]
	v.show()
	return true
}
