package ladder

import (
	"fmt"
	"strings"
)

// Say is what is counted of a rep.
type Say uint8

// Every slot, or, where the step has notes, each of them: a dotted eighth and a
// sixteenth are "1 – – a" then.
const (
	SaySlots Say = iota
	SayNotes
)

var sayNames = [...]string{"slots", "notes"}

// String is the word in a routine file.
func (s Say) String() string { return sayNames[min(int(s), len(sayNames)-1)] }

// ParseSay reads "slots" or "notes".
func ParseSay(s string) (Say, error) { return named[Say](s, "counted", sayNames[:]) }

// Announce is what is spoken beside the count: the tempo of a new rung in its
// count-in, the number of each bar in place of its one, or both.
type Announce uint8

// The announcements.
const (
	AnnounceNothing Announce = iota
	AnnounceRungs
	AnnounceBars
	AnnounceBoth
)

var announceNames = [...]string{"nothing", "rungs", "bars", "rungs and bars"}

// String is the words in a routine file.
func (a Announce) String() string { return announceNames[min(int(a), len(announceNames)-1)] }

// Rungs reports whether rungs are announced.
func (a Announce) Rungs() bool { return a == AnnounceRungs || a == AnnounceBoth }

// Bars reports whether bars are announced.
func (a Announce) Bars() bool { return a == AnnounceBars || a == AnnounceBoth }

// ParseAnnounce reads "nothing", "rungs", "bars" or "rungs and bars".
func ParseAnnounce(s string) (Announce, error) {
	return named[Announce](s, "announced", announceNames[:])
}

func named[T ~uint8](s, what string, names []string) (T, error) {
	for i, name := range names {
		if s == name {
			return T(i), nil
		}
	}
	return 0, fmt.Errorf("%q cannot be %s; write one of %s", s, what, strings.Join(names, ", "))
}
