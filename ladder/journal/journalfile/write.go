package journalfile

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"footing/ladder"
	"footing/ladder/journal"
)

// batch writes entries in one transaction: all of them, or none.
type batch struct {
	ctx    context.Context
	tx     *sql.Tx
	steps  map[journal.Place]int64
	forms  map[formKey]int64
	paths  map[string]int64
	seen   map[int64]int64 // sessions by key
	recast map[recast]bool // what is to be counted again
}

type formKey struct {
	step int64
	form journal.Form
}

// recast is what the reps of a session in one form come to.
type recast struct{ session, form int64 }

// keep writes the entries into the journal.
func keep(ctx context.Context, db *sql.DB, entries []journal.Entry) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	b := &batch{
		ctx: ctx, tx: tx, steps: map[journal.Place]int64{}, forms: map[formKey]int64{},
		paths: map[string]int64{}, seen: map[int64]int64{}, recast: map[recast]bool{},
	}
	for _, e := range entries {
		if err := b.entry(e); err != nil {
			return err
		}
	}
	for r := range b.recast {
		if err := b.count(r); err != nil {
			return err
		}
	}
	return tx.Commit()
}

func (b *batch) exec(query string, args ...any) error {
	_, err := b.tx.ExecContext(b.ctx, query, args...)
	return err
}

// id is the one that a query finds; ok is false when it finds none.
func (b *batch) id(query string, args ...any) (id int64, ok bool, err error) {
	err = b.tx.QueryRowContext(b.ctx, query, args...).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, false, nil
	}
	return id, err == nil, err
}

// add inserts a row and is its id.
func (b *batch) add(query string, args ...any) (int64, error) {
	r, err := b.tx.ExecContext(b.ctx, query, args...)
	if err != nil {
		return 0, err
	}
	return r.LastInsertId()
}

func (b *batch) entry(e journal.Entry) error {
	switch {
	case e.Rep != nil:
		return b.rep(*e.Rep)
	case e.Gone != nil:
		return b.gone(*e.Gone)
	case e.Left != nil:
		return b.left(*e.Left)
	case e.Mark != nil:
		return b.mark(*e.Mark)
	case e.Met != nil:
		return b.met(*e.Met)
	case e.Same != nil:
		return b.same(*e.Same)
	case e.Fresh != nil:
		return b.fresh(e.Fresh.Place)
	case e.Kept != nil:
		return b.kept(*e.Kept)
	}
	return nil
}

// step is the history at a place, a new one where there is none.
func (b *batch) step(p journal.Place) (int64, error) {
	if id, ok := b.steps[p]; ok {
		return id, nil
	}
	id, ok, err := b.id("SELECT step FROM place WHERE routine = ? AND name = ?", p.Routine, p.Step)
	if !ok && err == nil {
		if id, err = b.add("INSERT INTO step (routine, name) VALUES (?, ?)", p.Routine, p.Step); err == nil {
			err = b.exec("INSERT INTO place (routine, name, step) VALUES (?, ?, ?)", p.Routine, p.Step, id)
		}
	}
	if err == nil {
		b.steps[p] = id
	}
	return id, err
}

