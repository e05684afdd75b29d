package ladder

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder/passage"
)

// Sounds is how a step's click sounds, and the drone under it. The zero value, but for
// the drone's level, is as the player has it.
type Sounds struct {
	// Bar, Beat and Slot are the timbres of bar lines, beats and slots; empty for the
	// player's own.
	Bar, Beat, Slot string
	// Levels are those of the dynamics, by [click.Dynamics]; silence has none.
	Levels [click.Forte + 1]Level
	Stereo Stereo
	Drone  Drone
}

// Of is the timbre of a rank, empty for the player's own.
func (s Sounds) Of(r click.Rank) string {
	return [...]string{click.SlotRank: s.Slot, click.BeatRank: s.Beat, click.BarRank: s.Bar}[min(int(r), click.Ranks-1)]
}

// Owns is of how many ranks the step has the timbre itself.
func (s Sounds) Owns() (n int) {
	for r := range click.Rank(click.Ranks) {
		if s.Of(r) != "" {
			n++
		}
	}
	return n
}

// Level is how strongly a dynamics mark sounds, under the full level of the click.
type Level struct {
	Given bool
	DB    int // LeastLevel to 0
}

// Bounds of levels, in dB.
const (
	LeastLevel = -40
	// The drone's is against the loudness of a bar of sixteenths. A strong player has
	// to hear it beside the instrument.
	MostDrone  = 18
	UsualDrone = 0
)

// Gain is what a level in dB multiplies by.
func Gain(dB int) float32 { return float32(math.Pow(10, float64(dB)/20)) }

// UsualLevel is the level of a mark for which none is given, to the nearest dB.
func UsualLevel(d click.Dynamics) int {
	return int(math.Round(20 * math.Log10(float64(d.Gain()))))
}

// FormatLevel writes what [ParseLevel] reads: "-4 dB".
func FormatLevel(dB int) string { return strconv.Itoa(dB) + " dB" }

var levelWords = regexp.MustCompile(`^([-+−]?)(\d{1,3})(?: ?dB)?$`)

// ParseLevel reads dB, LeastLevel to most.
func ParseLevel(s string, most int) (int, error) {
	m := levelWords.FindStringSubmatch(s)
	if m == nil {
		return 0, fmt.Errorf("%q is no level; write dB from %d to %d such as -6 dB", s, LeastLevel, most)
	}
	dB, _ := strconv.Atoi(m[2])
	if m[1] == "-" || m[1] == "−" {
		dB = -dB
	}
	if dB < LeastLevel || dB > most {
		return 0, fmt.Errorf("a level of %d dB is out of range; write %d to %d", dB, LeastLevel, most)
	}
	return dB, nil
}

// Stereo is where strokes come from.
type Stereo uint8

// The places: all from the centre, or beats, bar lines among them, from one side and
// slots from the other.
const (
	AllCentre Stereo = iota
	BeatsLeft
	BeatsRight
)

var stereoNames = [...]string{"centre", "beats left", "beats right"}

// String is the words in a routine file.
func (s Stereo) String() string { return stereoNames[min(int(s), len(stereoNames)-1)] }

// ParseStereo reads "centre", "beats left" or "beats right".
func ParseStereo(s string) (Stereo, error) { return named[Stereo](s, "a place", stereoNames[:]) }

// Sides are those of the ranks.
func (s Stereo) Sides() [click.Ranks]click.Side {
	switch s {
	case BeatsLeft:
		return [...]click.Side{click.SlotRank: click.Right, click.BeatRank: click.Left, click.BarRank: click.Left}
	case BeatsRight:
		return [...]click.Side{click.SlotRank: click.Left, click.BeatRank: click.Right, click.BarRank: click.Right}
	}
	return [click.Ranks]click.Side{}
}

// Drone is a steady tone under the click.
type Drone struct {
	// Note is its pitch as it sounds, C1 to C7; the zero value for no drone.
	Note passage.Pitch
	// A is what it is tuned to, 415 to 466 Hz; 0 for the player's own.
	A int
	// Level is in dB against the loudness of a bar of sixteenths, LeastLevel to
	// MostDrone.
	Level int
}

// On reports whether there is a drone.
func (d Drone) On() bool { return d.Note != passage.Pitch{} }

// ParseDroneNote reads the note of a drone.
func ParseDroneNote(s string) (passage.Pitch, error) {
	p, err := passage.ParsePitch(s)
	switch {
	case err != nil:
		return p, err
	case !droneNote(p):
		return p, fmt.Errorf("a drone on %s is out of range; write a note from C1 to C7", s)
	}
	return p, nil
}

func droneNote(p passage.Pitch) bool {
	return p.Signed() && p.Cents() >= 100*timbre.LowestDrone && p.Cents() <= 100*timbre.HighestDrone
}

// check says what is wrong with the sounds.
func (s Sounds) check() []Fault {
	var out []Fault
	add := func(key, want, what string, args ...any) {
		out = append(out, Fault{Key: key, What: fmt.Sprintf(what, args...), Want: want})
	}
	for _, t := range []struct{ key, name string }{{"bar", s.Bar}, {"beat", s.Beat}, {"slot", s.Slot}} {
		if t.name != "" && !slices.Contains(timbre.Names(), t.name) {
			add("sounds "+t.key, "write one of "+strings.Join(timbre.Names(), ", "), "%q is no sound", t.name)
		}
	}
	for d, l := range s.Levels {
		if l.Given && (d == int(click.Silent) || l.DB < LeastLevel || l.DB > 0) || !l.Given && l.DB != 0 {
			add("levels "+click.Dynamics(d).String(), fmt.Sprintf("write %d to 0", LeastLevel), "a level of %d dB is out of range", l.DB)
		}
	}
	if int(s.Stereo) >= len(stereoNames) {
		add("stereo", "write one of "+strings.Join(stereoNames[:], ", "), "place number %d does not exist", s.Stereo)
	}
	d := s.Drone
	if d.On() && !droneNote(d.Note) {
		add("drone note", "write a note from C1 to C7", "a drone on %s is out of range", d.Note)
	}
	if d.A != 0 && (d.A < timbre.LowestA || d.A > timbre.HighestA) {
		add("drone a", fmt.Sprintf("write %g to %g", timbre.LowestA, timbre.HighestA), "an A of %d Hz is out of range", d.A)
	}
	if d.Level < LeastLevel || d.Level > MostDrone {
		add("drone level", fmt.Sprintf("write %d to %d", LeastLevel, MostDrone), "a level of %d dB is out of range", d.Level)
	}
	return out
}

// Sided reports whether a step's strokes come from two sides.
func (r Routine) Sided() bool {
	return slices.ContainsFunc(r.Steps, func(s Step) bool { return s.Sounds.Stereo != AllCentre })
}
