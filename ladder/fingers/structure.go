package fingers

import (
	"fmt"
	"maps"
	"slices"
)

// Anomalies are what does not add up in a chart, a sentence each, by the mechanics
// of the instrument: the first hole left open from the top gives a low note (its
// ladder); keys that open a hole beside it lift that note; a fork lowers it by a
// semitone; the register key adds a shift. A fingering that adds up may still be out
// of tune or unplayable. Charts of players' own are not held to it.
func (c *Chart) Anomalies() []string {
	var out []string
	say := func(what string, args ...any) { out = append(out, fmt.Sprintf(what, args...)) }
	c.ladderAnomalies(say)
	seen := map[string]int{}
	for _, row := range c.Rows() {
		if row.made != "" {
			continue
		}
		name := fmt.Sprintf("%s, %s", row.Pitch, row.Use)
		c.rowAnomalies(&row, func(what string, args ...any) { say(name+": "+what, args...) })
		id, m := fmt.Sprintf("%x %d", row.set, row.shift), row.Pitch.Cents()/100
		if other, ok := seen[id]; ok && other != m {
			say("%s: the same keys as another note", name)
		}
		seen[id] = m
	}
	for m := c.Low.Cents() / 100; m <= c.Top.Cents()/100; m++ {
		if len(c.rows[m]) == 0 {
			say("there is no row for the note of MIDI number %d", m)
		}
	}
	return out
}

func (c *Chart) ladderAnomalies(say func(string, ...any)) {
	for i := 1; i < len(c.holes); i++ {
		if c.firstOpen[c.holes[i-1]] <= c.firstOpen[c.holes[i]] {
			say("the ladder does not go down at %s", c.holes[i])
		}
	}
	if n := len(c.holes); n > 0 && c.firstOpen[c.holes[n-1]] <= c.firstOpen["none"] {
		say("the ladder does not go down at its end")
	}
	// Common practice: the Boehm clarinet has 17 keys besides thumb and six holes.
	if plain := 7; c.Instrument == "clarinet" && len(c.Keys)-plain != 17 {
		say("there are %d keys, not 17", len(c.Keys)-plain)
	}
}

// rowAnomalies looks at a single row.
func (c *Chart) rowAnomalies(row *Fingering, say func(string, ...any)) {
	m := row.Pitch.Cents() / 100
	if sources := slices.DeleteFunc(slices.Clone(row.Sources), func(s string) bool { return s == "mem" }); row.Sure == Agreed && len(set(sources)) < 2 {
		say("class A with one source")
	}
	for f := Finger(0); f < fingers; f++ {
		if held := row.set & c.masks[f]; held.len() > 1 && !c.oneFinger(held) {
			say("the %s is on %s", f.Words(), c.Down(row, f))
		}
	}
	registered := row.set&c.registers != 0
	switch {
	case row.free:
	case c.Instrument == "clarinet" && c.has(row, "R", "T") && row.shift != 19 && row.shift != 28:
		say("register key and a shift of %d", row.shift)
	case (c.Instrument == "oboe" || c.Instrument == "saxophone") && registered != (row.shift != 0):
		say("register key and shift do not agree")
	}
	if c.Instrument == "clarinet" && !c.has(row, "R") && row.shift != 0 {
		say("a shift without the register key")
	}
	if row.free {
		return
	}
	if p, ok := c.predict(row); ok && p != m {
		say("the keys give a note %d semitones off", p-m)
	}
	// What stays down through a stretch of the range.
	flat := m != 60 && m != 61 && m != 62 && m != 74 && m <= 93
	if c.Instrument == "flute" && c.has(row, "Eb") != flat && !(row.Pitch.String() == "E6" && row.Pref > 0) {
		say("the E flat key against the rule")
	}
	if whisper := m >= 41 && m <= 56; c.Instrument == "bassoon" && m != 49 && c.has(row, "W") != whisper {
		say("the whisper key against the rule")
	}
	if first, below := c.firstHole(row); row.fork && first != "none" && !below {
		say("a fork without a closed hole below")
	}
}

func (c *Chart) has(row *Fingering, ids ...string) bool {
	return !slices.ContainsFunc(ids, func(id string) bool { i, ok := c.index[id]; return !ok || row.set&(1<<i) == 0 })
}

// oneFinger reports whether one finger may be on these keys in a chart: a pair made
// for it, side keys, or what a table of exceptions has.
func (c *Chart) oneFinger(held keySet) bool {
	var ids []string
	sides := 0
	for i, k := range c.Keys {
		if held&(1<<i) == 0 {
			continue
		}
		ids = append(ids, k.ID)
		if k.Side {
			sides++
		}
		if with, ok := c.index[k.With]; ok && held&(1<<with) != 0 {
			return true
		}
	}
	slices.Sort(ids)
	for _, pair := range [][]string{{"1", "O2"}, {"1h", "O2"}, {"lD", "tC#"}} {
		if slices.Equal(ids, pair) {
			return true
		}
	}
	return sides == len(ids) || !slices.ContainsFunc(ids, func(id string) bool { return id != "pD" && id != "pEb" && id != "1" })
}

// acting are the keys that count for the pitch: those pressed for no other reason,
// and those opened as a vent, which count as closed.
func (c *Chart) acting(row *Fingering) keySet {
	out := row.set
	for _, id := range row.mute {
		out &^= 1 << c.index[id]
	}
	for _, id := range row.vent {
		out |= 1 << c.index[id]
	}
	return out
}

// firstHole is the first hole left open from the top, and whether one below it is
// closed.
func (c *Chart) firstHole(row *Fingering) (first string, below bool) {
	closed := c.closed(c.acting(row))
	first = "none"
	for _, hole := range c.holes {
		switch shut := slices.Contains(closed, hole); {
		case first == "none" && !shut:
			first = hole
		case first != "none" && shut:
			below = true
		}
	}
	return first, below
}

// predict is the note that a row's keys give, as a MIDI number.
func (c *Chart) predict(row *Fingering) (int, bool) {
	first, _ := c.firstHole(row)
	p, ok := c.firstOpen[first]
	if !ok {
		return 0, false
	}
	acting := c.acting(row)
	down := func(id string) bool { i, ok := c.index[id]; return ok && acting&(1<<i) != 0 }
	for _, pair := range c.pairs {
		if !slices.ContainsFunc(pair.keys, func(id string) bool { return !down(id) }) {
			for _, note := range slices.Sorted(maps.Keys(pair.opens)) {
				if p == note {
					p += pair.opens[note]
				}
			}
		}
	}
	lifted := map[int]bool{}
	for again := true; again; {
		again = false
		for i, k := range c.Keys {
			if acting&(1<<i) == 0 || lifted[i] {
				continue
			}
			if by, ok := k.Opens[p]; ok {
				p += by
				lifted[i], again = true, true
			}
		}
	}
	if row.fork {
		p--
	}
	return p + row.lift + row.shift, true
}
