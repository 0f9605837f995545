package store

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"time"

	"limekeep/schedule"
)

// DB is an open file of records, or records on a server, with all that is kept beside
// them. It is safe for use by many goroutines. What it answers stands with the part that
// it is about; DB itself has what is done with all of it at once.
type DB struct {
	*connections

	records       // what people wrote down, and publications
	signIns       // the owner's password, who is signed in by it
	people        // who may come in beside the owner
	appPasswords  // what task apps and programs come in by
	addresses     // where a place is served, the secret in its calendar's address
	syncStates    // what task apps were shown
	begunSittings // sittings that are gone through
	ownCalendars  // the calendars of owners
	derivedState  // what can be worked out again
	sharedState   // what several servers have in common
}

// The parts see the same connections, and of each other only what stands in them.
type (
	records       struct{ *connections }
	appPasswords  struct{ *connections }
	addresses     struct{ *connections }
	syncStates    struct{ *connections }
	begunSittings struct{ *connections }
	ownCalendars  struct{ *connections }
	derivedState  struct{ *connections }
	sharedState   struct{ *connections }

	signIns struct {
		*connections
		hashing hashing // of the owner's password
	}
	people struct {
		*connections
		sessions *signIns
	}
)

// over returns the records that connections lead to.
func over(c *connections) *DB {
	db := &DB{
		connections: c, records: records{c}, signIns: signIns{c, make(hashing, hashesAtOnce)}, appPasswords: appPasswords{c},
		addresses: addresses{c}, syncStates: syncStates{c}, begunSittings: begunSittings{c}, ownCalendars: ownCalendars{c},
		derivedState: derivedState{c}, sharedState: sharedState{c},
	}
	db.people = people{c, &db.signIns}
	return db
}

// connections are those to a file or a server, by which its transactions run.
type connections struct {
	path   string // of the file, or the address of the server without its password
	engine engine
	log    *slog.Logger
	write  *sql.DB // one connection: its transactions wait for those of other processes
	read   *sql.DB
	now    func() time.Time
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
func (db *connections) Path() string { return db.path }

// OnServer reports whether the records are on a server rather than in a file.
func (db *connections) OnServer() bool { return IsServer(db.path) }

// Close ends the use of the file once running reads and writes are done.
func (db *connections) Close() error {
	// The writer last: the last connection to close empties the write-ahead log
	// into the file, which a reader may not.
	return errors.Join(db.read.Close(), db.write.Close(), db.engine.close())
}

// inWords puts an error of the database into plain words; others stay as they are.
func (db *connections) inWords(err error) error { return db.engine.inWords(err) }

// inWrite runs a transaction that holds the write lock, and keeps all it did or
// nothing.
func (db *connections) inWrite(ctx context.Context, do func(*sql.Tx) error) error {
	return db.inWords(finish(ctx, db.write, &sql.TxOptions{}, db.locked(ctx, do)))
}

// locked is do once the write lock is held.
func (db *connections) locked(ctx context.Context, do func(*sql.Tx) error) func(*sql.Tx) error {
	return func(tx *sql.Tx) error {
		if err := db.engine.lock(ctx, tx); err != nil {
			return err
		}
		return do(tx)
	}
}

// inWriteOn is inWrite with the connection that the transaction runs on.
func (db *connections) inWriteOn(ctx context.Context, do func(*sql.Conn, *sql.Tx) error) error {
	conn, err := db.write.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return db.inWords(finish(ctx, conn, &sql.TxOptions{}, db.locked(ctx, func(tx *sql.Tx) error { return do(conn, tx) })))
}

// inRead runs a transaction that sees one unchanging state of the records.
func (db *connections) inRead(ctx context.Context, do func(*sql.Tx) error) error {
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
