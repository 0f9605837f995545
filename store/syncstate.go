package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"limekeep/schedule"
)

var _ schedule.SyncStore = (*DB)(nil)

// mostGone is how many objects that are gone are remembered; an app that has not
// looked for longer fetches everything anew. Assumption.
const mostGone = 2000

// SyncState returns the state of a place's to-dos.
func (db *syncStates) SyncState(ctx context.Context, place string) (schedule.SyncState, error) {
	var s schedule.SyncState
	err := db.inRead(ctx, func(tx *sql.Tx) (err error) {
		s, err = readSyncState(ctx, tx, place)
		return err
	})
	return s, syncError(place, err)
}

// SetObjects puts objects in the place of those that are there.
func (db *syncStates) SetObjects(ctx context.Context, place string, tags map[string]string) (schedule.SyncState, error) {
	before, err := db.SyncState(ctx, place)
	if err != nil || before.Epoch != "" && len(changes(before, tags)) == 0 {
		return before, err // most often nothing changed, and then nobody waits for the lock
	}
	return db.changeSyncState(ctx, place, func(tx *sql.Tx, s schedule.SyncState) error {
		changed := changes(s, tags)
		if len(changed) == 0 {
			return nil
		}
		next, err := count(ctx, tx, place)
		if err != nil {
			return err
		}
		for name, tag := range changed {
			_, err := tx.ExecContext(ctx, `
				INSERT INTO todo_object (place, name, tag, number) VALUES (?, ?, nullif(?, ''), ?)
				ON CONFLICT (place, name) DO UPDATE SET tag = excluded.tag, number = excluded.number`, place, name, tag, next)
			if err != nil {
				return err
			}
		}
		return forget(ctx, tx, place)
	})
}

// Touch returns an object another version though its bytes stay.
func (db *syncStates) Touch(ctx context.Context, place, name string) (schedule.SyncState, error) {
	return db.changeSyncState(ctx, place, func(tx *sql.Tx, s schedule.SyncState) error {
		if s.Objects[name].Tag == "" {
			return nil
		}
		next, err := count(ctx, tx, place)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `UPDATE todo_object SET number = ?, touched = touched + 1 WHERE place = ? AND name = ?`, next, place, name)
		return err
	})
}

// Marks returns what apps did to the entries of a place.
func (db *syncStates) Marks(ctx context.Context, place string) (map[string]schedule.Mark, error) {
	marks := map[string]schedule.Mark{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var uid, kind, at string
			if err := rows.Scan(&uid, &kind, &at); err != nil {
				return err
			}
			when, err := time.Parse(time.RFC3339, at)
			if err != nil {
				return fmt.Errorf("the mark of %s: %w", uid, err)
			}
			marks[uid] = schedule.Mark{Kind: schedule.MarkKind(kind), At: when}
			return nil
		}, `SELECT uid, mark, at FROM todo_mark WHERE place = ?`, place)
	})
	return marks, syncError(place, err)
}

// SetMark keeps a mark, or takes it back where it is the zero Mark.
func (db *syncStates) SetMark(ctx context.Context, place, uid string, m schedule.Mark) error {
	return syncError(place, db.inWrite(ctx, func(tx *sql.Tx) error {
		if m.Kind == "" {
			_, err := tx.ExecContext(ctx, `DELETE FROM todo_mark WHERE place = ? AND uid = ?`, place, uid)
			return err
		}
		_, err := tx.ExecContext(ctx, `
			INSERT INTO todo_mark (place, uid, mark, at) VALUES (?, ?, ?, ?)
			ON CONFLICT (place, uid) DO UPDATE SET mark = excluded.mark, at = excluded.at`,
			place, uid, string(m.Kind), m.At.UTC().Format(time.RFC3339))
		return err
	}))
}

// changeSyncState changes the state of a place in one transaction and gives it as it
// is then.
func (db *syncStates) changeSyncState(ctx context.Context, place string, do func(*sql.Tx, schedule.SyncState) error) (schedule.SyncState, error) {
	var after schedule.SyncState
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO todo_collection (place, epoch) VALUES (?, ?) ON CONFLICT (place) DO NOTHING`, place, rand.Text())
		if err != nil {
			return err
		}
		before, err := readSyncState(ctx, tx, place)
		if err != nil {
			return err
		}
		if err := do(tx, before); err != nil {
			return err
		}
		after, err = readSyncState(ctx, tx, place)
		return err
	})
	return after, syncError(place, err)
}

// changes returns the tags that differ, empty for what is no longer there.
func changes(s schedule.SyncState, tags map[string]string) map[string]string {
	changed := map[string]string{}
	for name, tag := range tags {
		if s.Objects[name].Tag != tag {
			changed[name] = tag
		}
	}
	for name, o := range s.Objects {
		if _, ok := tags[name]; !ok && o.Tag != "" {
			changed[name] = ""
		}
	}
	return changed
}

// count returns the next number.
func count(ctx context.Context, tx *sql.Tx, place string) (int64, error) {
	var next int64
	err := tx.QueryRowContext(ctx, `UPDATE todo_collection SET number = number + 1 WHERE place = ? RETURNING number`, place).Scan(&next)
	return next, err
}

// forget drops the oldest of too many objects that are gone.
func forget(ctx context.Context, tx *sql.Tx, place string) error {
	var upTo int64
	err := tx.QueryRowContext(ctx, `
		SELECT number FROM todo_object WHERE place = ? AND tag IS NULL ORDER BY number DESC LIMIT 1 OFFSET ?`, place, mostGone).Scan(&upTo)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, `DELETE FROM todo_object WHERE place = ? AND tag IS NULL AND number <= ?`, place, upTo); err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `UPDATE todo_collection SET oldest = ? WHERE place = ?`, upTo, place)
	return err
}

func readSyncState(ctx context.Context, tx *sql.Tx, place string) (schedule.SyncState, error) {
	s := schedule.SyncState{Objects: map[string]schedule.SyncObject{}}
	err := tx.QueryRowContext(ctx, `SELECT epoch, number, oldest FROM todo_collection WHERE place = ?`, place).Scan(&s.Epoch, &s.Number, &s.Oldest)
	if errors.Is(err, sql.ErrNoRows) {
		return s, nil
	}
	if err != nil {
		return s, err
	}
	err = each(ctx, tx, func(rows *sql.Rows) error {
		var name string
		var o schedule.SyncObject
		if err := rows.Scan(&name, &o.Tag, &o.Number, &o.Touched); err != nil {
			return err
		}
		s.Objects[name] = o
		return nil
	}, `SELECT name, coalesce(tag, ''), number, touched FROM todo_object WHERE place = ?`, place)
	return s, err
}

func syncError(place string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("the to-dos of %s: %w", place, err)
}
