package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

var _ schedule.SittingStore = (*DB)(nil)

// mostSittings is how many sittings of a place are kept; older ones are forgotten.
// Assumption.
const mostSittings = 100

// BegunSittings returns the sittings of a place, the latest first.
func (db *begunSittings) BegunSittings(ctx context.Context, place string, most int) ([]schedule.BegunSitting, error) {
	rows, err := db.read.QueryContext(ctx, `SELECT id, version, begun, over, checklist FROM begun_sitting WHERE place = ? ORDER BY over, begun DESC, id LIMIT ?`, place, most)
	if err != nil {
		return nil, sittingError(place, db.inWords(err))
	}
	defer rows.Close()
	var all []schedule.BegunSitting
	for rows.Next() {
		s, err := scanSitting(rows)
		if err != nil {
			return nil, sittingError(place, db.inWords(err))
		}
		all = append(all, s)
	}
	return all, sittingError(place, db.inWords(rows.Err()))
}

// BegunSitting returns one sitting.
func (db *begunSittings) BegunSitting(ctx context.Context, place, id string) (schedule.BegunSitting, error) {
	s, err := scanSitting(db.read.QueryRowContext(ctx, `SELECT id, version, begun, over, checklist FROM begun_sitting WHERE place = ? AND id = ?`, place, id))
	if errors.Is(err, sql.ErrNoRows) {
		return s, &record.UnknownError{What: "sitting", Name: id}
	}
	return s, sittingError(place, db.inWords(err))
}

func scanSitting(row interface{ Scan(...any) error }) (schedule.BegunSitting, error) {
	var s schedule.BegunSitting
	var begun int64
	err := row.Scan(&s.ID, &s.Version, &begun, &s.Over, &s.Checklist)
	s.Begun = time.Unix(begun, 0).UTC()
	return s, err
}

// KeepSitting keeps a sitting in the place of the version it was made from.
func (db *begunSittings) KeepSitting(ctx context.Context, place string, s schedule.BegunSitting) error {
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		var open int
		if err := tx.QueryRowContext(ctx, `SELECT count(*) FROM begun_sitting WHERE place = ? AND NOT over AND id <> ?`, place, s.ID).Scan(&open); err != nil {
			return err
		}
		if s.Version == 0 && open > 0 {
			return schedule.ErrOtherVersion
		}
		change, args := `UPDATE begun_sitting SET version = version + 1, over = ?, checklist = ? WHERE place = ? AND id = ? AND version = ?`,
			[]any{s.Over, string(s.Checklist), place, s.ID, s.Version}
		if s.Version == 0 {
			change, args = `INSERT INTO begun_sitting (place, id, version, begun, over, checklist) VALUES (?, ?, 1, ?, ?, ?) ON CONFLICT DO NOTHING`,
				[]any{place, s.ID, s.Begun.Unix(), s.Over, string(s.Checklist)}
		}
		done, err := tx.ExecContext(ctx, change, args...)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, schedule.ErrOtherVersion)
		}
		_, err = tx.ExecContext(ctx, `DELETE FROM begun_sitting WHERE place = ? AND over AND id NOT IN (SELECT id FROM begun_sitting WHERE place = ? ORDER BY begun DESC LIMIT ?)`, place, place, mostSittings)
		return err
	})
	return sittingError(place, err)
}

func sittingError(place string, err error) error {
	if err == nil || errors.Is(err, schedule.ErrOtherVersion) {
		return err
	}
	return fmt.Errorf("the sittings of %s: %w", place, err)
}
