package journalfile

import (
	"context"
	"time"

	"footing/ladder/journal"
)

// Filter says which reps are asked for; the zero value asks for all.
type Filter struct {
	Since   time.Time // sessions that began then or later
	Passage string    // a piece or the name of a step; empty for all
}

// Played is a rep as the journal holds it. Its Place has the step's name of today,
// and the routine's file that it was played from.
type Played struct {
	journal.Rep
	Looped time.Duration
}

// Reps calls each with the reps that are asked for, in the order in which they
// were played, until it returns an error, which is then returned.
func (r *Reader) Reps(ctx context.Context, which Filter, each func(Played) error) error {
	rows, err := r.db.QueryContext(ctx, `SELECT e.key, e.start, e.zone, r.number, r.at, p.path, s.name,
			f.piece, f.first, f.last, f.goal, f.start, f.beats, f.landing, f.angle, f.slots, f.pulse, f.rule, f.clean, f.loop,
			r.tempo, r.rung, r.verdict, r.source, r.sure, r.whole
		FROM session e JOIN rep r ON r.session = e.id JOIN form f ON f.id = r.form JOIN step s ON s.id = f.step JOIN routine p ON p.id = r.routine
		WHERE e.start >= ? AND (? = '' OR s.name = ? COLLATE NOCASE OR f.piece = ? COLLATE NOCASE)
		ORDER BY e.start, e.id, r.number`, since(which.Since), which.Passage, which.Passage, which.Passage)
	if err != nil {
		return fault(r.path, err)
	}
	defer rows.Close()
	for rows.Next() {
		var p Played
		var start, zone, at int64
		f := &p.Form
		if err := rows.Scan(&p.Session.Key, &start, &zone, &p.Number, &at, &p.Place.Routine, &p.Place.Step,
			&f.Piece, &f.From, &f.To, &f.Goal, &f.Start, &f.Beats, &f.Landing, &f.Angle, &f.Slots, &f.Pulse, &f.Rule, &f.Clean, &f.Loop,
			&p.Tempo, &p.Rung, &p.Verdict, &p.Source, &p.Sure, &p.Whole); err != nil {
			return fault(r.path, err)
		}
		p.Session.Start = when(start, zone)
		p.At = p.Session.Start.Add(millis(at))
		p.Looped = p.Rep.Looped()
		if err := each(p); err != nil {
			return err
		}
	}
	return fault(r.path, rows.Err())
}

func since(t time.Time) int64 {
	at, _ := moment(t)
	return at
}

// Marks are the pencil marks that are asked for, in the order in which they were
// written. Those on notes have their place; one without a text was rubbed out.
func (r *Reader) Marks(ctx context.Context, which Filter) ([]journal.Mark, error) {
	rows, err := r.db.QueryContext(ctx, `SELECT s.routine, s.name, m.at, m.zone, m.note, m.text
		FROM mark m JOIN step s ON s.id = m.step
		WHERE m.at >= ? AND (? = '' OR s.name = ? COLLATE NOCASE OR s.piece = ? COLLATE NOCASE)
		ORDER BY m.at, m.id`, since(which.Since), which.Passage, which.Passage, which.Passage)
	if err != nil {
		return nil, fault(r.path, err)
	}
	defer rows.Close()
	var out []journal.Mark
	for rows.Next() {
		var m journal.Mark
		var at, zone int64
		if err := rows.Scan(&m.Place.Routine, &m.Place.Step, &at, &zone, &m.On, &m.Text); err != nil {
			return nil, fault(r.path, err)
		}
		m.At = when(at, zone)
		out = append(out, m)
	}
	return out, fault(r.path, rows.Err())
}
