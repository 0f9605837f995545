package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"fmt"
	"strconv"
)

// checksumBytes is how much of SHA-256 is kept of a record: a flipped bit goes
// unnoticed once in 2 to the power of 128.
const checksumBytes = 16

// checksumOf is the checksum of a record as the record table has it. No column but the
// last can hold a zero byte.
func checksumOf(id int64, place, kind, effective, entered, source, body string) []byte {
	h := sha256.New()
	for _, part := range []string{strconv.FormatInt(id, 10), place, kind, effective, entered, source, body} {
		h.Write([]byte(part))
		h.Write([]byte{0})
	}
	return h.Sum(nil)[:checksumBytes]
}

func keepChecksum(ctx context.Context, tx *sql.Tx, id int64, sum []byte) error {
	if _, err := tx.ExecContext(ctx, "INSERT INTO checksum (record_id, sum) VALUES (?, ?)", id, sum); err != nil {
		return fmt.Errorf("the checksum of record %d: %w", id, err)
	}
	return nil
}

// rawRow is a record with the text of its columns.
type rawRow struct {
	id                                            int64
	place, kind, effective, entered, source, body string
}

func (r rawRow) checksum() []byte {
	return checksumOf(r.id, r.place, r.kind, r.effective, r.entered, r.source, r.body)
}

const rawColumns = "r.id, r.place, r.kind, r.effective, r.entered, r.source, r.body"

func (r *rawRow) scan(rows *sql.Rows, more ...any) error {
	return rows.Scan(append([]any{&r.id, &r.place, &r.kind, &r.effective, &r.entered, &r.source, &r.body}, more...)...)
}

// addChecksums gives the records of a file that has none yet their checksums, all or
// none of them.
func (db schema) addChecksums(ctx context.Context) error {
	var tables int
	if err := db.write.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'checksum'").Scan(&tables); err != nil || tables == 0 {
		return err
	}
	const lacking = "SELECT EXISTS (SELECT 1 FROM record) AND NOT EXISTS (SELECT 1 FROM checksum)"
	var lacks bool
	if err := db.write.QueryRowContext(ctx, lacking).Scan(&lacks); err != nil || !lacks {
		return err
	}
	return db.inWrite(ctx, func(tx *sql.Tx) error {
		if err := tx.QueryRowContext(ctx, lacking).Scan(&lacks); err != nil || !lacks {
			return err // another process was quicker
		}
		sums := map[int64][]byte{}
		err := each(ctx, tx, func(rows *sql.Rows) error {
			var r rawRow
			if err := r.scan(rows); err != nil {
				return err
			}
			sums[r.id] = r.checksum()
			return nil
		}, "SELECT "+rawColumns+" FROM record r")
		if err != nil {
			return err
		}
		for id, sum := range sums {
			if err := keepChecksum(ctx, tx, id, sum); err != nil {
				return err
			}
		}
		return nil
	})
}

// sums finds records that are not as they were written.
func (c *checking) sums(ctx context.Context, tx *sql.Tx) error {
	err := each(ctx, tx, func(rows *sql.Rows) error {
		var r rawRow
		var sum []byte
		if err := r.scan(rows, &sum); err != nil {
			return err
		}
		switch {
		case sum == nil:
			c.found(fmt.Sprintf("record %d has no checksum", r.id))
		case !bytes.Equal(sum, r.checksum()):
			c.found(fmt.Sprintf("record %d is not as it was written: its checksum is another", r.id))
		}
		return nil
	}, "SELECT "+rawColumns+", s.sum FROM record r LEFT JOIN checksum s ON s.record_id = r.id ORDER BY r.id")
	return err
}
