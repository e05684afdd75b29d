package stand

import (
	"fmt"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/counted"
	"footing/ui/window/look"
)

// title is the step, what stands beside it, and which of the routine's steps it
// is.
func title(s ladder.State) (name, sub, count string) {
	step := s.Step()
	if step.Passage.Piece != "" {
		sub = step.Passage.Piece + ", "
	}
	if step.Passage.From == step.Passage.To {
		sub += fmt.Sprintf("bar %d", step.Passage.From)
	} else {
		sub += fmt.Sprintf("bars %d–%d", step.Passage.From, step.Passage.To)
	}
	if n := len(s.Routine.Steps); n > 1 {
		count = fmt.Sprintf("%d of %d", s.StepAt+1, n)
	}
	return step.Name, sub, count
}

// slotNames are the note values or groups that a beat of so many slots is cut
// into; the rest is counted.
var (
	plainSlots = map[int]string{1: "beats only", 3: "triplets", 5: "quintuplets", 6: "sextuplets", 7: "septuplets"}
	// In a dotted beat three slots are plain notes and two are a duplet.
	dottedSlots = map[int]string{1: "beats only", 2: "duplets", 4: "quadruplets"}
	noteNames   = map[int]string{2: "halves", 4: "quarters", 8: "eighths", 16: "sixteenths", 32: "thirty-seconds", 64: "sixty-fourths"}
)

// swings are the names of swing ratios (common practice, no source).
var swings = map[[2]int]string{
	{1, 1}: "straight", {3, 2}: "light", {2, 1}: "as triplets", {3, 1}: "as dotted notes", {1, 2}: "reversed triplets", {1, 3}: "snapped",
}

// slotsName names what the slots of a beat are.
func slotsName(unit click.Unit, slots click.Slots) string {
	if a, b, ok := slots.Crossed(); ok {
		return fmt.Sprintf("%d against %d", a, b)
	}
	if a, b, ok := slots.Swung(); ok {
		return strings.TrimSuffix(fmt.Sprintf("swing %d:%d, %s", a, b, swings[[2]int{a, b}]), ", ")
	}
	n := slots.Count()
	names := plainSlots
	if unit.Dotted() {
		names = dottedSlots
	}
	if name, ok := names[n]; ok {
		return name
	}
	// The slot's length is unit/n of a whole note; where that is 1/2, 1/4, 1/8 …
	// it has a name of its own.
	if num, den := unit.Num, unit.Den*n; den%num == 0 {
		if name, ok := noteNames[den/num]; ok {
			return name
		}
	}
	return counted.Of(n, "slot")
}

// counting is how a beat is counted, in an additive meter the first group of a bar: "1 e &
// a", of the bar in which the chunk begins.
func counting(step ladder.Step) string {
	c, slots := step.Count, step.Slots
	m, err := step.Measures()
	if c == click.CountNone || err != nil {
		return "off"
	}
	if _, _, crossed := slots.Crossed(); crossed {
		slots = click.EvenSlots(1) // of two strands the beats alone are counted
	}
	bar, group := m.Bar(step.Chunk.Bar), 1
	for beat := bar.Beats - 1; beat > 0; beat-- {
		if bar.GroupStart(beat) {
			group = beat
		}
	}
	var words []string
	for beat := range group {
		for i := range slots.Count() {
			if w := c.In(bar, slots.Count(), i, beat); w != "" {
				words = append(words, w)
			}
		}
	}
	return strings.Join(words, " ")
}

// sounding is what is heard because of a pulse that is not the plain beat: the
// note and how many of it sound in a minute.
func sounding(step ladder.Step, t click.Tempo) (note string, dotted bool, words, pulse string) {
	num, den := step.Unit.Num, step.Unit.Den
	switch step.Pulse {
	case click.Doubled:
		den, t = den*2, t*2
	case click.Halved:
		num, t = num*2, t/2
	case click.Offbeat:
		return "", false, "", "click on the offbeat"
	default:
		return "", false, "", ""
	}
	note, dotted, ok := look.NoteFor(reduced(num, den))
	words = fmt.Sprintf("= %s sounding", t)
	if !ok {
		words = strings.TrimPrefix(words, "= ")
	}
	return note, dotted, words, "pulse " + step.Pulse.String()
}

