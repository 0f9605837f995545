package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
)

// DamageError says what is wrong with a file of records.
type DamageError struct {
	Path  string
	Found []string // at most mostFound lines
}

// ErrDamaged is at the root of every error about a file that is not sound.
var ErrDamaged = errors.New("the records are damaged")

// mostFound is how many faults are listed: a torn file has thousands.
const mostFound = 20

// Error lists what was found and says what to do.
func (e *DamageError) Error() string {
	do := "keep this file aside and restore a backup"
	if IsServer(e.Path) {
		do = "restore a backup of the database"
	}
	return fmt.Sprintf("%s: %v; %s: %s", e.Path, ErrDamaged, do, strings.Join(e.Found, "; "))
}

// Unwrap makes errors.Is(err, ErrDamaged) true.
func (e *DamageError) Unwrap() error { return ErrDamaged }

// CheckQuick reports whether the pages of the file are whole, which takes little. A file
// that is not is a *DamageError.
func (db *DB) CheckQuick(ctx context.Context) error {
	c := &checking{engine: db.engine}
	err := db.inRead(ctx, func(tx *sql.Tx) error { return db.engine.checkQuick(ctx, tx, c) })
	if err != nil && ctx.Err() == nil && !passes(err) {
		c.foundError(err)
		err = nil
	}
	if len(c.faults) > 0 {
		return &DamageError{Path: db.path, Found: c.faults}
	}
	return err
}

// Check reports whether the file is sound: that its pages are whole, that what
// points at a record finds one, that every record can be read
// and is as it was written, that each batch
// of use has the rows it says, and that the daily sums are those of the rows. A
// file that is not is a *DamageError.
func (db *DB) Check(ctx context.Context) error {
	c := &checking{engine: db.engine}
	own := func(ctx context.Context, tx *sql.Tx) error { return db.engine.check(ctx, tx, c) }
	for _, look := range []func(context.Context, *sql.Tx) error{own, c.bodies, c.sums, c.use} {
		// Each in a transaction of its own: one that failed answers nothing more.
		if err := db.inRead(ctx, func(tx *sql.Tx) error { return look(ctx, tx) }); err != nil {
			if ctx.Err() != nil || passes(err) {
				return err
			}
			// Records so torn that they cannot even be asked for.
			c.foundError(err)
		}
	}
	if len(c.faults) > 0 {
		return &DamageError{Path: db.path, Found: c.faults}
	}
	return nil
}

// checking gathers what is wrong.
type checking struct {
	engine engine
	faults []string
}

func (c *checking) found(fault string) {
	if len(c.faults) < mostFound {
		c.faults = append(c.faults, fault)
	}
}

// foundError is found with an error of the database, in our words.
func (c *checking) foundError(err error) {
	var told *FaultError
	if errors.As(c.engine.inWords(err), &told) {
		c.found(told.Why)
		return
	}
	c.found(err.Error())
}

func (sqliteFile) checkQuick(ctx context.Context, tx *sql.Tx, c *checking) error {
	return c.lines(ctx, tx, fmt.Sprintf("PRAGMA quick_check(%d)", mostFound))
}

func (sqliteFile) check(ctx context.Context, tx *sql.Tx, c *checking) error {
	for _, look := range []func(context.Context, *sql.Tx) error{
		func(ctx context.Context, tx *sql.Tx) error {
			return c.lines(ctx, tx, fmt.Sprintf("PRAGMA integrity_check(%d)", mostFound))
		}, c.form, c.pointers,
	} {
		if err := look(ctx, tx); err != nil {
			if ctx.Err() != nil {
				return err
			}
			// A file so torn that it cannot even be asked.
			c.foundError(err)
		}
	}
	return nil
}

// lines counts what SQLite says of its pages: its words are for those who know how it keeps
// them.
func (c *checking) lines(ctx context.Context, tx *sql.Tx, pragma string) error {
	faults := 0
	err := each(ctx, tx, func(rows *sql.Rows) error {
		var line string
		if err := rows.Scan(&line); err != nil {
			return err
		}
		if line != "ok" {
			faults++
		}
		return nil
	}, pragma)
	if faults > 0 {
		c.found(fmt.Sprintf("the pages of the file are not whole: at least %d faults", faults))
	}
	return err
}

func (c *checking) pointers(ctx context.Context, tx *sql.Tx) error {
	return each(ctx, tx, func(rows *sql.Rows) error {
		var table, parent string
		var row, key sql.NullInt64
		if err := rows.Scan(&table, &row, &parent, &key); err != nil {
			return err
		}
		c.found(fmt.Sprintf("a row of %s belongs to no %s", table, parent))
		return nil
	}, "PRAGMA foreign_key_check")
}

func (c *checking) bodies(ctx context.Context, tx *sql.Tx) error {
	return each(ctx, tx, func(rows *sql.Rows) error {
		if _, err := scanEntry(rows); err != nil {
			c.found(err.Error())
		}
		return nil
	}, selectEntries+"ORDER BY r.id")
}

func (c *checking) use(ctx context.Context, tx *sql.Tx) error {
	batches, err := useBatches(ctx, tx)
	if err != nil {
		return err
	}
	worked := sumsOfBatch(c.engine)
	for _, id := range batches {
		place, batch, err := useBatch(ctx, tx, id)
		if err != nil {
			continue // told of already
		}
		var has int
		var agree bool
		err = tx.QueryRowContext(ctx, `SELECT
				(SELECT count(*) FROM drawn WHERE record_id = ?1),
				NOT EXISTS (SELECT * FROM (`+worked+`) AS worked_out EXCEPT SELECT `+sumColumns+` FROM drawn_day WHERE record_id = ?1)
				AND NOT EXISTS (SELECT `+sumColumns+` FROM drawn_day WHERE record_id = ?1 EXCEPT SELECT * FROM (`+worked+`) AS worked_out)`,
			id, place, batch.Machine).Scan(&has, &agree)
		if err != nil {
			return fmt.Errorf("the use of record %d: %w", id, err)
		}
		if batch.Rows != has {
			c.found(fmt.Sprintf("record %d is a batch of %d rows of use and has %d", id, batch.Rows, has))
		}
		if !agree {
			c.found(fmt.Sprintf("the daily sums of record %d are not those of its rows", id))
		}
	}
	return nil
}
