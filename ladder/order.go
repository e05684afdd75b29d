package ladder

import (
	"fmt"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder/counted"
)

// Order is how a routine goes through its steps: the zero value one after the other,
// each until it is done; else in turns of so many reps or minutes, round and round.
//
// For some players what was practised in turns holds better (C. Carter and J. Grahn,
// "Optimizing Music Learning: Exploring How Blocked and Interleaved Practice Schedules
// Affect Advanced Performance", Frontiers in Psychology 7, 2016); other studies found
// no difference, so it is a choice.
type Order struct {
	Reps, Minutes int // of a turn; at most one of them is above 0
}

// MaxTurn is the most reps or minutes of a turn.
const MaxTurn = 99

// Mixed reports whether steps are taken in turns.
func (o Order) Mixed() bool { return o != Order{} }

const (
	listedWords = "as listed"
	mixedWords  = "mixed, "
)

// String is the order in words, as in a routine file: "as listed", "mixed, 3 reps",
// "mixed, 5 minutes".
func (o Order) String() string {
	if o.Mixed() {
		return mixedWords + o.Turn()
	}
	return listedWords
}

// Turn is how much a turn is, in words: "3 reps", "5 minutes". There is none in the
// zero value.
func (o Order) Turn() string {
	switch {
	case o.Reps > 0:
		return counted.Of(o.Reps, "rep")
	case o.Minutes > 0:
		return counted.Of(o.Minutes, "minute")
	}
	return ""
}

// ParseOrder reads what [Order.String] writes.
func ParseOrder(s string) (Order, error) {
	words := strings.Fields(strings.ReplaceAll(s, ",", " "))
	bad := fmt.Errorf("%s is not an order; write as listed, mixed, 3 reps or mixed, 5 minutes", quoted(s))
	switch {
	case strings.Join(words, " ") == listedWords:
		return Order{}, nil
	case len(words) == 1 && words[0] == "mixed":
		return Order{Reps: 3}, nil
	case len(words) != 3 || words[0] != "mixed":
		return Order{}, bad
	}
	n, err := strconv.Atoi(words[1])
	switch unit := strings.TrimSuffix(words[2], "s"); {
	case err != nil || unit != "rep" && unit != "minute":
		return Order{}, bad
	case n < 1 || n > MaxTurn:
		return Order{}, fmt.Errorf("%d %s is out of range; write 1 to %d", n, words[2], MaxTurn)
	case unit == "rep":
		return Order{Reps: n}, nil
	default:
		return Order{Minutes: n}, nil
	}
}

func (o Order) check() []Fault {
	if o.Reps < 0 || o.Minutes < 0 || o.Reps > MaxTurn || o.Minutes > MaxTurn || o.Reps > 0 && o.Minutes > 0 {
		return []Fault{{"order", fmt.Sprintf("a turn of %d reps and %d minutes", o.Reps, o.Minutes), fmt.Sprintf("write 1 to %d reps or minutes", MaxTurn)}}
	}
	return nil
}

// turn is how much of its turn the step under way has had.
type turn struct {
	reps   int
	micros int64 // of its reps, with their breaths, in microseconds
}

// with is the turn after a rep more, with what follows it.
func (t turn) with(l click.Loop, tempo click.Tempo) turn {
	beats := int64(l.RepBeats() + l.Breath)
	return turn{t.reps + 1, t.micros + beats*60_000_000_000/int64(tempo)}
}

// over reports whether the turn is.
func (t turn) over(o Order) bool {
	return o.Reps > 0 && t.reps >= o.Reps || o.Minutes > 0 && t.micros >= int64(o.Minutes)*60_000_000
}

// left is how much of a turn is left after the rep under way, in words; empty where
// nothing is, or where there are no turns.
func (t turn) left(o Order) string {
	const minute = 60_000_000
	if n := o.Reps - t.reps; n > 0 {
		return counted.Of(n, "more rep")
	}
	if n := (int64(o.Minutes)*minute - t.micros + minute - 1) / minute; n > 0 {
		return counted.Of(int(n), "more minute")
	}
	return ""
}

// turned goes on to the step whose turn it is. Where none is left it stays.
func (s State) turned() State {
	if !s.turn.over(s.Routine.Order) && !s.doneForGood() {
		return s
	}
	if next := s.NextStep(); next >= 0 {
		return s.at(next)
	}
	return s
}

// NextStep is the index of the step that comes after the one under way: the next of the
// list, or, in turns, round, the next that is not done; -1 where there is none.
func (s State) NextStep() int {
	n := len(s.Routine.Steps)
	if !s.Routine.Order.Mixed() {
		if s.StepAt+1 < n {
			return s.StepAt + 1
		}
		return -1
	}
	for k := 1; k < n; k++ {
		if next := (s.StepAt + k) % n; !s.stepDone(next) {
			return next
		}
	}
	return -1
}

// doneForGood reports whether the step under way is done and ends by itself.
func (s State) doneForGood() bool { return s.Standing.Done && s.endsByItself() }

// stepDone reports whether a step that is not under way is done for good.
func (s State) stepDone(i int) bool {
	if i >= len(s.others) || !s.others[i].Done {
		return false
	}
	return s.HandsFree || s.Routine.Steps[i].Rule.Kind.counts()
}

// allDone reports whether no step is left to practise.
func (s State) allDone() bool {
	for i := range s.Routine.Steps {
		if i != s.StepAt && !s.stepDone(i) {
			return false
		}
	}
	return s.doneForGood()
}
