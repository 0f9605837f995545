package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"math"
	"slices"
	"strings"
)

// copied are the tables that a copy takes along, what is pointed at before what points at
// it, each with the columns that put its rows in order, and whether it is state that may
// be replaced.
var copied = []struct {
	table, order string
	state        bool
}{
	{"record", "id", false},
	{"checksum", "record_id", false},
	{"wording", "id", false},
	{"drawn", "record_id, day, minute, ordinal", false},
	{"drawn_day", "place, machine, day, record_id", true},
	{"feed_secret", "place", true},
	{"app_password", "place, name", true},
	{"owner", "only_one", true},
	{"person", "name", true},
	{"invitation", "hash", true},
	{"session", "hash", true},
	{"session_person", "hash", true}, // without it a session would be the owner's
	{"todo_collection", "place", true},
	{"todo_object", "place, name", true},
	{"todo_mark", "place, uid", true},
	{"begun_sitting", "place, id", true},
	{"served_address", "place", true},
	{"own_calendar", "place", true},
}

// notCopied are the tables that a copy leaves: what can be worked out again, what is
// good for a day at most, and how the schema came about.
var notCopied = []string{"derived", "setup_link", "remembered", "goose_db_version"}

// Copied is what a copy took along.
type Copied struct {
	Records int64
	Lines   int64 // of use
}

// NotEmptyError says that records were not copied since there are some already.
type NotEmptyError struct{ Path string }

// Error names the records and says what to do.
func (e *NotEmptyError) Error() string {
	return fmt.Sprintf("the records in %s are not empty; name a file that is not there yet, or an empty database", e.Path)
}

// Copy takes everything from one place to another that has no records yet, from a file to
// a server or the other way: records with their numbers, times and bytes, lines of use and
// their sums, passwords, secrets, and what task apps were shown, so that all who ask find
// there what they would have found here. It is as it was at one moment, all of it or
// nothing. Before it counts, all is read back and compared, to the bit. Where there are
// records already it is a *NotEmptyError.
func Copy(ctx context.Context, from, to *DB) (Copied, error) {
	var done Copied
	err := from.inRead(ctx, func(source *sql.Tx) error {
		return to.inWrite(ctx, func(target *sql.Tx) error {
			var there bool
			if err := target.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM record)").Scan(&there); err != nil {
				return err
			}
			if there {
				return &NotEmptyError{to.path}
			}
			for _, c := range slices.Backward(copied) {
				if !c.state {
					continue
				}
				// Of records that were opened before, and begun with a password perhaps.
				if _, err := target.ExecContext(ctx, "DELETE FROM "+c.table); err != nil {
					return err
				}
			}
			for _, c := range copied {
				rows, err := copyTable(ctx, from, source, target, c.table, c.order)
				if err != nil {
					return fmt.Errorf("copying the table %s: %w", c.table, err)
				}
				switch c.table {
				case "record":
					done.Records = rows
				case "drawn":
					done.Lines = rows
				}
			}
			return to.engine.afterCopy(ctx, target)
		})
	})
	if err != nil {
		return Copied{}, err
	}
	return done, to.Check(ctx)
}

// ErrCopyDiffers says that what was read back was not what was written.
var ErrCopyDiffers = errors.New("what was read back is not what was copied; nothing was kept")

// mostParameters bounds those of one statement.
const mostParameters = 600

