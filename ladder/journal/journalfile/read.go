package journalfile

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"footing/ladder/journal"
)

// Reader asks a journal. It sees what was written when it is asked, and holds up
// nobody who writes. It is safe for use by several goroutines.
type Reader struct {
	db   *sql.DB
	path string
}

// Read opens the journal at path to be read; nothing is written to it, not even
// where it is of an earlier version. It must be closed. The error is a [*Fault], or
// wraps fs.ErrNotExist where there is no journal.
func Read(ctx context.Context, path string) (*Reader, error) {
	if empty, err := look(path); err != nil {
		return nil, fault(path, err)
	} else if empty {
		return nil, fault(path, fs.ErrNotExist)
	}
	steps, err := migrations()
	if err != nil {
		return nil, err
	}
	db, err := connect(path, "ro", busy)
	if err != nil {
		return nil, fault(path, err)
	}
	version, err := versionOf(ctx, db, len(steps))
	var f *Fault
	if failed := fault(path, err); errors.As(failed, &f) && f.Kind == ReadOnly && orderly(path) {
		// Where nothing may be written, not even beside it, it may still be read: nobody
		// else writes to it either.
		_ = db.Close()
		if db, err = connect(path, "immutable", busy); err == nil {
			version, err = versionOf(ctx, db, len(steps))
		}
	}
	switch {
	case err != nil:
		_ = db.Close()
		return nil, fault(path, err)
	case version < len(steps):
		_ = db.Close()
		return nil, &Fault{Path: path, Kind: Other, Err: errors.New("it is of an earlier version; open Footing once")}
	}
	return &Reader{db, path}, nil
}

// orderly reports whether all that was written to the journal is in the file
// itself.
func orderly(path string) bool {
	info, err := os.Stat(path + "-wal")
	return errors.Is(err, fs.ErrNotExist) || err == nil && info.Size() == 0
}

// Close ends the reading.
func (r *Reader) Close() error { return r.db.Close() }

// Known is every history at all its places, for a [journal.Book].
func (r *Reader) Known(ctx context.Context) ([]journal.Found, error) {
	out, err := known(ctx, r.db)
	return out, fault(r.path, err)
}

func known(ctx context.Context, db *sql.DB) ([]journal.Found, error) {
	rows, err := db.QueryContext(ctx, `SELECT p.routine, p.name, s.id, s.routine, s.name, s.piece, s.first, s.last, s.goal, s.stood, s.left_at, s.left_in
		FROM place p JOIN step s ON s.id = p.step ORDER BY s.id`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []journal.Found
	for rows.Next() {
		var f journal.Found
		var stood string
		var at, zone int64
		if err := rows.Scan(&f.At.Routine, &f.At.Step, &f.ID, &f.Place.Routine, &f.Place.Step,
			&f.Piece, &f.From, &f.To, &f.Goal, &stood, &at, &zone); err != nil {
			return nil, err
		}
		f.LeftAt = when(at, zone)
		f.Stood = ParseBookmark(stood)
		out = append(out, f)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	for i, f := range out {
		if i > 0 && out[i-1].ID == f.ID {
			out[i].Days, out[i].Last = out[i-1].Days, out[i-1].Last
			continue
		}
		if out[i].Days, err = days(ctx, db, f.ID, journal.Glance); err != nil {
			return nil, err
		}
		var last sql.NullInt64
		if err := db.QueryRowContext(ctx, "SELECT max(day) FROM tally WHERE step = ?", f.ID).Scan(&last); err != nil {
			return nil, err
		}
		out[i].Last = journal.Day(last.Int64)
	}
	return out, nil
}

// days are the latest days on which a step had a clean rep, the latest first.
func days(ctx context.Context, db *sql.DB, step int64, most int) ([]journal.DayTally, error) {
	rows, err := db.QueryContext(ctx, `SELECT day, sum(reps), sum(clean), sum(rough), max(best), max(footing), sum(looped)
		FROM tally WHERE step = ? GROUP BY day HAVING max(best) > 0 ORDER BY day DESC LIMIT ?`, step, most)
	if err != nil {
		return nil, err
	}
	return dayTallies(rows)
}

func dayTallies(rows *sql.Rows) ([]journal.DayTally, error) {
	defer rows.Close()
	var out []journal.DayTally
	for rows.Next() {
		var d journal.DayTally
		if err := scanTally(rows, &d.Tally, &d.Day); err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, rows.Err()
}

// scanTally scans what is named, then the columns of a tally.
func scanTally(rows *sql.Rows, t *journal.Tally, named ...any) error {
	var looped int64
	if err := rows.Scan(append(named, &t.Reps, &t.Clean, &t.Rough, &t.Best, &t.Footing, &looped)...); err != nil {
		return err
	}
	t.Looped = millis(looped)
	return nil
}

// Path is where the journal of the player lies, in a folder of the program.
func Path(folder string) string { return filepath.Join(folder, "journal.db") }

// Step is the history at a place; ok is false where there is none.
func (r *Reader) Step(ctx context.Context, p journal.Place) (id int64, ok bool, err error) {
	err = r.db.QueryRowContext(ctx, "SELECT step FROM place WHERE routine = ? AND name = ?", p.Routine, p.Step).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, false, nil
	}
	return id, err == nil, fault(r.path, err)
}
