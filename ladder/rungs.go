package ladder

import (
	"fmt"
	"slices"

	"footing/audio/click"
)

// marks are the 39 tempo marks engraved on metronomes: up from 40 by 2, from
// 60 by 3, from 72 by 4, from 120 by 6 and from 144 by 8, to 208 ("Metronome
// Scale", horn list, msg29183 and msg29184).
var marks = [39]int{
	40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92,
	96, 100, 104, 108, 112, 116, 120, 126, 132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208,
}

// Marks returns the 39 traditional tempo marks in bpm, slowest first.
func Marks() []int { return append([]int(nil), marks[:]...) }

// MaxRungs is the most rungs that a ladder may have.
const MaxRungs = 400

// up is the rung above t, without regard to any goal. ok is false when there
// is none.
func (s StepSize) up(t click.Tempo) (next click.Tempo, ok bool) {
	switch s.Kind {
	case ByMarks:
		for _, m := range marks {
			if click.BPM(m) > t {
				return click.BPM(m), true
			}
		}
		return t, false
	case ByPercent:
		next = max(t+tenth, tenths(int64(t)*(100_000+s.Amount), 100_000))
	default:
		next = t + click.Tempo(s.Amount)
	}
	return next, next <= click.MaxTempo
}

// tenth is a tenth of a bpm: rungs by percent are rounded to it, since nobody
// can use more decimals and a fiftieth of the smallest audible change is far
// below hearing.
const tenth click.Tempo = 100

// tenths is num/den rounded to a tenth of a bpm.
func tenths(num, den int64) click.Tempo {
	unit := den * int64(tenth)
	return click.Tempo((num+unit/2)/unit) * tenth
}

// Down is the rung below t, without regard to the start of any ladder. ok is
// false where that would leave 10 bpm. Below the slowest mark the marks go on
// by 2 bpm.
func (s StepSize) Down(t click.Tempo) (next click.Tempo, ok bool) {
	switch s.Kind {
	case ByMarks:
		next = t - 2000
		for _, m := range marks {
			if click.BPM(m) < t {
				next = click.BPM(m)
			}
		}
	case ByPercent:
		next = min(t-tenth, tenths(int64(t)*100_000, 100_000+s.Amount))
	default:
		next = t - click.Tempo(s.Amount)
	}
	return next, next >= click.MinTempo
}

// Rungs are the tempos of the ladder, slowest first, ending exactly on the
// goal. The range must be valid.
func (r Range) Rungs() []click.Tempo {
	if r.From == 0 {
		rungs := []click.Tempo{r.Goal}
		for t := r.Goal; len(rungs) <= r.Below; {
			below, ok := r.By.Down(t)
			if !ok {
				break
			}
			t = below
			rungs = append(rungs, t)
		}
		slices.Reverse(rungs)
		return rungs
	}
	var rungs []click.Tempo
	for t := r.From; t < r.Goal && len(rungs) < MaxRungs; {
		if len(rungs) > 0 && r.By.Kind == ByPercent && r.Goal-t <= 2*tenth {
			break // nothing but rounding parts it from the goal
		}
		rungs = append(rungs, t)
		next, ok := r.By.up(t)
		if !ok {
			break
		}
		t = next
	}
	return append(rungs, r.Goal)
}

func (r Range) check() []Fault {
	bounds := fmt.Sprintf("write %s to %s bpm", click.MinTempo, click.MaxTempo)
	var out []Fault
	if !r.Goal.Valid() {
		return append(out, Fault{"goal", fmt.Sprintf("a goal of %s bpm cannot be played", r.Goal), bounds})
	}
	switch {
	case r.By.Kind > ByMarks:
		out = append(out, Fault{"step", "the rungs have no spacing", "write a step such as 4 bpm, 5% or marks"})
	case r.By.Kind == ByBPM && (r.By.Amount < 100 || r.By.Amount > 100_000):
		out = append(out, Fault{"step", fmt.Sprintf("a step of %s", r.By), "write 0.1 bpm to 100 bpm"})
	case r.By.Kind == ByPercent && (r.By.Amount < 100 || r.By.Amount > 100_000):
		out = append(out, Fault{"step", fmt.Sprintf("a step of %s", r.By), "write 0.1% to 100%"})
	}
	if len(out) > 0 {
		return out
	}
	switch {
	case r.From == 0 && (r.Below < 1 || r.Below >= MaxRungs):
		out = append(out, Fault{"from", fmt.Sprintf("%d rungs below", r.Below), fmt.Sprintf("write 1 to %d rungs below", MaxRungs-1)})
	case r.From == 0 && len(r.Rungs()) == 1:
		out = append(out, Fault{"goal", fmt.Sprintf("there is no rung below a goal of %s", r.Goal), "write a higher goal or a smaller step"})
	case r.From == 0 && len(r.Rungs()) <= r.Below:
		out = append(out, Fault{"from", fmt.Sprintf("%d rungs below %s leads under %s bpm", r.Below, r.Goal, click.MinTempo), fmt.Sprintf("write at most %d rungs below", len(r.Rungs())-1)})
	case r.From != 0 && !r.From.Valid():
		out = append(out, Fault{"from", fmt.Sprintf("a start of %s bpm cannot be played", r.From), bounds})
	case r.From > r.Goal:
		out = append(out, Fault{"goal", fmt.Sprintf("the goal %s is under the start %s", r.Goal, r.From), "write a goal at or above the start"})
	case r.From != 0 && len(r.Rungs()) > MaxRungs:
		out = append(out, Fault{"step", fmt.Sprintf("a step of %s makes more than %d rungs", r.By, MaxRungs), "write a larger step"})
	}
	return out
}
