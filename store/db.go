package store

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"time"

	"limekeep/schedule"
)

// DB is an open file of records, or records on a server. It is safe for use by many goroutines.
type DB struct {
	path   string // of the file, or the address of the server without its password
	engine engine
	log    *slog.Logger
	write  *sql.DB // one connection: its transactions wait for those of other processes
	read   *sql.DB
	now    func() time.Time

	hashing hashing // of the owner's password
}

var _ schedule.Records = (*DB)(nil)

// Open opens the records at an address of a PostgreSQL server (IsServer), or in the
// file at a path. A file that is not there is created, readable by its
// owner alone, with its folder where there is none. A file of an older version
// is brought up to date after a copy of it was put beside it. A file of
// something else is an error that matches ErrNotOurs, one of a later version an
// error that matches ErrNewer; both are left as they were. On a server the records
// have a schema of their own, which is created and brought up to date. A nil log is silent.
func Open(ctx context.Context, path string, log *slog.Logger) (*DB, error) {
	if IsServer(path) {
		return openServer(ctx, path, log, serverMigrations())
	}
	return open(ctx, path, log, migrations())
}

// Path returns the absolute path of the file, or the address of the server without its
// password.
func (db *DB) Path() string { return db.path }

// OnServer reports whether the records are on a server rather than in a file.
func (db *DB) OnServer() bool { return IsServer(db.path) }

// Close ends the use of the file once running reads and writes are done.
func (db *DB) Close() error {
	// The writer last: the last connection to close empties the write-ahead log
	// into the file, which a reader may not.
	return errors.Join(db.read.Close(), db.write.Close(), db.engine.close())
}

// inWords puts an error of the database into plain words; others stay as they are.
func (db *DB) inWords(err error) error { return db.engine.inWords(err) }

// inWrite runs a transaction that holds the write lock, and keeps all it did or
// nothing.
func (db *DB) inWrite(ctx context.Context, do func(*sql.Tx) error) error {
	return db.inWords(finish(ctx, db.write, &sql.TxOptions{}, db.locked(ctx, do)))
}

// locked is do once the write lock is held.
func (db *DB) locked(ctx context.Context, do func(*sql.Tx) error) func(*sql.Tx) error {
	return func(tx *sql.Tx) error {
		if err := db.engine.lock(ctx, tx); err != nil {
			return err
		}
		return do(tx)
	}
}

// inWriteOn is inWrite with the connection that the transaction runs on.
func (db *DB) inWriteOn(ctx context.Context, do func(*sql.Conn, *sql.Tx) error) error {
	conn, err := db.write.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return db.inWords(finish(ctx, conn, &sql.TxOptions{}, db.locked(ctx, func(tx *sql.Tx) error { return do(conn, tx) })))
}

// inRead runs a transaction that sees one unchanging state of the records.
func (db *DB) inRead(ctx context.Context, do func(*sql.Tx) error) error {
	return db.inWords(finish(ctx, db.read, db.engine.unchanging(), do))
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
		return &cutShortError{cause: cause, err: err}
	}
	return err
}

// cutShortError says why a transaction was cut short. The statement that was reports the
// interruption in words of the database, not its cause.
type cutShortError struct{ cause, err error }

// Error is the cause.
func (e *cutShortError) Error() string { return e.cause.Error() }

// Unwrap returns the cause and what the database says.
func (e *cutShortError) Unwrap() []error { return []error{e.cause, e.err} }
