package hearing

import (
	"fmt"
	"slices"
	"strings"

	"footing/ladder/passage"
)

// sentence is [Sentence] with places named by notes, and in front of it what was
// surely not played as written.
func (r Report) sentence() string {
	if r.Reading == nil {
		return Sentence(r.Report)
	}
	t := teller{r.Report, r.rung}
	if r.Outcome == "" {
		return t.plain()
	}
	said := t.outcome()
	switch faults := r.faultWords(); {
	case faults != "":
		return faults + " " + said
	case t.much():
		return t.unheard() + " " + said
	}
	return said
}

// noted names a change by its notes, empty where they are not known. One that is
// named like another is counted as well.
func (t teller) noted(from, to int) string {
	name, twice := t.rung.change(from, to)
	switch {
	case name == "":
		return ""
	case t.Grid.Landing && to == len(t.Slots):
		return fmt.Sprintf("the last change, %s, the landing", name)
	case twice:
		return fmt.Sprintf("the %s change (%s)", ordinal(from), name)
	}
	return "the change " + name
}

// mostFaults is how many kinds of fault are told one by one.
const mostFaults = 3

// faultWords tells the faults of a take, those that came back most first; empty
// without any.
func (r Report) faultWords() string {
	type same struct {
		kind       FaultKind
		slot       int
		heard      string
		first, num int
	}
	var list []same
	for i, f := range r.Reading.Faults {
		s := same{kind: f.Kind, slot: f.Slot, first: i, num: 1}
		if f.Kind != MissedNote {
			s.heard = f.Heard.Name()
		}
		k := slices.IndexFunc(list, func(o same) bool { return o.kind == s.kind && o.slot == s.slot && o.heard == s.heard })
		if k >= 0 {
			list[k].num++
			continue
		}
		list = append(list, s)
	}
	slices.SortStableFunc(list, func(a, b same) int { return b.num - a.num })
	var parts []string
	rest := 0
	for i, s := range list {
		if i >= mostFaults {
			rest += s.num
			continue
		}
		parts = append(parts, r.faultWord(r.Reading.Faults[s.first])+" "+r.often(s.num))
	}
	if rest > 0 {
		parts = append(parts, things(rest, "other note is not as written", "other notes are not as written"))
	}
	if len(parts) == 0 {
		return ""
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// faultWord tells one fault.
func (r Report) faultWord(f Fault) string {
	at := ""
	if f.Slot > 0 {
		at = r.where(f.Slot)
	}
	written := f.Written.Name()
	switch {
	case f.Kind == WrongNote && written == f.Heard.Name():
		return fmt.Sprintf("%s is played instead of %s%s", f.Heard, f.Written, at)
	case f.Kind == WrongNote:
		return fmt.Sprintf("%s is played instead of %s%s", f.Heard.Name(), written, at)
	case f.Kind == MissedNote:
		return fmt.Sprintf("%s is left out%s", written, at)
	case f.Slot == 0:
		return fmt.Sprintf("%s is put in before the first note", f.Heard.Name())
	}
	return fmt.Sprintf("%s is put in after %s%s", f.Heard.Name(), written, at)
}

// where says which note a slot's is, where another of the rep has its name.
func (r Report) where(slot int) string {
	name := r.rung.wants[slot-1].Pitch.Name()
	for i, w := range r.rung.wants {
		if i != slot-1 && w.Pitch.Name() == name {
			return fmt.Sprintf(" at %s", r.rung.place(slot))
		}
	}
	return ""
}

// often says in how many reps something came back.
func (r Report) often(n int) string {
	switch {
	case r.Reading.Reps == 1 && n == 1:
		return "once"
	case n == r.Reading.Reps:
		return "in every rep"
	case n > r.Reading.Reps:
		return fmt.Sprintf("%d times", n)
	}
	return fmt.Sprintf("in %s of %s reps", count(n), count(r.Reading.Reps))
}

// noteName is the written name of a slot's note, "Bb4"; empty without notes.
func (r Report) noteName(slot int) string {
	w, ok := r.rung.want(slot)
	if !ok {
		return ""
	}
	return w.Pitch.String()
}

// Pitches are those of the slots as written, that of slot 1 first; none where the
// notes are not known.
func (r Report) Pitches() []passage.Pitch {
	var out []passage.Pitch
	for _, w := range r.rung.wants {
		out = append(out, w.Pitch)
	}
	return out
}