func (b *batch) form(step int64, f journal.Form) (int64, error) {
	k := formKey{step, f}
	if id, ok := b.forms[k]; ok {
		return id, nil
	}
	args := []any{step, f.Piece, f.From, f.To, f.Goal, f.Start, f.Beats, f.Landing, f.Angle, f.Slots, f.Pulse, f.Rule, f.Clean, f.Loop}
	id, ok, err := b.id(`SELECT id FROM form WHERE step = ? AND piece = ? AND first = ? AND last = ? AND goal = ? AND start = ?
		AND beats = ? AND landing = ? AND angle = ? AND slots = ? AND pulse = ? AND rule = ? AND clean = ? AND loop = ?`, args...)
	if !ok && err == nil {
		id, err = b.add(`INSERT INTO form (step, piece, first, last, goal, start, beats, landing, angle, slots, pulse, rule, clean, loop)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, args...)
	}
	if err == nil {
		b.forms[k] = id
	}
	return id, err
}

func (b *batch) path(p string) (int64, error) {
	if id, ok := b.paths[p]; ok {
		return id, nil
	}
	id, ok, err := b.id("SELECT id FROM routine WHERE path = ?", p)
	if !ok && err == nil {
		id, err = b.add("INSERT INTO routine (path) VALUES (?)", p)
	}
	if err == nil {
		b.paths[p] = id
	}
	return id, err
}

func (b *batch) session(s journal.Session) (int64, error) {
	if id, ok := b.seen[s.Key]; ok {
		return id, nil
	}
	id, ok, err := b.id("SELECT id FROM session WHERE key = ?", s.Key)
	if !ok && err == nil {
		start, zone := moment(s.Start)
		id, err = b.add("INSERT INTO session (key, start, zone, ended) VALUES (?, ?, ?, ?)", s.Key, start, zone, start)
	}
	if err == nil {
		b.seen[s.Key] = id
	}
	return id, err
}

func (b *batch) rep(r journal.Rep) error {
	step, err := b.step(r.Place)
	if err != nil {
		return err
	}
	form, err := b.form(step, r.Form)
	if err != nil {
		return err
	}
	path, err := b.path(r.Place.Routine)
	if err != nil {
		return err
	}
	session, err := b.session(r.Session)
	if err != nil {
		return err
	}
	if old, ok, err := b.id("SELECT form FROM rep WHERE session = ? AND number = ?", session, r.Number); err != nil {
		return err
	} else if ok {
		b.recast[recast{session, old}] = true
	}
	b.recast[recast{session, form}] = true
	if err := b.exec(`INSERT OR REPLACE INTO rep (session, number, at, form, routine, tempo, rung, verdict, source, sure, whole)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		session, r.Number, r.At.Sub(r.Session.Start).Milliseconds(), form, path, r.Tempo, r.Rung, r.Verdict, r.Source, r.Sure, r.Whole); err != nil {
		return err
	}
	at, _ := moment(r.At)
	return b.exec("UPDATE session SET ended = max(ended, ?) WHERE id = ?", at, session)
}

func (b *batch) gone(r journal.Rep) error {
	session, err := b.session(r.Session)
	if err != nil {
		return err
	}
	form, ok, err := b.id("SELECT form FROM rep WHERE session = ? AND number = ?", session, r.Number)
	if err != nil || !ok {
		return err
	}
	b.recast[recast{session, form}] = true
	return b.exec("DELETE FROM rep WHERE session = ? AND number = ?", session, r.Number)
}

// count writes anew what the reps of a session in one form come to.
func (b *batch) count(r recast) error {
	var step int64
	var f journal.Form
	if err := b.tx.QueryRowContext(b.ctx, "SELECT step, clean, loop FROM form WHERE id = ?", r.form).Scan(&step, &f.Clean, &f.Loop); err != nil {
		return err
	}
	var start, zone int64
	if err := b.tx.QueryRowContext(b.ctx, "SELECT start, zone FROM session WHERE id = ?", r.session).Scan(&start, &zone); err != nil {
		return err
	}
	rows, err := b.tx.QueryContext(b.ctx, "SELECT tempo, verdict, whole FROM rep WHERE session = ? AND form = ? ORDER BY number", r.session, r.form)
	if err != nil {
		return err
	}
	defer rows.Close()
	var reps []journal.Rep
	for rows.Next() {
		rep := journal.Rep{Form: f}
		if err := rows.Scan(&rep.Tempo, &rep.Verdict, &rep.Whole); err != nil {
			return err
		}
		reps = append(reps, rep)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	day, t := journal.DayOf(when(start, zone)), journal.Count(reps)
	if t.Reps == 0 {
		return b.exec("DELETE FROM tally WHERE step = ? AND day = ? AND session = ? AND form = ?", step, day, r.session, r.form)
	}
	return b.tally(step, day, r.session, r.form, t)
}

func (b *batch) tally(step int64, day journal.Day, session, form int64, t journal.Tally) error {
	return b.exec(`INSERT OR REPLACE INTO tally (step, day, session, form, reps, clean, rough, best, footing, looped)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		step, day, session, form, t.Reps, t.Clean, t.Rough, t.Best, t.Footing, t.Looped.Milliseconds())
}

func (b *batch) kept(k journal.Kept) error {
	step, err := b.step(k.Place)
	if err != nil {
		return err
	}
	return b.tally(step, k.Day, 0, 0, journal.Tally{Best: k.Best})
}

func (b *batch) left(l journal.Left) error {
	step, err := b.step(l.Place)
	if err != nil {
		return err
	}
	text := ""
	if l.Stood != (ladder.Bookmark{}) {
		text = FormatBookmark(l.Stood)
	}
	at, zone := moment(l.At)
	return b.exec("UPDATE step SET stood = ?, left_at = ?, left_in = ? WHERE id = ?", text, at, zone, step)
}

func (b *batch) mark(m journal.Mark) error {
	step, err := b.step(m.Place)
	if err != nil {
		return err
	}
	at, zone := moment(m.At)
	return b.exec("INSERT INTO mark (step, at, zone, note, text) VALUES (?, ?, ?, ?, ?)", step, at, zone, m.On, m.Text)
}

func (b *batch) met(m journal.Met) error {
	step, err := b.step(m.Place)
	if err != nil {
		return err
	}
	return b.exec("UPDATE step SET routine = ?, name = ?, piece = ?, first = ?, last = ?, goal = ? WHERE id = ?",
		m.Place.Routine, m.Place.Step, m.Piece, m.From, m.To, m.Goal, step)
}

func (b *batch) same(s journal.Same) error {
	step, err := b.step(s.As)
	if err != nil {
		return err
	}
	if err := b.at(s.Place, step); err != nil || !s.Moved {
		return err
	}
	delete(b.steps, s.As)
	if err := b.exec("DELETE FROM place WHERE routine = ? AND name = ?", s.As.Routine, s.As.Step); err != nil {
		return err
	}
	return b.exec("UPDATE step SET routine = ?, name = ? WHERE id = ?", s.Place.Routine, s.Place.Step, step)
}

// at has a history be found at a place.
func (b *batch) at(p journal.Place, step int64) error {
	b.steps[p] = step
	return b.exec("INSERT OR REPLACE INTO place (routine, name, step) VALUES (?, ?, ?)", p.Routine, p.Step, step)
}

func (b *batch) fresh(p journal.Place) error {
	step, err := b.add("INSERT INTO step (routine, name) VALUES (?, ?)", p.Routine, p.Step)
	if err != nil {
		return err
	}
	return b.at(p, step)
}

// moment is a time as the file holds it: milliseconds since 1970, and minutes east
// of UTC.
func moment(t time.Time) (at, zone int64) {
	if t.IsZero() {
		return 0, 0
	}
	_, east := t.Zone()
	return t.UnixMilli(), int64(east / 60)
}

// when is the time that moment has written.
func when(at, zone int64) time.Time {
	if at == 0 {
		return time.Time{}
	}
	t := time.UnixMilli(at)
	if zone == 0 {
		return t.UTC()
	}
	return t.In(time.FixedZone("", int(zone)*60))
}

func millis(n int64) time.Duration { return time.Duration(n) * time.Millisecond }
