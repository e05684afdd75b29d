package journal

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

// What is due comes in the order of the days since, counted up to double the
// farther a step is from its goal; what was put aside comes last.
func TestDueOn(t *testing.T) {
	history := func(name string, ago, best, goal int) History {
		h := History{Place: Place{"a.yaml", name}, Goal: click.BPM(goal)}
		if ago >= 0 {
			h.Last = today - Day(ago)
		}
		if best > 0 {
			h.Days = []DayTally{onDay(ago, best)}
		}
		return h
	}
	stood := history("left", 5, 84, 104)
	stood.Stood = ladder.Bookmark{Ladder: march.Step(nil).Tempo, Tempo: click.BPM(88)}
	all := []History{
		history("never", -1, 0, 100),
		history("today", 0, 50, 100),
		history("met", 6, 100, 100),   // 6
		history("near", 5, 90, 100),   // 5.5
		history("far", 4, 50, 100),    // 6
		history("no clean", 4, 0, 80), // 8
		history("aside", 100, 50, 100),
		stood, // 5.96
	}
	var got []string
	for _, d := range DueOn(all, DefaultStart, today) {
		got = append(got, fmt.Sprintf("%s %d %v %s", d.Place.Step, d.Days, d.Met(), d.Start))
	}
	want := "no clean 4 false 0, far 4 false 0, met 6 true 0, left 5 false 76, near 5 false 0, today 0 false 0, aside 100 false 0"
	if strings.Join(got, ", ") != want {
		t.Errorf("due are %s\nwant %s", strings.Join(got, ", "), want)
	}
}

func TestPoints(t *testing.T) {
	var days []DayTally
	for d := range 100 {
		days = append(days, DayTally{Day(20_000 + 2*d), Tally{Reps: 1, Best: click.BPM(60 + d)}})
	}
	for _, tt := range []struct{ most, span int }{{100, 1}, {99, 7}, {30, 7}, {20, 49}, {1, 343}, {0, 343}} {
		points, span := Points(days, tt.most)
		reps := 0
		for i, p := range points {
			reps += p.Reps
			if i > 0 && p.Day <= points[i-1].Day {
				t.Errorf("at most %d: the points are not in order", tt.most)
			}
		}
		if span != tt.span && tt.most > 1 || reps != 100 || len(points) > max(tt.most, 1) && span < 40_000 {
			t.Errorf("at most %d: %d points of %d days, %d reps", tt.most, len(points), span, reps)
		}
	}
	if points, span := Points(nil, 10); len(points) != 0 || span != 1 {
		t.Errorf("of nothing: %v, %d", points, span)
	}
}

func TestSince(t *testing.T) {
	for days, want := range map[int]string{0: "practised today", 1: "since yesterday", 13: "since 13 days", 14: "since 2 weeks", 30: "since 4 weeks"} {
		if got := Since(days); got != want {
			t.Errorf("%d days: %q", days, got)
		}
	}
}
