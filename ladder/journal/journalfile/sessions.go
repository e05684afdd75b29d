package journalfile

import (
	"context"
	"slices"
	"strings"
	"time"

	"footing/audio/click"
	"footing/ladder/journal"
)

// Session is a session and what was practised in it.
type Session struct {
	Start, End time.Time
	Total      journal.Tally
	Steps      []SessionStep // in the order in which the journal has met them
}

// SessionStep is a step in a session.
type SessionStep struct {
	Step  int64 // names the step to this package
	Name  string
	Piece string
	Goal  click.Tempo
	journal.Tally
}

// Sessions are the sessions that are asked for, in the order in which they began.
func (r *Reader) Sessions(ctx context.Context, which Filter) ([]Session, error) {
	rows, err := r.db.QueryContext(ctx, `SELECT e.id, e.start, e.zone, e.ended, s.id, s.name, s.piece, s.goal,
			sum(t.reps), sum(t.clean), sum(t.rough), max(t.best), max(t.footing), sum(t.looped)
		FROM session e JOIN tally t ON t.session = e.id JOIN step s ON s.id = t.step
		WHERE e.start >= ? AND (? = '' OR s.name = ? COLLATE NOCASE OR s.piece = ? COLLATE NOCASE)
		GROUP BY e.start, e.id, s.id ORDER BY e.start, e.id, s.id`, since(which.Since), which.Passage, which.Passage, which.Passage)
	if err != nil {
		return nil, fault(r.path, err)
	}
	defer rows.Close()
	var out []Session
	last := int64(0)
	for rows.Next() {
		var id, start, zone, ended int64
		var p SessionStep
		if err := scanTally(rows, &p.Tally, &id, &start, &zone, &ended, &p.Step, &p.Name, &p.Piece, &p.Goal); err != nil {
			return nil, fault(r.path, err)
		}
		if id != last {
			out = append(out, Session{Start: when(start, zone), End: when(ended, zone)})
			last = id
		}
		s := &out[len(out)-1]
		s.Steps, s.Total = append(s.Steps, p), s.Total.Add(p.Tally)
	}
	return out, fault(r.path, rows.Err())
}

// Days are the days on which a step was practised, from one on, the earliest first.
// step is a [SessionStep]'s or a [journal.Found]'s.
func (r *Reader) Days(ctx context.Context, step int64, from journal.Day) ([]journal.DayTally, error) {
	rows, err := r.db.QueryContext(ctx, `SELECT day, sum(reps), sum(clean), sum(rough), max(best), max(footing), sum(looped)
		FROM tally WHERE step = ? AND day >= ? GROUP BY day ORDER BY day`, step, from)
	if err != nil {
		return nil, fault(r.path, err)
	}
	out, err := dayTallies(rows)
	return out, fault(r.path, err)
}

// Minutes are what was practised on each day, of all steps, from one on, the
// earliest first.
func (r *Reader) Minutes(ctx context.Context, from journal.Day) ([]journal.DayTally, error) {
	rows, err := r.db.QueryContext(ctx, `SELECT day, sum(reps), sum(clean), sum(rough), 0, 0, sum(looped)
		FROM tally WHERE day >= ? GROUP BY day ORDER BY day`, from)
	if err != nil {
		return nil, fault(r.path, err)
	}
	out, err := dayTallies(rows)
	return out, fault(r.path, err)
}

// Chunks are the chunks of a step that were played clean, with the best of each.
func (r *Reader) Chunks(ctx context.Context, step int64) ([]journal.ChunkBest, error) {
	rows, err := r.db.QueryContext(ctx, `SELECT f.start, f.beats, f.landing, max(t.best)
		FROM tally t JOIN form f ON f.id = t.form WHERE t.step = ? GROUP BY f.start, f.beats, f.landing HAVING max(t.best) > 0
		ORDER BY f.start, f.beats`, step)
	if err != nil {
		return nil, fault(r.path, err)
	}
	defer rows.Close()
	var out []journal.ChunkBest
	for rows.Next() {
		var c journal.ChunkBest
		if err := rows.Scan(&c.Start, &c.Beats, &c.Landing, &c.Best); err != nil {
			return nil, fault(r.path, err)
		}
		out = append(out, c)
	}
	return out, fault(r.path, rows.Err())
}

// DayOfStep is a day on which a step was practised or got a pencil mark.
type DayOfStep struct {
	Step  int64
	Name  string
	Day   journal.Day
	Tally journal.Tally
	Marks []journal.Mark // those that have a text, in the order of their writing
}

