package stand

import (
	"fmt"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder"
)

// typeKey takes the keys that type a tempo: the first digit begins, Enter sets
// it, Escape leaves it.
func (s *Stand) typeKey(key string) bool {
	digit := len(key) == 1 && key[0] >= '0' && key[0] <= '9'
	if !s.typing && !digit {
		return false
	}
	if !s.typing {
		s.beginTyping()
	}
	const longest = 7 // "399.999"
	switch name := fyne.KeyName(key); {
	case digit || key == "." || key == ",":
		if key == "," {
			key = "."
		}
		if len(s.typed) < longest {
			s.typed += key
		}
		s.hint, s.warm = typeHint, false
	case name == fyne.KeyBackspace:
		if s.typed != "" {
			s.typed = s.typed[:len(s.typed)-1]
		}
		s.hint, s.warm = typeHint, false
	case name == fyne.KeyReturn || name == fyne.KeyEnter:
		s.setTyped()
	case name == fyne.KeyEscape:
		s.stopTyping()
	default:
		// Any other key leaves the typing and does what it does.
		s.stopTyping()
		return false
	}
	s.Refresh()
	return true
}

const typeHint = "Enter sets it, Esc leaves it"

func (s *Stand) beginTyping() {
	s.typing, s.typed, s.hint, s.warm = true, "", typeHint, false
	s.Refresh()
}

func (s *Stand) stopTyping() {
	if s.typing {
		s.typing, s.typed, s.hint, s.warm = false, "", "", false
	}
}

func (s *Stand) setTyped() {
	if s.typed == "" {
		s.stopTyping()
		return
	}
	t, err := click.ParseTempo(s.typed)
	if err != nil {
		s.hint, s.warm = fmt.Sprintf("write a tempo from %s to %s", click.MinTempo, click.MaxTempo), true
		return
	}
	s.stopTyping()
	s.o.Desk.Do(ladder.SetTempo{Tempo: t})
}

// tapped is one tap of a tempo.
func (s *Stand) tapped() {
	tempo, taps := s.tap.tap(s.o.Clock())
	s.counts = fmt.Sprintf("tapped %s", tempo)
	if tempo == 0 {
		s.counts = fmt.Sprintf("tap %d of %d", taps, leastTaps)
	}
	s.hint, s.warm = s.counts, false
	if tempo != 0 {
		s.o.Desk.Do(ladder.SetTempo{Tempo: tempo})
	}
}

// expire takes the count of taps away once another tap would begin anew.
func (s *Stand) expire() {
	if s.hint != "" && s.hint == s.counts && s.tap.over(s.o.Clock()) {
		s.hint, s.counts = "", ""
	}
}
