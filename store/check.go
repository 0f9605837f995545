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
	return fmt.Sprintf("%s: %v; keep this file aside and restore a backup: %s", e.Path, ErrDamaged, strings.Join(e.Found, "; "))
}

// Unwrap makes errors.Is(err, ErrDamaged) true.
func (e *DamageError) Unwrap() error { return ErrDamaged }

// CheckQuick reports whether the pages of the file are whole, which takes little. A file
// that is not is a *DamageError.
func (db *DB) CheckQuick(ctx context.Context) error {
	c := &checking{}
	err := db.inRead(ctx, func(tx *sql.Tx) error { return c.lines(ctx, tx, fmt.Sprintf("PRAGMA quick_check(%d)", mostFound)) })
	if err != nil && ctx.Err() == nil {
		c.foundError(db.path, err)
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
	c := &checking{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		for _, look := range []func(context.Context, *sql.Tx) error{c.pages, c.form, c.pointers, c.bodies, c.sums, c.use} {
			if err := look(ctx, tx); err != nil {
				if ctx.Err() != nil {
					return err
				}
				// A file so torn that it cannot even be asked.
				c.foundError(db.path, err)
			}
		}
		return nil
	})
	switch {
	case err != nil && ctx.Err() != nil:
		return err
	case err != nil && len(c.faults) == 0: // else ending the transaction failed for the same reason
		c.foundError(db.path, err)
	}
	if len(c.faults) > 0 {
		return &DamageError{Path: db.path, Found: c.faults}
	}
	return nil
}

// checking gathers what is wrong.
type checking struct{ faults []string }

func (c *checking) found(fault string) {
	if len(c.faults) < mostFound {
		c.faults = append(c.faults, fault)
	}
}

// foundError is found with an error of the database, in our words.
func (c *checking) foundError(path string, err error) {
	var told *FaultError
	if errors.As(inWords(path, err), &told) {
		c.found(told.Why)
		return
	}
	c.found(err.Error())
}

func (c *checking) pages(ctx context.Context, tx *sql.Tx) error {
	return c.lines(ctx, tx, fmt.Sprintf("PRAGMA integrity_check(%d)", mostFound))
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
	for _, id := range batches {
		var says, has int64
		var agree bool
		err := tx.QueryRowContext(ctx, `SELECT
				(SELECT json_extract(body, '$.rows') FROM record WHERE id = ?1),
				(SELECT count(*) FROM drawn WHERE record_id = ?1),
				NOT EXISTS (SELECT * FROM (`+sumsOfBatch+`) EXCEPT SELECT `+sumColumns+` FROM drawn_day WHERE record_id = ?1)
				AND NOT EXISTS (SELECT `+sumColumns+` FROM drawn_day WHERE record_id = ?1 EXCEPT SELECT * FROM (`+sumsOfBatch+`))`,
			id).Scan(&says, &has, &agree)
		if err != nil {
			return fmt.Errorf("the use of record %d: %w", id, err)
		}
		if says != has {
			c.found(fmt.Sprintf("record %d is a batch of %d rows of use and has %d", id, says, has))
		}
		if !agree {
			c.found(fmt.Sprintf("the daily sums of record %d are not those of its rows", id))
		}
	}
	return nil
}
