package journal

import (
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

var today = DayOf(time.Date(2026, 3, 12, 9, 0, 0, 0, time.UTC)) // a Thursday

func onDay(ago, best int) DayTally { return DayTally{today - Day(ago), Tally{Best: click.BPM(best)}} }

func TestWhereTheDayStarts(t *testing.T) {
	at := func(n int) ladder.Bookmark { // the ladder is 64, 68 … 104
		s := march.Step(nil)
		return ladder.Bookmark{Ladder: s.Tempo, Rule: s.Rule.Kind, Tempo: click.BPM(n)}
	}
	ago := func(days int) time.Time { return time.Date(2026, 3, 12-days, 9, 0, 0, 0, time.UTC) }
	for _, tt := range []struct {
		name string
		edit func(*ladder.Step)
		rule StartRule
		h    History
		want int // 0 for the lowest rung, without a bookmark
		why  string
	}{
		{"never played", nil, DefaultStart, History{}, 0, "No clean rep is known from another day: the ladder begins at its lowest rung"},
		{"yesterday", nil, DefaultStart, History{Days: []DayTally{onDay(1, 84)}, Last: today - 1, Stood: at(88), LeftAt: ago(1)},
			76, "Best clean 84 yesterday: two rungs below is 76"},
		{"on Monday", nil, DefaultStart, History{Days: []DayTally{onDay(3, 84)}, Last: today - 3, Stood: at(88), LeftAt: ago(3)},
			76, "Best clean 84 on Monday: two rungs below is 76"},
		{"six days ago", nil, DefaultStart, History{Days: []DayTally{onDay(6, 84)}, Last: today - 6},
			76, "Best clean 84 on Friday: two rungs below is 76"},
		{"a week ago", nil, DefaultStart, History{Days: []DayTally{onDay(7, 84)}, Last: today - 7},
			72, "Best clean 84 on 5 March: three rungs below, for a week is 72"},
		{"three weeks ago", nil, DefaultStart, History{Days: []DayTally{onDay(22, 104)}, Last: today - 22},
			84, "Best clean 104 on 18 February: five rungs below, for 3 weeks is 84"},
		{"a year ago", nil, DefaultStart, History{Days: []DayTally{onDay(365, 104)}, Last: today - 365},
			80, "Best clean 104 on 12 March 2025: six rungs below, the most for any pause is 80"},
		{"near the foot", nil, DefaultStart, History{Days: []DayTally{onDay(1, 68)}, Last: today - 1},
			64, "Best clean 68 yesterday: two rungs below or the lowest there is: 64"},
		{"under the ladder", nil, DefaultStart, History{Days: []DayTally{onDay(1, 50)}, Last: today - 1},
			64, "Best clean 50 yesterday: two rungs below or the lowest there is: 64"},
		{"off the ladder", nil, DefaultStart, History{Days: []DayTally{onDay(1, 82)}, Last: today - 1},
			72, "Best clean 82 yesterday: two rungs below is 72"},
		{"over the goal", nil, DefaultStart, History{Days: []DayTally{onDay(1, 120)}, Last: today - 1},
			96, "Best clean 120 yesterday: two rungs below is 96"},
		{"today", nil, DefaultStart, History{Days: []DayTally{onDay(0, 88), onDay(1, 84)}, Last: today, Stood: at(88), LeftAt: ago(0)},
			88, "Here, at 88, is where this step was left today"},
		{"begun anew today", nil, DefaultStart, History{Days: []DayTally{onDay(0, 88)}, Last: today, LeftAt: ago(0)},
			0, "This step begins anew: it stood at its start today"},
		{"without a clean rep", nil, DefaultStart, History{Last: today - 2, Stood: at(72), LeftAt: ago(2)},
			72, "Here, at 72, is where this step was left on Tuesday"},
		{"in turns", func(s *ladder.Step) { s.Rule.Kind = ladder.Leap }, DefaultStart,
			History{Days: []DayTally{onDay(1, 104)}, Last: today - 1, Stood: at(68), LeftAt: ago(1)},
			68, "Here, at 68, is where this step was left yesterday"},
		{"the player's own rule", nil, StartRule{Below: 1, Most: 1}, History{Days: []DayTally{onDay(30, 84)}, Last: today - 30},
			80, "Best clean 84 on 10 February: one rung below is 80"},
		{"no rung below", nil, StartRule{}, History{Days: []DayTally{onDay(30, 84)}, Last: today - 30},
			84, "Best clean 84 on 10 February: the same rung again is 84"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			step := march.Step(tt.edit)
			got, why := tt.rule.Start(step, tt.h, today)
			if got.Tempo != click.BPM(tt.want) || why != tt.why {
				t.Errorf("starts at %s: %s\nwant %d: %s", got.Tempo, why, tt.want, tt.why)
			}
		})
	}
}

// A footing that was found under settle stays found.
func TestAFoundFootingStaysFound(t *testing.T) {
	step := march.Step(func(s *ladder.Step) { s.Rule.Kind = ladder.Settle })
	h := History{Days: []DayTally{onDay(1, 84)}, Last: today - 1, Stood: ladder.Bookmark{
		Ladder: step.Tempo, Rule: ladder.Settle, Tempo: click.BPM(88), Footing: click.BPM(72), Settled: true,
	}}
	got, _ := DefaultStart.Start(step, h, today)
	if !got.Settled || got.Footing != click.BPM(72) || got.Tempo != click.BPM(76) {
		t.Errorf("goes on at %+v", got)
	}
	step.Rule.Kind = ladder.Earned
	if got, _ := DefaultStart.Start(step, h, today); got.Settled {
		t.Error("settled under another rule")
	}
}
