package journal

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"footing/ladder"
	"footing/ladder/counted"
	past "footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ui/window/draw"
	"footing/ui/window/look"
)

// title is what the header says of a step.
func title(p past.Place, d *past.Due) (name, sub, count string) {
	if d == nil {
		return "Journal", "", ""
	}
	sub = d.Piece
	if d.From > 0 {
		if sub != "" {
			sub += ", "
		}
		sub += bars(d.From, d.To)
	}
	return p.Step, sub, ""
}

func bars(from, to int) string {
	if from == to {
		return fmt.Sprintf("bar %d", from)
	}
	return fmt.Sprintf("bars %d–%d", from, to)
}

// show shows everything as it is now.
func (v *View) show() {
	today := past.DayOf(v.o.Clock())
	v.p.divider.FillColor = look.Current().Hair
	v.p.divider.Refresh()
	v.p.due.Set(dueModel(v.due, v.selected))
	l := v.loaded
	if l.place != v.selected {
		l = loaded{place: v.selected, today: today, each: l.each}
	}
	v.p.minutes.Set(minutesModel(l))
	d := v.at()
	v.p.days.Set(daysModel(l, d, v.cursor))
	v.p.shares.Set(sharesModel(l))
	rows := logRows(l)
	empty := "Sessions and pencil marks will stand here"
	if l.text != "" {
		empty = fmt.Sprintf("“%s” is in no pencil mark, piece or step", l.text)
	}
	v.p.log.Set(draw.LogModel{Rows: rows, First: v.first, Empty: empty})
	caption := draw.CaptionModel{Words: v.said, Warm: v.warm}
	if l.err != nil && v.said == "" {
		caption.Words, caption.Warm = l.err.Error(), true
	}
	if caption.Words == "" {
		if l.text != "" {
			caption.Strong = "“" + l.text + "”"
		}
		caption.Hints = []draw.Hint{
			{Keys: []string{"↑", "↓"}, Does: "another step"}, {Keys: []string{"←", "→"}, Does: "day by day"},
			{Keys: []string{"Page Up", "Page Down"}, Does: "what was done"},
		}
	}
	v.p.below.Set(caption)
	v.p.actions.Set(
		draw.Button{ID: pressPage, Label: "Lesson page", Key: "L", Share: 0.26},
		draw.Button{ID: pressWhy, Label: "Why here?", Key: "Y", Share: 0.23},
		draw.Button{ID: pressFind, Label: "Find", Key: "/", Share: 0.17},
		draw.Button{ID: pressPractise, Label: "Practise", Key: "Enter", Filled: true, Share: 0.28},
	)
}

func dueModel(due []past.Due, selected past.Place) draw.DueModel {
	m := draw.DueModel{Title: "Due today", Selected: -1, Empty: "Whatever you practise will be listed here, the most urgent first: by how long since, and how far from the goal."}
	for i, d := range due {
		if d.Place == selected {
			m.Selected = i
		}
		where := d.Piece
		if d.From > 0 {
			where = strings.TrimPrefix(where+", "+bars(d.From, d.To), ", ")
		}
		r := draw.DueRow{Name: d.Place.Step, Where: where, Since: past.Since(d.Days)}
		switch {
		case d.Met():
			r.Value = "goal met"
		case d.Start != 0 && d.Days > 0:
			r.Value = d.Start.String() + ", then on"
		case d.Best != 0:
			r.Value = fmt.Sprintf("%s of %s", d.Best, d.Goal)
		}
		m.Rows = append(m.Rows, r)
	}
	return m
}

func minutesModel(l loaded) draw.MinutesModel {
	m := draw.MinutesModel{Title: "Minutes looped", First: fmt.Sprintf("%d weeks", weeks), Last: "today"}
	first := l.today - 7*weeks + 1
	m.Minutes = make([]float64, 7*weeks)
	// The week begins on Monday (ISO 8601).
	monday := l.today - past.Day((int(l.today.Time().Weekday())+6)%7)
	m.This = int(monday - first)
	week, most := time.Duration(0), time.Duration(0)
	for _, d := range l.each {
		if i := int(d.Day - first); i >= 0 && i < len(m.Minutes) {
			m.Minutes[i] = d.Looped.Minutes()
			most = max(most, d.Looped)
		}
		if d.Day >= monday {
			week += d.Looped
		}
	}
	if most > 0 {
		m.Most = minutes(most)
	}
	m.Sum = "this week " + minutes(week)
	return m
}

// minutes are whole ones; what is less than half a one is still not nothing.
func minutes(d time.Duration) string {
	if whole := d.Round(time.Minute); whole > 0 || d <= 0 {
		return strconv.Itoa(int(whole.Minutes()))
	}
	return "<1"
}

