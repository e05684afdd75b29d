package export

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"footing/audio/click"
	"footing/ladder"
)

// Piece is what one file holds.
type Piece struct {
	// Routine is what is played.
	Routine ladder.Routine
	// Title names it: "Weir Street run, 76 bpm".
	Title string
	// fades are the levels of a model that fades from rung to rung, by the name of the
	// step, where the ladders are cut into their rungs.
	fades map[string]float32
}

// Whole is all of a routine.
func Whole(r ladder.Routine) Piece { return Piece{Routine: r, Title: r.Name} }

// Steps are the steps of a routine, each with its whole ladder.
func Steps(r ladder.Routine) []Piece {
	out := make([]Piece, len(r.Steps))
	for i, s := range r.Steps {
		out[i] = Piece{Routine: only(r, s), Title: s.Name}
	}
	return out
}

// Rungs are the rungs of a routine's steps, from the lowest to the goal, each with the
// reps of the step, whatever its rule.
func Rungs(r ladder.Routine) []Piece {
	var out []Piece
	for _, s := range r.Steps {
		rungs := slices.Compact(s.Tempo.Rungs())
		for i, t := range rungs {
			fade := float32(1)
			if len(rungs) > 1 {
				fade = 1 - float32(i)/float32(len(rungs)-1)
			}
			out = append(out, Piece{only(r, at(s, t)), fmt.Sprintf("%s, %s bpm", s.Name, t), map[string]float32{s.Name: fade}})
		}
	}
	return out
}

// Rung is the one rung of all steps that have it: their reps at that tempo. Where none
// has, the error says what rungs there are.
func Rung(r ladder.Routine, t click.Tempo) ([]Piece, error) {
	var out []Piece
	for _, p := range Rungs(r) {
		if p.Routine.Steps[0].Tempo.Goal == t {
			out = append(out, p)
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	var said []string
	for _, s := range r.Steps {
		var rungs []string
		for _, t := range s.Tempo.Rungs() {
			rungs = append(rungs, t.String())
		}
		if n := len(rungs); n > 12 {
			rungs = append(append(rungs[:5:5], "…"), rungs[n-3:]...)
		}
		said = append(said, fmt.Sprintf("%q: %s", s.Name, strings.Join(rungs, ", ")))
	}
	if n := len(said); n > 4 {
		said = append(said[:3:3], fmt.Sprintf("and those of %d more steps", n-3))
	}
	return nil, fmt.Errorf("no step has a rung of %s bpm; the rungs are %s", t, strings.Join(said, "; "))
}

// Joined is rungs in one: their steps one after the other. There is at least one.
func Joined(pieces []Piece) Piece {
	out := pieces[0]
	out.Routine.Steps, out.fades = nil, map[string]float32{}
	for _, p := range pieces {
		out.Routine.Steps = append(out.Routine.Steps, p.Routine.Steps...)
		maps.Copy(out.fades, p.fades)
	}
	if len(pieces) > 1 {
		out.Title = fmt.Sprintf("%s, %s bpm", out.Routine.Name, out.Routine.Steps[0].Tempo.Goal)
	}
	return out
}

// only is a routine of one step.
func only(r ladder.Routine, s ladder.Step) ladder.Routine {
	r.Steps = []ladder.Step{s}
	r.Order = ladder.Order{}
	return r
}

// at is a step whose ladder has one rung.
func at(s ladder.Step, t click.Tempo) ladder.Step {
	s.Tempo.From, s.Tempo.Below, s.Tempo.Goal = t, 0, t
	s.Rule.Kind = ladder.Steady
	return s
}

// longestName bounds the bytes of a title in the name of a file: file systems have room
// for 255 in all.
const longestName = 160

// FileName is a name for the nth of count pieces, from 1, that sorts as the pieces do:
// "03 Weir Street run, 76 bpm.flac".
func FileName(n, count int, title string, k Kind) string {
	return fmt.Sprintf("%0*d %s.%s", max(2, len(fmt.Sprint(count))), n, Safe(title), k)
}

// Safe is a title as any player's file system takes it for a name, with room for an end:
// without what Windows, FAT and exFAT keep for themselves (Microsoft, "Naming Files,
// Paths, and Namespaces").
func Safe(title string) string {
	safe := strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune(`<>:"/\|?*`, r):
			return '-'
		case unicode.In(r, unicode.C) || r == utf8.RuneError:
			return -1
		}
		return r
	}, title)
	for len(safe) > longestName {
		_, size := utf8.DecodeLastRuneInString(safe)
		safe = safe[:len(safe)-size]
	}
	return strings.TrimRight(safe, ". ")
}