func reduced(num, den int) (int, int) {
	a, b := num, den
	for b != 0 {
		a, b = b, a%b
	}
	return num / a, den / a
}

// ChunkWords names a step's chunk: "bar 18, beats 2–3".
func ChunkWords(step ladder.Step) string {
	return chunkWords(step, step.ChunkStart(), step.Chunk.Length)
}

// chunkWords says which beats the chunk is: start in beats from the line of the
// passage's first full bar, and length.
func chunkWords(step ladder.Step, start, length click.Beats) string {
	m, err := step.Measures()
	if err != nil {
		return ""
	}
	bar := func(n int) string {
		if n < m.From() {
			return "pickup"
		}
		return fmt.Sprintf("bar %d", n)
	}
	firstBar, first := m.Where(start)
	end := start.Add(length)
	if start.Den() == 1 && length.Den() == 1 {
		lastBar, last := m.Where(end.Sub(click.Whole(1)))
		switch {
		case firstBar != lastBar && first.Sign() == 0 && last == click.Whole(m.Bar(lastBar).Beats-1):
			return fmt.Sprintf("bars %d–%d", firstBar, lastBar)
		case firstBar != lastBar:
			return fmt.Sprintf("%s beat %d to %s beat %d", bar(firstBar), first.Floor()+1, bar(lastBar), last.Floor()+1)
		case length == click.Whole(m.Bar(firstBar).Beats):
			return bar(firstBar)
		case length == click.Whole(1):
			return fmt.Sprintf("%s, beat %d", bar(firstBar), first.Floor()+1)
		}
		return fmt.Sprintf("%s, beats %d–%d", bar(firstBar), first.Floor()+1, last.Floor()+1)
	}
	beat := first.Floor()
	lastBar, lastBeat := m.Where(click.Whole(end.Ceil() - 1))
	low, onSlot := slotAt(step.Slots, first)
	high, toSlot := slotAt(step.Slots, end)
	if high == 0 {
		high = step.Slots.Count() // the end of the beat before
	}
	switch {
	case !onSlot || !toSlot:
		_, at, _ := strings.Cut(click.FormatPlace(firstBar, first), ":")
		return fmt.Sprintf("%s, beat %s, for %s", bar(firstBar), at, beats(length))
	case start.Floor() < end.Ceil()-1 && firstBar == lastBar:
		return fmt.Sprintf("%s beat %d slot %d to beat %d slot %d", bar(firstBar), beat+1, low+1, lastBeat.Floor()+1, high)
	case start.Floor() < end.Ceil()-1:
		return fmt.Sprintf("%s beat %d slot %d to %s beat %d slot %d", bar(firstBar), beat+1, low+1, bar(lastBar), lastBeat.Floor()+1, high)
	case low+1 == high:
		return fmt.Sprintf("%s, beat %d, slot %d", bar(firstBar), beat+1, high)
	}
	return fmt.Sprintf("%s, beat %d, slots %d–%d", bar(firstBar), beat+1, low+1, high)
}

// slotAt is the slot, from 0 in its beat, that begins at a place, and whether one
// does.
func slotAt(slots click.Slots, at click.Beats) (int, bool) {
	for i := range slots.Count() {
		if click.Whole(at.Floor()).Add(slots.At(i)) == at {
			return i, true
		}
	}
	return 0, false
}

// beats is a length as it is said: "1/2 of a beat", "1 beat", "2 1/2 beats".
func beats(b click.Beats) string {
	whole := b.Floor()
	part := b.Sub(click.Whole(whole))
	switch {
	case whole == 0:
		return part.String() + " of a beat"
	case part.Sign() == 0:
		return counted.Of(whole, "beat")
	}
	return fmt.Sprintf("%d %s beats", whole, part)
}