// Latest are the latest days of a step with a session or a pencil mark, the latest
// first, at most most of them. Where a text is given they are those of all steps
// that have it in their name, their piece, or a mark of that day, whatever its
// letters' case (that of a to z).
func (r *Reader) Latest(ctx context.Context, step int64, text string, most int) ([]DayOfStep, error) {
	// A mark's day is that of where it was written.
	const markDay = "(at / 60000 + zone) / 1440"
	hit, args := `SELECT ?1 AS step, day FROM (
			SELECT * FROM (SELECT DISTINCT day FROM tally WHERE step = ?1 ORDER BY day DESC LIMIT ?2)
			UNION SELECT * FROM (SELECT DISTINCT `+markDay+` AS day FROM mark WHERE step = ?1 AND text != '' ORDER BY at DESC LIMIT ?2)
		) ORDER BY day DESC LIMIT ?2`, []any{step, most}
	if text != "" {
		like := "%" + strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`).Replace(text) + "%"
		hit, args = `SELECT step, day FROM (
				SELECT t.step, t.day FROM step s JOIN tally t ON t.step = s.id WHERE s.name LIKE ?1 ESCAPE '\' OR s.piece LIKE ?1 ESCAPE '\'
				UNION SELECT step, `+markDay+` AS day FROM mark WHERE text LIKE ?1 ESCAPE '\'
			) ORDER BY day DESC, step LIMIT ?2`, []any{like, most}
	}
	out, err := r.daysOf(ctx, hit, args)
	if err == nil {
		err = r.marksOf(ctx, hit, args, out)
	}
	return out, fault(r.path, err)
}

// daysOf is what was played on the days of a query for steps and days.
func (r *Reader) daysOf(ctx context.Context, hit string, args []any) ([]DayOfStep, error) {
	rows, err := r.db.QueryContext(ctx, `WITH hit AS MATERIALIZED (`+hit+`) SELECT h.step, h.day, s.name,
			coalesce(sum(t.reps), 0), coalesce(sum(t.clean), 0), coalesce(sum(t.rough), 0),
			coalesce(max(t.best), 0), coalesce(max(t.footing), 0), coalesce(sum(t.looped), 0)
		FROM hit h JOIN step s ON s.id = h.step LEFT JOIN tally t ON t.step = h.step AND t.day = h.day
		GROUP BY h.day, h.step ORDER BY h.day DESC, h.step`, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []DayOfStep
	for rows.Next() {
		var d DayOfStep
		if err := scanTally(rows, &d.Tally, &d.Step, &d.Day, &d.Name); err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, rows.Err()
}

// marksOf puts the marks of those days in their places.
func (r *Reader) marksOf(ctx context.Context, hit string, args []any, into []DayOfStep) error {
	// Somewhere on earth a day begins 14 hours before that of UTC, elsewhere it ends 12
	// hours after it.
	rows, err := r.db.QueryContext(ctx, `WITH hit AS MATERIALIZED (`+hit+`) SELECT m.step, m.at, m.zone, m.note, m.text
		FROM hit h JOIN mark m ON m.step = h.step AND m.at BETWEEN h.day * 86400000 - 50400000 AND h.day * 86400000 + 129600000
			AND (m.at / 60000 + m.zone) / 1440 = h.day
		WHERE m.text != '' ORDER BY m.at, m.id`, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var step, at, zone int64
		var m journal.Mark
		if err := rows.Scan(&step, &at, &zone, &m.On, &m.Text); err != nil {
			return err
		}
		m.At = when(at, zone)
		i := slices.IndexFunc(into, func(d DayOfStep) bool { return d.Step == step && d.Day == journal.DayOf(m.At) })
		if i >= 0 {
			into[i].Marks = append(into[i].Marks, m)
		}
	}
	return rows.Err()
}

// Spots are the chunks of a step that were played from a day on, those that were
// rough most often first.
func (r *Reader) Spots(ctx context.Context, step int64, from journal.Day) ([]journal.Spot, error) {
	rows, err := r.db.QueryContext(ctx, `SELECT f.start, f.beats, f.landing, sum(t.reps), sum(t.clean), sum(t.rough), max(t.best), max(t.footing), sum(t.looped)
		FROM tally t JOIN form f ON f.id = t.form WHERE t.step = ? AND t.day >= ? GROUP BY f.start, f.beats, f.landing
		ORDER BY sum(t.rough) DESC, sum(t.reps) DESC, f.start, f.beats`, step, from)
	if err != nil {
		return nil, fault(r.path, err)
	}
	defer rows.Close()
	var out []journal.Spot
	for rows.Next() {
		var s journal.Spot
		if err := scanTally(rows, &s.Tally, &s.Start, &s.Beats, &s.Landing); err != nil {
			return nil, fault(r.path, err)
		}
		out = append(out, s)
	}
	return out, fault(r.path, rows.Err())
}
