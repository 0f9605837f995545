package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite" // and the driver of that name
	sqlite3 "modernc.org/sqlite/lib"
)

// sqliteFile is what SQLite does its own way.
type sqliteFile struct{ path string }

var _ engine = sqliteFile{}

const (
	// busyMilliseconds is how long a connection waits for another process that
	// writes, before whoever waits is told (assumption).
	busyMilliseconds = 5000
	// readers is how many may read at a time; more would wait for the disk or
	// the processor in any case (assumption).
	readers = 4
	// journalBytes is the size that the write-ahead log is cut back to once its
	// content has gone into the file (assumption).
	journalBytes = 16 << 20
)

// open is Open of a file, with the migrations that the program is to know.
func open(ctx context.Context, path string, log *slog.Logger, known fs.FS) (*DB, error) {
	if path == "" {
		return nil, errors.New("the records have no file: give the path of one")
	}
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("the path of the records: %w", err)
	}
	if path, err = behindLink(path); err != nil {
		return nil, err
	}
	if err := prepare(ctx, path, log, known); err != nil {
		return nil, inWords(path, err)
	}
	clearPartials(path, time.Now())
	db := &connections{path: path, engine: sqliteFile{path}, log: log, now: time.Now}
	if db.write, err = connect(path, 1, "_txlock=immediate",
		"_pragma=journal_mode(WAL)", "_pragma=synchronous(FULL)",
		fmt.Sprintf("_pragma=journal_size_limit(%d)", journalBytes)); err != nil {
		return nil, err
	}
	if db.read, err = connect(path, readers, "_query_only=1"); err != nil {
		return nil, errors.Join(err, db.write.Close())
	}
	if err := (schema{db}).start(ctx, known); err != nil {
		if err = db.inWords(err); !errors.As(err, new(*FaultError)) {
			err = fmt.Errorf("the records in %s: %w", path, err)
		}
		_ = db.Close() // what kept it from opening is told
		return nil, err
	}
	return over(db), nil
}

// behindLink returns the file that a path stands for: SQLite keeps the log beside the file
// itself, and what is put in its place takes the place of the file, not of the link.
func behindLink(path string) (string, error) {
	info, err := os.Lstat(path)
	if err != nil || info.Mode()&fs.ModeSymlink == 0 {
		return path, nil //nolint:nilerr // what is the matter with a path is told where it is opened
	}
	file, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "", &FileError{Path: path, Why: "it is a link that leads to no file; mend the link, or take it away", Err: ErrNotOurs}
	}
	return file, nil
}

// start brings the schema up to date and sees that the file is kept as promised.
func (db schema) start(ctx context.Context, known fs.FS) error {
	var mode string
	err := patiently(ctx, func() error {
		return db.write.QueryRowContext(ctx, "PRAGMA journal_mode").Scan(&mode)
	})
	if err != nil {
		return err
	}
	if mode != "wal" {
		return fmt.Errorf("the disk cannot keep a write-ahead log (journal mode is %q): put the file on a local disk", mode)
	}
	if err := db.migrate(ctx, known); err != nil {
		return err
	}
	if err := db.addChecksums(ctx); err != nil {
		return err
	}
	return db.read.PingContext(ctx)
}

// patiently tries again while another process has the file locked. SQLite does
// so itself, but not where a file gets its write-ahead log, as it does when it
// is first opened.
func patiently(ctx context.Context, do func() error) error {
	end := time.Now().Add(busyMilliseconds * time.Millisecond)
	for {
		err := do()
		var failure *sqlite.Error
		if !errors.As(err, &failure) || failure.Code()&0xff != sqlite3.SQLITE_BUSY || time.Now().After(end) {
			return err
		}
		if err := pause(ctx); err != nil {
			return err
		}
	}
}

// pause waits a moment, or until the context ends.
func pause(ctx context.Context) error {
	select {
	case <-ctx.Done():
		return context.Cause(ctx)
	case <-time.After(20 * time.Millisecond):
		return nil
	}
}

// prepare sees that there is a file at path that is ours to open: it refuses
// what is not and creates what is absent.
func prepare(ctx context.Context, path string, log *slog.Logger, known fs.FS) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("the folder of the records: %w", err)
	}
	file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	switch {
	case err == nil:
		if err := file.Close(); err != nil {
			return err
		}
		log.InfoContext(ctx, "created a file for the records", "path", path)
	case !errors.Is(err, fs.ErrExist):
		return fmt.Errorf("the file of the records: %w", err)
	}
	info, err := os.Stat(path)
	if err != nil {
		return fmt.Errorf("the file of the records: %w", err)
	}
	if !info.Mode().IsRegular() {
		return &FileError{Path: path, Why: "it is not a regular file", Err: ErrNotOurs}
	}
	if info.Size() == 0 {
		return claim(ctx, path)
	}
	return inspect(ctx, path, known)
}

// connect returns a pool of connections to an existing file.
func connect(path string, most int, options ...string) (*sql.DB, error) {
	options = append([]string{
		fmt.Sprintf("_busy_timeout=%d", busyMilliseconds),
		"_foreign_keys=1",
		"_defensive=1",
		// Without it, INSERT OR REPLACE would get round the triggers on DELETE.
		"_pragma=recursive_triggers(1)",
	}, options...)
	pool, err := sql.Open("sqlite", address(path, append(options, "mode=rw")...))
	if err != nil {
		return nil, err
	}
	pool.SetMaxOpenConns(most)
	pool.SetMaxIdleConns(most)
	return pool, nil
}

// address writes an absolute path as a URI of SQLite, whatever characters it has.
func address(path string, options ...string) string {
	slashed := filepath.ToSlash(path)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // a drive letter
	}
	return "file://" + (&url.URL{Path: slashed}).EscapedPath() + "?" + strings.Join(options, "&")
}

// lock does nothing: the writer's transactions take the lock as they begin.
func (sqliteFile) lock(context.Context, *sql.Tx) error { return nil }

func (sqliteFile) waitForWriters(milliseconds int) string {
	return fmt.Sprintf("PRAGMA busy_timeout = %d", milliseconds)
}

// unchanging are the options of a transaction that sees one state of the file, as all do.
func (sqliteFile) unchanging() *sql.TxOptions { return &sql.TxOptions{ReadOnly: true} }

func (f sqliteFile) inWords(err error) error { return inWords(f.path, err) }

func (sqliteFile) taken(err error) bool {
	var failure *sqlite.Error
	return errors.As(err, &failure) && failure.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY
}

func (sqliteFile) close() error { return nil }

// alone holds nothing: a file is served by one process.
func (sqliteFile) alone(context.Context, string) (func(), error) { return func() {}, nil }

func (sqliteFile) columns() string { return "SELECT name FROM pragma_table_info(?) ORDER BY cid" }

// afterCopy does nothing: the next number follows on the largest.
func (sqliteFile) afterCopy(context.Context, *sql.Tx) error { return nil }

// linesOfBatch are read in the order of the table's key.
func (sqliteFile) linesOfBatch() string { return "drawn AS d WHERE d.record_id = ?1" }

func (sqliteFile) findWording() string {
	return "SELECT id FROM wording WHERE (grind, drink, beans, note) = (?1, ?2, ?3, ?4)"
}
