package hear

import (
	"fmt"
	"math"
	"strings"
)

// plainSentence is for a report without a grid.
func plainSentence(notes int) string {
	switch notes {
	case 0:
		return "No note was heard."
	case 1:
		return "One note was heard."
	}
	return fmt.Sprintf("%d notes were heard.", notes)
}

// sentence is what a teacher would say about the take.
func (e *evenness) sentence() string {
	said := e.verdict()
	if m := e.mishaps(); m != "" {
		said += " " + m
	}
	return said
}

func (e *evenness) verdict() string {
	r := e.r
	if w := r.Weak; w != nil {
		return capital(e.describe(w.FromSlot, w.ToSlot, w.LateMs, w.CatchesUp)) + "."
	}
	s, ok := e.foremost()
	if !ok {
		return "Too little was heard on the grid to say anything about evenness."
	}
	stands := math.Abs(s.late) >= e.bound(s.slot)
	if r.Reps <= fewReps || s.n <= fewReps {
		reps := "in one rep"
		if r.Reps > 1 {
			reps = fmt.Sprintf("in only %s reps", count(r.Reps))
		}
		if !stands {
			return fmt.Sprintf("It sounds even so far, but I can't tell from what I heard %s: play it a few more times.", reps)
		}
		into := e.into(s.slot)
		return fmt.Sprintf("I can't tell yet, %s: perhaps %s. Play it a few more times.",
			reps, e.describe(into.FromSlot, into.ToSlot, s.late, false))
	}
	if r.InstabilityMs > 2*r.JNDMs {
		return fmt.Sprintf("No one change is to blame: the notes land about %s ms to either side, now here, now there.", round(r.InstabilityMs))
	}
	return fmt.Sprintf("Even: no change stands out by more than an ear can tell at this tempo (about %s ms).", round(r.JNDMs))
}

// describe words one change.
func (e *evenness) describe(from, to int, late float64, catchesUp bool) string {
	var b strings.Builder
	group := "rep"
	if len(e.r.Grid.Places) == 0 {
		group = "group"
	}
	switch {
	case len(e.r.Grid.Places) == 0 && to <= from:
		if e.slotN == 1 {
			b.WriteString("the change to the next beat")
		} else {
			b.WriteString("the change across to the next beat")
		}
	case e.r.Grid.Landing && to == e.slotN:
		b.WriteString("the last change, onto the landing,")
	default:
		fmt.Fprintf(&b, "the %s change in each %s", ordinal(from), group)
	}
	if late > 0 {
		fmt.Fprintf(&b, " comes late by about %s ms", round(late))
		if catchesUp {
			b.WriteString(", and the one after hurries to catch up")
		}
	} else {
		fmt.Fprintf(&b, " comes early by about %s ms", round(-late))
		if catchesUp {
			b.WriteString(", and the one after waits for the beat")
		}
	}
	return b.String()
}

// mishaps tells of notes that were missed, doubled or extra.
func (e *evenness) mishaps() string {
	var parts []string
	if n := len(e.r.Missed); n > 0 {
		worst := SlotStat{}
		for _, s := range e.r.Slots {
			if s.Missed > worst.Missed {
				worst = s
			}
		}
		p := fmt.Sprintf("%s missing", things(n, "note is", "notes are"))
		if worst.Missed > 1 {
			p += fmt.Sprintf(", %s of them on the %s slot", count(worst.Missed), ordinal(worst.Slot))
			if worst.Missed == n {
				p = fmt.Sprintf("%s missing, all on the %s slot", things(n, "note is", "notes are"), ordinal(worst.Slot))
			}
		}
		parts = append(parts, p)
	}
	if e.r.Doubled > 0 {
		parts = append(parts, fmt.Sprintf("%s double", things(e.r.Doubled, "note sounds", "notes sound")))
	}
	if e.r.Extra > 0 {
		parts = append(parts, fmt.Sprintf("%s to no slot", things(e.r.Extra, "note belongs", "notes belong")))
	}
	if len(parts) == 0 {
		return ""
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// Sentence says which chunk to cut.
func (c Chunk) Sentence() string {
	if c.Beats <= 0 {
		return fmt.Sprintf("Cut out slots %d and %d and land on slot %d.", c.FromSlot, c.ToSlot, c.Landing)
	}
	if c.Beats == 1 {
		return fmt.Sprintf("Cut out the %s beat around it and land on the note after.", ordinal(c.FirstBeat))
	}
	return fmt.Sprintf("Cut out %s beats around it, from the %s, and land on the note after.", count(c.Beats), ordinal(c.FirstBeat))
}

// Sentence says in plain words why a take holds nothing to judge, or what is
// wrong with it; it is empty when nothing is.
func (h Hearing) Sentence() string {
	switch {
	case h.Seconds == 0:
		return "The take is empty."
	case h.Peak < math.Pow(10, silenceDB/20.0):
		return "The take is silent: check that the microphone was on and its level up."
	case h.Notes == 0 && h.Pitched < 0.05:
		return "No note was heard: what sounds here has no pitch."
	case h.Notes == 0:
		return "No note was heard to begin."
	case h.Notes == 1:
		return "Only one held note was heard: evenness needs several."
	case h.Clipped > 0.001:
		return "The recording is overloaded in places, so onsets are less sure: turn the level down and move back a little."
	}
	return ""
}

func things(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return count(n) + " " + many
}

var small = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

func count(n int) string {
	if n >= 0 && n < len(small) {
		return small[n]
	}
	return fmt.Sprint(n)
}

func ordinal(n int) string {
	words := [...]string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	if n > 0 && n < len(words) {
		return words[n]
	}
	suffix := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, suffix)
}

func round(ms float64) string { return fmt.Sprintf("%.0f", ms) }

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
