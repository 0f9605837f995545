package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
)

// IsServer reports whether an address of records is that of a PostgreSQL server, such as
// postgres://user@host/database or postgres:///database?host=/run/postgresql, and not the
// path of a file.
func IsServer(address string) bool {
	return strings.HasPrefix(address, "postgres://") || strings.HasPrefix(address, "postgresql://")
}

// postgres is what PostgreSQL does its own way.
type postgres struct {
	config  *pgx.ConnConfig
	address string // without the password

	shared *sql.DB // for what is written besides records
	held   *sql.DB // for locks that are held for long
}

var _ engine = postgres{}

const (
	// serverSchema is where the records are within a database, so that they share no
	// name with what else is there.
	serverSchema = "limekeep"
	// connectPatience is how long a server may take to answer (assumption).
	connectPatience = 10 * time.Second
	// serverReaders is how many of a process may read at a time (assumption; a server
	// takes a hundred connections unless it is told otherwise).
	serverReaders = 8
	// serverShared is how many connections a process has for each of what is written
	// besides records, and for locks (assumption).
	serverShared = 4
	// serverIdle is how long a connection is kept that nobody needs, so that one of a
	// server that was started anew is not met again (assumption).
	serverIdle = 5 * time.Minute
	// writeLock is the number of the advisory lock that a writer holds: the letters LMKP.
	writeLock = applicationID
)

// openServer opens the records on a server, with the migrations that the program is to
// know.
func openServer(ctx context.Context, address string, log *slog.Logger, known fs.FS) (*DB, error) {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	config, err := pgx.ParseConfig(address)
	if err != nil {
		// What the library says shows the address, and would show a password in an odd place.
		return nil, &FaultError{Path: "postgres://…", Err: errBadAddress,
			Why: "the address cannot be read; write it as postgres://user@host:5432/database or postgres:///database?host=/run/postgresql"}
	}
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = connectPatience
	}
	server := postgres{config: config, address: shownServer(config)}
	server.shared = server.connect(serverShared, nil)
	server.held = server.connect(serverShared, aloneSettings())
	db := &connections{path: server.address, engine: server, log: log, now: time.Now}
	db.write = server.connect(1, nil)
	db.read = server.connect(serverReaders, map[string]string{"default_transaction_read_only": "on"})
	if err := (schema{db}).migrateServer(ctx, known); err != nil {
		if err = db.inWords(err); !errors.As(err, new(*FaultError)) && !errors.As(err, new(*FileError)) {
			err = fmt.Errorf("the records in %s: %w", db.path, err)
		}
		_ = db.Close() // what kept it from opening is told
		return nil, err
	}
	return over(db), nil
}

var errBadAddress = errors.New("not the address of a PostgreSQL server")

// connect returns a pool of connections with settings of their own.
func (p postgres) connect(most int, settings map[string]string) *sql.DB {
	config := p.config.Copy()
	for name, value := range map[string]string{
		"application_name": "limekeep",
		"search_path":      serverSchema,
		"lock_timeout":     strconv.Itoa(busyMilliseconds),
		"timezone":         "UTC",
	} {
		config.RuntimeParams[name] = value
	}
	for name, value := range settings {
		config.RuntimeParams[name] = value
	}
	pool := sql.OpenDB(numbering{stdlib.GetConnector(*config)})
	pool.SetMaxOpenConns(most)
	pool.SetMaxIdleConns(most)
	pool.SetConnMaxIdleTime(serverIdle)
	return pool
}

// shownServer writes the address of a server without its password.
func shownServer(c *pgx.ConnConfig) string {
	u := url.URL{Scheme: "postgres", Path: "/" + c.Database}
	if c.User != "" {
		u.User = url.User(c.User)
	}
	if strings.HasPrefix(c.Host, "/") {
		query := url.Values{"host": {c.Host}}
		if c.Port != 5432 {
			query.Set("port", strconv.Itoa(int(c.Port)))
		}
		u.RawQuery = strings.ReplaceAll(query.Encode(), "%2F", "/")
		return u.String()
	}
	u.Host = c.Host
	if c.Port != 5432 {
		u.Host = net.JoinHostPort(c.Host, strconv.Itoa(int(c.Port)))
	}
	return u.String()
}

func (p postgres) close() error { return errors.Join(p.shared.Close(), p.held.Close()) }

// lock waits until no other transaction writes, of whichever process. Then the next
// number of a record is the next in time as well, and what was looked at before writing
// still holds.
func (postgres) lock(ctx context.Context, tx *sql.Tx) error {
	_, err := tx.ExecContext(ctx, "SELECT pg_advisory_xact_lock(?)", writeLock)
	return err
}

func (postgres) waitForWriters(milliseconds int) string {
	return fmt.Sprintf("SET lock_timeout = %d", milliseconds)
}

func (postgres) unchanging() *sql.TxOptions {
	return &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}
}

func (postgres) columns() string {
	return `SELECT column_name FROM information_schema.columns
		WHERE table_schema = current_schema() AND table_name = ? AND is_generated = 'NEVER' ORDER BY ordinal_position`
}

func (postgres) afterCopy(ctx context.Context, tx *sql.Tx) error {
	_, err := tx.ExecContext(ctx, "SELECT setval(pg_get_serial_sequence('wording', 'id'), max(id)) FROM wording HAVING max(id) IS NOT NULL")
	return err
}

// linesOfBatch asks for an order: a server reads in any.
func (postgres) linesOfBatch() string {
	return "(SELECT * FROM drawn WHERE record_id = ?1 ORDER BY day, minute, ordinal) AS d"
}

func (postgres) findWording() string {
	return "SELECT id FROM wording WHERE key = wording_key(?1, ?2, ?3, ?4)"
}

// checkQuick asks for nothing: a server looks after its own pages.
func (postgres) checkQuick(context.Context, *sql.Tx, *checking) error { return nil }

// check looks whether what points at something finds it: the server holds its tables to
// that, unless a superuser told it not to.
func (postgres) check(ctx context.Context, tx *sql.Tx, c *checking) error {
	for parent, lost := range map[string]string{
		"record":  "SELECT record_id FROM drawn EXCEPT SELECT id FROM record",
		"wording": "SELECT wording FROM drawn WHERE wording IS NOT NULL EXCEPT SELECT id FROM wording",
	} {
		err := each(ctx, tx, func(*sql.Rows) error {
			c.found("a row of drawn belongs to no " + parent)
			return nil
		}, lost)
		if err != nil {
			return err
		}
	}
	return c.form(ctx, tx)
}

// parts names tables and indexes, columns, and triggers that are at work.
func (postgres) parts() string {
	return `SELECT 'table ' || tablename FROM pg_tables WHERE schemaname = current_schema()
		UNION ALL SELECT 'index ' || indexname FROM pg_indexes WHERE schemaname = current_schema()
		UNION ALL SELECT 'column ' || column_name || ' of ' || table_name FROM information_schema.columns WHERE table_schema = current_schema()
		UNION ALL SELECT 'trigger ' || t.tgname FROM pg_trigger AS t JOIN pg_class AS r ON r.oid = t.tgrelid
			WHERE r.relnamespace = current_schema()::regnamespace AND NOT t.tgisinternal AND t.tgenabled IN ('O', 'A')`
}

func (p postgres) backup(ctx context.Context, _ string) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	return fmt.Errorf("the records in %s are on a PostgreSQL server, which has means of its own for backups, such as pg_dump and the archiving of its log; \"limekeep export\" writes all records as lines, \"limekeep copy\" into one file: %w", p.address, errors.ErrUnsupported)
}
