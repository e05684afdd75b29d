package journal

import "strconv"

// Points are days put together so that there are at most most of them: single days,
// or else weeks or more, each under its first day that is in days. days come in
// order.
func Points(days []DayTally, most int) (points []DayTally, span int) {
	for span = 1; ; span *= 7 {
		points = nil
		for _, d := range days {
			if n := len(points); n > 0 && int(points[n-1].Day)/span == int(d.Day)/span {
				points[n-1].Tally = points[n-1].Add(d.Tally)
				continue
			}
			points = append(points, d)
		}
		if len(points) <= max(most, 1) || span > 40_000 {
			return points, span
		}
	}
}

// Since names how long ago a day was: "today", "since yesterday", "since 3 days",
// "since 2 weeks".
func Since(days int) string {
	switch {
	case days <= 0:
		return "practised today"
	case days == 1:
		return "since yesterday"
	case days < 14:
		return "since " + strconv.Itoa(days) + " days"
	}
	return "since " + strconv.Itoa(days/7) + " weeks"
}
