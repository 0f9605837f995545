package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"

	"limekeep/schedule"
)

var _ schedule.DerivedStore = (*DB)(nil)

// derivedPatience is how long keeping something that can be worked out again may wait
// for another process that writes, in milliseconds (assumption).
const derivedPatience = 50

// derivedSum is the checksum of what is kept, with what it is kept as: a flipped bit in
// either is told.
func derivedSum(place, kind, key string, data []byte) []byte {
	h := sha256.New()
	for _, part := range []string{place, kind, key} {
		h.Write(binary.BigEndian.AppendUint64(nil, uint64(len(part))))
		h.Write([]byte(part))
	}
	h.Write(data)
	return h.Sum(nil)[:checksumBytes]
}

// Derived returns what is kept of a kind under a key; nil where nothing is, or what is
// there is not as it was kept.
func (db *derivedState) Derived(ctx context.Context, place, kind, key string) ([]byte, error) {
	var sum, data []byte
	err := db.read.QueryRowContext(ctx, `SELECT sum, data FROM derived WHERE place = ? AND kind = ? AND key = ?`, place, kind, key).Scan(&sum, &data)
	if errors.Is(err, sql.ErrNoRows) || err == nil && !slices.Equal(sum, derivedSum(place, kind, key, data)) {
		return nil, nil
	}
	return data, derivedError(place, kind, err)
}

// AllDerived returns all that is kept of a kind, by key, but for what is not as it was
// kept.
func (db *derivedState) AllDerived(ctx context.Context, place, kind string) (map[string][]byte, error) {
	rows, err := db.read.QueryContext(ctx, `SELECT key, sum, data FROM derived WHERE place = ? AND kind = ?`, place, kind)
	if err != nil {
		return nil, derivedError(place, kind, err)
	}
	defer rows.Close()
	all := map[string][]byte{}
	for rows.Next() {
		var key string
		var sum, data []byte
		if err := rows.Scan(&key, &sum, &data); err != nil {
			return nil, derivedError(place, kind, err)
		}
		if slices.Equal(sum, derivedSum(place, kind, key, data)) {
			all[key] = data
		}
	}
	return all, derivedError(place, kind, rows.Err())
}

// KeepDerived keeps something in the place of what its key had, and lets go of what was
// kept first of its kind where all would be more bytes than most. It gives up at once
// where another process is writing.
func (db *derivedState) KeepDerived(ctx context.Context, place, kind, key string, data []byte, most int) error {
	if len(data) > most {
		return nil
	}
	err := db.hastily(ctx, func(tx *sql.Tx) error {
		// A new row, so that it is the last to go.
		if _, err := tx.ExecContext(ctx, `DELETE FROM derived WHERE place = ? AND kind = ? AND key = ?`, place, kind, key); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO derived (place, kind, key, sum, data) VALUES (?, ?, ?, ?, ?)`, place, kind, key, derivedSum(place, kind, key, data), data); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `DELETE FROM derived WHERE number IN (
			SELECT number FROM (
				SELECT number, sum(length(data)) OVER (ORDER BY number DESC) AS bytes
				FROM derived WHERE place = ? AND kind = ?) AS held
			WHERE bytes > ?)`, place, kind, most)
		return err
	})
	return derivedError(place, kind, err)
}

// hastily is inWrite for what is worth no wait.
func (db *connections) hastily(ctx context.Context, do func(*sql.Tx) error) error {
	conn, err := db.write.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	wait := func(milliseconds int) error {
		_, err := conn.ExecContext(context.WithoutCancel(ctx), db.engine.waitForWriters(milliseconds))
		return err
	}
	if err := wait(derivedPatience); err != nil {
		return err
	}
	return errors.Join(db.inWords(finish(ctx, conn, &sql.TxOptions{}, db.locked(ctx, do))), wait(busyMilliseconds))
}

func derivedError(place, kind string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("what was worked out of %s (%s): %w", place, kind, err)
}
