package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strconv"
	"time"

	"limekeep/schedule"
)

var _ schedule.Shared = (*DB)(nil)

// Alone waits until no other server holds a name. In a file nobody else does: there it is
// one server's.
func (db *sharedState) Alone(ctx context.Context, name string) (release func(), err error) {
	release, err = db.engine.alone(ctx, name)
	return release, db.inWords(err)
}

// Remember keeps a value under a kind and key for a while.
func (db *sharedState) Remember(ctx context.Context, kind, key, value string, lasts time.Duration) error {
	return db.inWords(finish(ctx, db.state(), &sql.TxOptions{}, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM remembered WHERE until < ?`, db.now().Unix()); err != nil {
			return err
		}
		return db.remember(ctx, tx, kind, key, value, lasts)
	}))
}

func (db *connections) remember(ctx context.Context, tx *sql.Tx, kind, key, value string, lasts time.Duration) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO remembered (kind, key, value, until) VALUES (?, ?, ?, ?)
		ON CONFLICT (kind, key) DO UPDATE SET value = excluded.value, until = excluded.until`, kind, key, value, db.now().Add(lasts).Unix())
	return err
}

// rememberForm keeps with records which form wrote them.
func (db *connections) rememberForm(ctx context.Context, tx *sql.Tx, id int64) error {
	token := schedule.FormOf(ctx)
	if token == "" || id == 0 {
		return nil
	}
	return db.remember(ctx, tx, schedule.FormKind, token, strconv.FormatInt(id, 10), schedule.FormLasts)
}

// Recall returns what is remembered; false where nothing is.
func (db *sharedState) Recall(ctx context.Context, kind, key string) (value string, ok bool, err error) {
	err = db.read.QueryRowContext(ctx, `SELECT value FROM remembered WHERE kind = ? AND key = ? AND until >= ?`, kind, key, db.now().Unix()).Scan(&value)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	return value, err == nil, db.inWords(err)
}

// RecallAll returns all that is remembered of a kind, by key.
func (db *sharedState) RecallAll(ctx context.Context, kind string) (map[string]string, error) {
	all := map[string]string{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var key, value string
			err := rows.Scan(&key, &value)
			all[key] = value
			return err
		}, `SELECT key, value FROM remembered WHERE kind = ? AND until >= ?`, kind, db.now().Unix())
	})
	return all, err
}

// Forget takes out what is remembered.
func (db *sharedState) Forget(ctx context.Context, kind, key string) error {
	_, err := db.state().ExecContext(ctx, `DELETE FROM remembered WHERE kind = ? AND key = ?`, kind, key)
	return db.inWords(err)
}

// SyncNumber returns the number of the last change of a place's to-dos.
func (db *syncStates) SyncNumber(ctx context.Context, place string) (int64, error) {
	var number int64
	err := db.read.QueryRowContext(ctx, `SELECT coalesce(max(number), 0) FROM todo_collection WHERE place = ?`, place).Scan(&number)
	if err != nil {
		return 0, fmt.Errorf("the to-dos of %s: %w", place, db.inWords(err))
	}
	return number, nil
}

// state is the pool for what is written besides records: on a server it need not wait
// for the writer of records.
func (db *connections) state() *sql.DB {
	if server, ok := db.engine.(postgres); ok {
		return server.shared
	}
	return db.write
}
