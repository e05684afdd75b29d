package journal

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/counted"
)

// StartRule says on which rung a step starts on another day: so many rungs under
// the best clean one of last time after a day, more for every week since, and
// never below the lowest. What was learned needs to be found again, and more so
// the longer it has rested (common practice, no source; how much differs from
// player to player, so it can be changed).
type StartRule struct {
	Below int // rungs under the best after a day, 0 to MaxBelow
	More  int // rungs more for each whole week since, 0 to MaxBelow
	Most  int // rungs under the best at the most
}

// MaxBelow bounds the numbers of a [StartRule].
const MaxBelow = 20

// DefaultStart is the rule where the player has set none.
var DefaultStart = StartRule{Below: 2, More: 1, Most: 6}

// String says where a step starts after a day: "2 rungs below best".
func (r StartRule) String() string {
	if r.Below == 0 {
		return "on the best rung"
	}
	return counted.Of(r.Below, "rung") + " below best"
}

// rungs is how many rungs under the best the step starts after so many days.
func (r StartRule) rungs(days int) int { return min(r.Below+r.More*(days/7), max(r.Most, r.Below)) }

// Start is where the step goes on today, and why. On the same day, without a clean
// rep on an earlier one, and under the rules whose way up does not hang on
// verdicts (leap and arch), that is where it was left.
func (r StartRule) Start(step ladder.Step, h History, today Day) (ladder.Bookmark, string) {
	left := h.Stood
	best, ok := h.Before(today)
	sameDay := !h.LeftAt.IsZero() && DayOf(h.LeftAt) >= today || h.Last >= today
	turns := step.Rule.Kind == ladder.Leap || step.Rule.Kind == ladder.Arch
	switch {
	case sameDay && left != (ladder.Bookmark{}):
		return left, fmt.Sprintf("Here, at %s, is where this step was left today", left.Tempo)
	case sameDay:
		return left, "This step begins anew: it stood at its start today"
	case !ok || turns:
		if left == (ladder.Bookmark{}) {
			return left, "No clean rep is known from another day: the ladder begins at its lowest rung"
		}
		return left, fmt.Sprintf("Here, at %s, is where this step was left %s", left.Tempo, on(DayOf(h.LeftAt), today))
	}
	days := int(today - best.Day)
	rungs := step.Tempo.Rungs()
	at, on := slices.BinarySearch(rungs, best.Best)
	if !on {
		at--
	}
	n := r.rungs(days)
	start := rungs[max(at-n, 0)]
	b := ladder.Bookmark{
		Ladder: step.Tempo, Rule: step.Rule.Kind, Tempo: start, Footing: left.Footing,
		Settled: left.Settled && left.Rule == step.Rule.Kind,
	}
	return b, r.why(best, days, n, start, at-n < 0, today)
}

// why says how the rule came to its rung.
func (r StartRule) why(best DayTally, days, n int, start click.Tempo, lowest bool, today Day) string {
	text := fmt.Sprintf("Best clean %s %s: ", best.Best, on(best.Day, today))
	switch weeks := days / 7; {
	case n == 0:
		text += "the same rung again"
	case weeks == 0 || r.More == 0:
		text += count(n) + " below"
	case n < r.Below+r.More*weeks:
		text += fmt.Sprintf("%s below, the most for any pause", count(n))
	default:
		text += fmt.Sprintf("%s below, for %s", count(n), weeksOf(days))
	}
	if lowest {
		return text + fmt.Sprintf(" or the lowest there is: %s", start)
	}
	return text + fmt.Sprintf(" is %s", start)
}

func count(rungs int) string {
	if rungs == 1 {
		return "one rung"
	}
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	if rungs < len(words) {
		return words[rungs] + " rungs"
	}
	return fmt.Sprintf("%d rungs", rungs)
}

func weeksOf(days int) string {
	if weeks := days / 7; weeks > 1 {
		return fmt.Sprintf("%d weeks", weeks)
	}
	return "a week"
}

// on names a day: "yesterday", "on Tuesday", "on 3 March", "on 3 March 2025".
func on(d, today Day) string {
	switch t := d.Time(); {
	case d == today:
		return "today"
	case d == today-1:
		return "yesterday"
	case d > today-7 && d < today:
		return "on " + t.Format("Monday")
	case t.Year() == today.Time().Year():
		return "on " + t.Format("2 January")
	default:
		return "on " + t.Format("2 January 2006")
	}
}

// Short names a day in a label: "yesterday", "Tue", "3 Mar", "3 Mar 2025".
func (d Day) Short(today Day) string {
	switch t := d.Time(); {
	case d == today:
		return "today"
	case d == today-1:
		return "yesterday"
	case d > today-7 && d < today:
		return t.Format("Mon")
	case t.Year() == today.Time().Year():
		return t.Format("2 Jan")
	default:
		return t.Format("2 Jan 2006")
	}
}
