package journalfile

import (
	"context"
	"database/sql"
	"embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver

	"footing/files"
)

//go:embed schema/*.sql
var schema embed.FS

// application marks a file as a journal of ours (PRAGMA application_id).
const application = 0x466f6f74 // "Foot"

// busy is how long is waited for another program that writes.
const busy = 2 * time.Second

// migrations are the steps to the schema of today: after the nth, user_version is
// n.
func migrations() ([]string, error) {
	names, err := fs.Glob(schema, "schema/*.sql")
	if err != nil {
		return nil, err
	}
	number := func(name string) int {
		n, _ := strconv.Atoi(strings.TrimSuffix(filepath.Base(name), ".sql"))
		return n
	}
	sort.Slice(names, func(i, j int) bool { return number(names[i]) < number(names[j]) })
	var out []string
	for _, name := range names {
		text, err := fs.ReadFile(schema, name)
		if err != nil {
			return nil, err
		}
		out = append(out, string(text))
	}
	return out, nil
}

// open opens the journal at path for writing, and makes or migrates it where that
// is needed. Whatever is not a journal of ours, of today or earlier, is not written
// to. Errors are a [*Fault].
func open(ctx context.Context, path string, wait time.Duration, steps []string, now time.Time) (*sql.DB, error) {
	version, err := inspect(ctx, path, wait, len(steps))
	if err != nil {
		return nil, err
	}
	if err := private(path); err != nil {
		return nil, fault(path, err)
	}
	db, err := connect(path, "rw", wait, "foreign_keys(1)", "journal_mode(wal)", "synchronous(full)")
	if err != nil {
		return nil, fault(path, err)
	}
	if err := migrate(ctx, db, path, steps, version, now); err != nil {
		_ = db.Close()
		return nil, fault(path, err)
	}
	return db, nil
}

// connect opens a file of SQLite's; mode is rw, ro or immutable. wait is how long it
// waits for another program that holds the file. There is one connection, so
// that what is set on it holds for all that is asked.
func connect(path, mode string, wait time.Duration, pragmas ...string) (*sql.DB, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	q := url.Values{"mode": {mode}, "_pragma": {fmt.Sprintf("busy_timeout(%d)", wait.Milliseconds())}, "_txlock": {"immediate"}}
	if mode == "immutable" {
		q["mode"], q["immutable"] = []string{"ro"}, []string{"1"}
	}
	q["_pragma"] = append(q["_pragma"], pragmas...)
	where := url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(filepath.ToSlash(abs), "/"), RawQuery: q.Encode()}
	db, err := sql.Open("sqlite", where.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	return db, nil
}

// private makes the file, which only the player reads, and its folder.
func private(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

// inspect looks at a journal without writing to it, and returns its version; 0
// where there is none yet.
func inspect(ctx context.Context, path string, wait time.Duration, newest int) (version int, err error) {
	if empty, err := look(path); empty || err != nil {
		return 0, fault(path, err)
	}
	// To look, SQLite needs to write beside a journal whose last writer has not put
	// it in order.
	db, err := connect(path, "ro", wait)
	if err != nil {
		return 0, fault(path, err)
	}
	defer db.Close()
	version, err = versionOf(ctx, db, newest)
	if err != nil {
		return 0, fault(path, err)
	}
	return version, nil
}

// versionOf says of which version a journal is.
func versionOf(ctx context.Context, db *sql.DB, newest int) (int, error) {
	var version, app, tables int
	for pragma, to := range map[string]*int{"PRAGMA user_version": &version, "PRAGMA application_id": &app, "SELECT count(*) FROM sqlite_schema": &tables} {
		if err := db.QueryRowContext(ctx, pragma).Scan(to); err != nil {
			return 0, err
		}
	}
	switch {
	case app != application && (app != 0 || version != 0 || tables != 0):
		return 0, errForeign
	case version > newest:
		return 0, errNewer
	}
	return version, nil
}

// migrate takes the journal from a version to that of today, each step in a
// transaction of its own. A journal that holds something is copied first.
func migrate(ctx context.Context, db *sql.DB, path string, steps []string, from int, now time.Time) error {
	if from > 0 && from < len(steps) {
		copied := fmt.Sprintf("%s.version-%d-%s.db", strings.TrimSuffix(path, filepath.Ext(path)), from, now.Format("20060102-150405"))
		if _, err := db.ExecContext(ctx, "VACUUM INTO ?", copied); err != nil {
			return err
		}
		_ = os.Chmod(copied, 0o600) // it is as private as its folder anyway
	}
	for {
		done, err := migrateOne(ctx, db, steps)
		if done || err != nil {
			return err
		}
	}
}

// migrateOne does the next step. Another program may have done it meanwhile.
func migrateOne(ctx context.Context, db *sql.DB, steps []string) (done bool, err error) {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return false, err
	}
	defer tx.Rollback()
	var version int
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return false, err
	}
	switch {
	case version > len(steps):
		return false, errNewer
	case version == len(steps):
		return true, nil
	}
	for _, text := range []string{
		steps[version],
		fmt.Sprintf("PRAGMA application_id = %d", application),
		fmt.Sprintf("PRAGMA user_version = %d", version+1),
	} {
		if _, err := tx.ExecContext(ctx, text); err != nil {
			return false, err
		}
	}
	return false, tx.Commit()
}

// look looks at a file without SQLite: whether there is nothing in it, or none, and
// whether it can be a journal.
func look(path string) (empty bool, err error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return true, nil
	case err != nil:
		return false, err
	case info.IsDir():
		return false, files.ErrFolder
	case !info.Mode().IsRegular():
		return false, files.ErrDevice
	case info.Size() == 0:
		return true, nil
	}
	return false, cutShort(path, info.Size())
}

// cutShort says so of a file whose last page is not all there. SQLite would take
// what is missing for zeros. Where its log holds something, it puts the page in
// order by that.
func cutShort(path string, size int64) error {
	if !orderly(path) {
		return nil
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	var head [18]byte // the page's size is its last two (SQLite, "Database File Format", 1.3)
	if _, err := io.ReadFull(f, head[:]); err != nil {
		return errCut
	}
	page := int64(binary.BigEndian.Uint16(head[16:]))
	if page == 1 {
		page = 65536
	}
	if page >= 512 && size%page != 0 {
		return errCut
	}
	return nil
}