// copyTable copies the rows of a table, reads them back, and returns how many there are.
func copyTable(ctx context.Context, from *DB, source, target *sql.Tx, table, order string) (int64, error) {
	columns, err := columnsOf(ctx, from.engine, source, table)
	if err != nil {
		return 0, err
	}
	query := "SELECT " + strings.Join(columns, ", ") + " FROM " + table + " ORDER BY " + order
	flags, err := booleans(ctx, target, query)
	if err != nil {
		return 0, err
	}
	read := newDigest()
	insert := &rowInsert{tx: target, table: table, columns: columns}
	err = eachRow(ctx, source, len(columns), func(values []any) error {
		read.add(values)
		for i, flag := range flags {
			if n, ok := values[i].(int64); ok && flag {
				values[i] = n != 0
			}
		}
		return insert.add(ctx, values)
	}, query)
	if err != nil {
		return 0, err
	}
	if err := insert.flush(ctx); err != nil {
		return 0, err
	}
	written := newDigest()
	err = eachRow(ctx, target, len(columns), func(values []any) error {
		written.add(values)
		return nil
	}, query)
	if err != nil {
		return 0, err
	}
	if read.rows != written.rows || !slices.Equal(read.sum.Sum(nil), written.sum.Sum(nil)) {
		return 0, ErrCopyDiffers
	}
	return read.rows, nil
}

func columnsOf(ctx context.Context, e engine, tx *sql.Tx, table string) ([]string, error) {
	var columns []string
	err := each(ctx, tx, func(rows *sql.Rows) error {
		var name string
		err := rows.Scan(&name)
		columns = append(columns, name)
		return err
	}, e.columns(), table)
	return columns, err
}

// booleans says which columns of a query are true or false, and not 1 or 0.
func booleans(ctx context.Context, tx *sql.Tx, query string) ([]bool, error) {
	rows, err := tx.QueryContext(ctx, query+" LIMIT 0")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	types, err := rows.ColumnTypes()
	if err != nil {
		return nil, err
	}
	flags := make([]bool, len(types))
	for i, t := range types {
		flags[i] = t.DatabaseTypeName() == "BOOL"
	}
	return flags, rows.Err()
}

// eachRow hands over the values of each row of a query, in a list that is used again.
func eachRow(ctx context.Context, tx *sql.Tx, columns int, take func([]any) error, query string) error {
	values, into := make([]any, columns), make([]any, columns)
	for i := range values {
		into[i] = &values[i]
	}
	return each(ctx, tx, func(rows *sql.Rows) error {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		return take(values)
	}, query)
}

// rowInsert writes rows, several with one statement.
type rowInsert struct {
	tx      *sql.Tx
	table   string
	columns []string
	waiting []any
}

func (r *rowInsert) add(ctx context.Context, values []any) error {
	r.waiting = append(r.waiting, values...)
	if len(r.waiting)+len(r.columns) <= mostParameters {
		return nil
	}
	return r.flush(ctx)
}

func (r *rowInsert) flush(ctx context.Context) error {
	if len(r.waiting) == 0 {
		return nil
	}
	one := "(?" + strings.Repeat(",?", len(r.columns)-1) + ")"
	statement := "INSERT INTO " + r.table + " (" + strings.Join(r.columns, ", ") + ") VALUES " +
		one + strings.Repeat(","+one, len(r.waiting)/len(r.columns)-1)
	_, err := r.tx.ExecContext(ctx, statement, r.waiting...)
	clear(r.waiting)
	r.waiting = r.waiting[:0]
	return err
}

// digest is a checksum of rows that is the same for the same values, in whichever
// database they are.
type digest struct {
	sum  hash.Hash
	rows int64
}

func newDigest() *digest { return &digest{sum: sha256.New()} }

func (d *digest) add(values []any) {
	d.rows++
	var b []byte
	for _, v := range values {
		switch v := v.(type) {
		case nil:
			b = append(b, 'n')
		case bool:
			n := uint64(0)
			if v {
				n = 1
			}
			b = binary.BigEndian.AppendUint64(append(b, 'i'), n)
		case int64:
			b = binary.BigEndian.AppendUint64(append(b, 'i'), uint64(v))
		case float64:
			b = binary.BigEndian.AppendUint64(append(b, 'f'), math.Float64bits(v))
		case string:
			b = append(binary.BigEndian.AppendUint64(append(b, 't'), uint64(len(v))), v...)
		case []byte:
			b = append(binary.BigEndian.AppendUint64(append(b, 'b'), uint64(len(v))), v...)
		default:
			b = fmt.Appendf(append(b, '?'), "%T %v", v, v)
		}
	}
	d.sum.Write(b)
}
