package store

import (
	"context"
	"database/sql"
)

// engine is what SQLite and PostgreSQL do each their own way. All else is the same SQL,
// in which parameters are written as ? or ?1.
type engine interface {
	// lock makes a transaction the only one that writes until it ends, in whichever
	// process.
	lock(ctx context.Context, tx *sql.Tx) error

	// waitForWriters is the statement that says how long a connection waits for another
	// that writes.
	waitForWriters(milliseconds int) string

	// unchanging are the options of a transaction that sees one state of the records,
	// whatever is written meanwhile.
	unchanging() *sql.TxOptions

	// inWords puts an error of the database into plain words; others stay as they are.
	inWords(err error) error

	// taken reports whether a row was refused since there is one of its key.
	taken(err error) bool

	// findWording is the statement that finds the number of a wording by its four texts.
	findWording() string

	// linesOfBatch are the lines d of the batch ?1, in the order in which they are summed.
	linesOfBatch() string

	// checkQuick and check gather what the database says of its own soundness.
	checkQuick(ctx context.Context, tx *sql.Tx, c *checking) error
	check(ctx context.Context, tx *sql.Tx, c *checking) error

	// parts is the query for the names of tables, columns, indexes and triggers. Those of
	// a file are all on a server as well.
	parts() string

	// alone holds a name among all processes until the function that it returns is called.
	alone(ctx context.Context, name string) (release func(), err error)

	// columns is the query for the columns of a table, but for those that follow from
	// others.
	columns() string

	// afterCopy sees to it that what is written after a copy gets numbers of its own.
	afterCopy(ctx context.Context, tx *sql.Tx) error

	// close ends what the engine has open besides the connections of the DB.
	close() error

	// backup writes a copy into a new file.
	backup(ctx context.Context, path string) error
}
