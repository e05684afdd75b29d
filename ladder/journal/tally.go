package journal

import (
	"time"

	"footing/audio/click"
	"footing/ladder"
)

// Tally is what reps of one form come to.
type Tally struct {
	Reps, Clean, Rough int
	Best               click.Tempo // the fastest clean and whole rep; 0 for none
	Footing            click.Tempo // see [Count]; 0 for none
	Looped             time.Duration
}

// Count is the tally of a session's reps, oldest first, of one form. The footing
// is the fastest tempo that was clean so often in a row as the form asks for: on a
// tempo that is played again the count goes on, a rough rep begins it anew, and one
// that does not count or has no verdict changes nothing. (A rung is done after
// three right in a row: a player's own published practice, as the routine file's
// default.)
func Count(reps []Rep) Tally {
	var t Tally
	run := map[click.Tempo]int{}
	for _, r := range reps {
		t.Reps++
		t.Looped += r.Looped()
		switch r.Verdict {
		case ladder.Clean:
			t.Clean++
			if r.Whole {
				t.Best = max(t.Best, r.Tempo)
			}
			if run[r.Tempo]++; run[r.Tempo] >= r.Form.Clean {
				t.Footing = max(t.Footing, r.Tempo)
			}
		case ladder.Rough:
			t.Rough++
			run[r.Tempo] = 0
		}
	}
	return t
}

// Add is both tallies together, as of two forms or sessions.
func (t Tally) Add(u Tally) Tally {
	return Tally{
		Reps: t.Reps + u.Reps, Clean: t.Clean + u.Clean, Rough: t.Rough + u.Rough,
		Best: max(t.Best, u.Best), Footing: max(t.Footing, u.Footing), Looped: t.Looped + u.Looped,
	}
}

// DayTally is what a day's reps of a step come to.
type DayTally struct {
	Day Day
	Tally
}