func daysModel(l loaded, d *past.Due, cursor int) draw.DaysModel {
	m := draw.DaysModel{Title: "Tempo by day", Cursor: -1, Empty: "Give reps a verdict, and the best clean tempo of each day is drawn here, with the footing and the goal."}
	switch l.span {
	case 0, 1:
	case 7:
		m.Title = "Tempo by week"
	default:
		m.Title = fmt.Sprintf("Tempo by %d weeks", l.span/7)
	}
	if len(l.days) == 0 {
		return m
	}
	first, last := l.days[0].Day, l.days[len(l.days)-1].Day
	m.Title += " since " + strings.TrimPrefix(dayWords(first, l.today, 1), first.Time().Format("Mon "))
	m.Span = float64(last - first)
	for _, p := range l.days {
		m.Points = append(m.Points, draw.DayPoint{At: float64(p.Day - first), Best: p.Best.BPM(), Footing: p.Footing.BPM()})
	}
	m.Ticks = ticks(first, last)
	if d != nil {
		m.Goal = d.Goal.BPM()
	}
	if cursor >= 0 && cursor < len(l.days) {
		m.Cursor = cursor
		p := l.days[cursor]
		m.Said = dayWords(p.Day, l.today, l.span) + ": " + strings.Join(figures(p.Tally), " · ")
	}
	return m
}

// dayWords names the day, or the days, of a point.
func dayWords(d, today past.Day, span int) string {
	t := d.Time()
	text := t.Format("Mon 2 January")
	if t.Year() != today.Time().Year() {
		text += t.Format(" 2006")
	}
	switch span {
	case 0, 1:
		return text
	case 7:
		return "week of " + text
	}
	return "from " + text
}

// figures are what a tally says.
func figures(t past.Tally) []string {
	var out []string
	if t.Best != 0 {
		out = append(out, "best clean "+t.Best.String())
	}
	if t.Footing != 0 {
		out = append(out, "footing "+t.Footing.String())
	}
	return append(out, worked(t)...)
}

func worked(t past.Tally) []string {
	return []string{fmt.Sprintf("%s, %d clean", counted.Of(t.Reps, "rep"), t.Clean), length(t.Looped)}
}

func length(d time.Duration) string {
	if d < time.Minute {
		return fmt.Sprintf("%d s", int(d.Seconds()))
	}
	return fmt.Sprintf("%d min", int(d.Round(time.Minute).Minutes()))
}

// ticks are dates on Mondays, or on the first of months where there are too many.
func ticks(first, last past.Day) []draw.DayTick {
	var out []draw.DayTick
	add := func(d past.Day, layout string) {
		out = append(out, draw.DayTick{At: float64(d - first), Label: d.Time().Format(layout)})
	}
	switch days := int(last - first); {
	case days < 7:
		add(first, "2 Jan")
		if last > first {
			add(last, "2 Jan")
		}
	case days < 120:
		step := past.Day(7 * (1 + days/60))
		for d := first; d <= last; d += step {
			add(d, "2 Jan")
		}
	default:
		for t := first.Time(); past.DayOf(t) <= last; t = t.AddDate(0, 1, 1-t.Day()) {
			if t.Day() == 1 {
				add(past.DayOf(t), "Jan 2006")
			}
		}
	}
	return out
}

func sharesModel(l loaded) draw.SharesModel {
	if !l.there {
		return draw.SharesModel{}
	}
	return Shares(l.step, l.chunks)
}

// Shares is how far each beat of a step's passage has come: the best clean tempo of
// it as a share of the goal.
func Shares(step ladder.Step, chunks []past.ChunkBest) draw.SharesModel {
	m := draw.SharesModel{Title: "Beat by beat, best clean as a share of the goal"}
	measures, err := step.Measures()
	if err != nil {
		return draw.SharesModel{}
	}
	first := measures.Start().Floor()
	for _, best := range past.Beats(step, chunks) {
		m.Beats = append(m.Beats, best.BPM()/step.Tempo.Goal.BPM())
		label := ""
		if best != 0 {
			label = best.String()
		}
		m.Labels = append(m.Labels, label)
	}
	for n := measures.From(); n <= measures.To(); n++ {
		m.Bars = append(m.Bars, draw.ShareBar{At: measures.Line(n) - first, Label: strconv.Itoa(n)})
	}
	start := step.ChunkStart()
	m.From, m.To = start.Floor()-first, start.Add(step.Chunk.Length).Ceil()-first
	return m
}

// logRows are the lines of what was done.
func logRows(l loaded) []draw.LogRow {
	var out []draw.LogRow
	for _, d := range l.latest {
		text := ""
		if d.Tally.Reps > 0 {
			parts := []string{length(d.Tally.Looped), worked(d.Tally)[0]}
			if d.Tally.Best != 0 {
				parts = append(parts, "best "+d.Tally.Best.String())
			}
			if d.Tally.Footing != 0 {
				parts = append(parts, "footing "+d.Tally.Footing.String())
			}
			text = strings.Join(parts, " · ")
		}
		if l.text != "" {
			text = strings.TrimSuffix(d.Name+" · "+text, " · ")
		}
		out = append(out, draw.LogRow{Day: dayName(d.Day, l.today), Text: text})
		out = append(out, markRows(d)...)
	}
	return out
}

func dayName(d, today past.Day) string {
	name := d.Short(today)
	return strings.ToUpper(name[:1]) + name[1:]
}

func markRows(d journalfile.DayOfStep) []draw.LogRow {
	var out []draw.LogRow
	for _, m := range d.Marks {
		text := strings.ReplaceAll(m.Text, "\n", " / ")
		if m.On != "" {
			text = m.On + " " + text
		}
		out = append(out, draw.LogRow{Text: text, Pencil: true})
	}
	return out
}
