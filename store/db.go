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

	"limekeep/schedule"
)

// DB is an open file of records. It is safe for use by many goroutines.
type DB struct {
	path  string
	log   *slog.Logger
	write *sql.DB // one connection: its transactions take the write lock as they begin
	read  *sql.DB
	now   func() time.Time

	hashing hashing // of the owner's password
}

var _ schedule.Records = (*DB)(nil)

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

// Open opens the file of records at a path, and creates it, readable by its
// owner alone, with its folder where there is none. A file of an older version
// is brought up to date after a copy of it was put beside it. A file of
// something else is an error that matches ErrNotOurs, one of a later version an
// error that matches ErrNewer; both are left as they were. A nil log is silent.
func Open(ctx context.Context, path string, log *slog.Logger) (*DB, error) {
	return open(ctx, path, log, migrations())
}

// open is Open with the migrations that the program is to know.
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
	if err := prepare(ctx, path, log, known); err != nil {
		return nil, inWords(path, err)
	}
	clearPartials(path, time.Now())
	db := &DB{path: path, log: log, now: time.Now, hashing: make(hashing, hashesAtOnce)}
	if db.write, err = connect(path, 1, "_txlock=immediate",
		"_pragma=journal_mode(WAL)", "_pragma=synchronous(FULL)",
		fmt.Sprintf("_pragma=journal_size_limit(%d)", journalBytes)); err != nil {
		return nil, err
	}
	if db.read, err = connect(path, readers, "_query_only=1"); err != nil {
		return nil, errors.Join(err, db.write.Close())
	}
	if err := db.start(ctx, known); err != nil {
		if err = db.inWords(err); !errors.As(err, new(*FaultError)) {
			err = fmt.Errorf("the records in %s: %w", path, err)
		}
		_ = db.Close() // what kept it from opening is told
		return nil, err
	}
	return db, nil
}

// start brings the schema up to date and sees that the file is kept as promised.
func (db *DB) start(ctx context.Context, known fs.FS) error {
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

// Path returns the absolute path of the file.
func (db *DB) Path() string { return db.path }

// Close ends the use of the file once running reads and writes are done.
func (db *DB) Close() error {
	// The writer last: the last connection to close empties the write-ahead log
	// into the file, which a reader may not.
	return errors.Join(db.read.Close(), db.write.Close())
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

// inWrite runs a transaction that holds the write lock, and keeps all it did or
// nothing.
func (db *DB) inWrite(ctx context.Context, do func(*sql.Tx) error) error {
	return db.inWords(finish(ctx, db.write, &sql.TxOptions{}, do))
}

// inWriteOn is inWrite with the connection that the transaction runs on.
func (db *DB) inWriteOn(ctx context.Context, do func(*sql.Conn, *sql.Tx) error) error {
	conn, err := db.write.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return db.inWords(finish(ctx, conn, &sql.TxOptions{}, func(tx *sql.Tx) error { return do(conn, tx) }))
}

// inRead runs a transaction that sees one unchanging state of the file.
func (db *DB) inRead(ctx context.Context, do func(*sql.Tx) error) error {
	return db.inWords(finish(ctx, db.read, &sql.TxOptions{ReadOnly: true}, do))
}

// beginner is what a transaction can be begun on: a pool or a connection.
type beginner interface {
	BeginTx(context.Context, *sql.TxOptions) (*sql.Tx, error)
}

func finish(ctx context.Context, on beginner, options *sql.TxOptions, do func(*sql.Tx) error) error {
	err := func() error {
		tx, err := on.BeginTx(ctx, options)
		if err != nil {
			return err
		}
		defer tx.Rollback() // without effect after Commit
		if err := do(tx); err != nil {
			return err
		}
		return tx.Commit()
	}()
	if cause := context.Cause(ctx); err != nil && cause != nil && !errors.Is(err, cause) {
		// A statement that was cut short reports the interruption, not its cause.
		return fmt.Errorf("%w (%w)", cause, err)
	}
	return err
}
