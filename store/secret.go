package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"fmt"
)

// Secret returns the secret in the address of a place's calendar, made up the
// first time it is asked for. It is state, not a record: ReplaceSecret may
// change it at any time.
func (db *addresses) Secret(ctx context.Context, place string) (string, error) {
	var secret string
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO feed_secret (place, secret) VALUES (?, ?) ON CONFLICT (place) DO NOTHING`, place, rand.Text())
		if err != nil {
			return err
		}
		return tx.QueryRowContext(ctx, `SELECT secret FROM feed_secret WHERE place = ?`, place).Scan(&secret)
	})
	if err != nil {
		return "", fmt.Errorf("the secret of the calendar of %s: %w", place, err)
	}
	return secret, nil
}

// ReplaceSecret makes a new secret, so that the old address of the calendar
// leads nowhere any more.
func (db *addresses) ReplaceSecret(ctx context.Context, place string) (string, error) {
	secret := rand.Text()
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO feed_secret (place, secret) VALUES (?, ?) ON CONFLICT (place) DO UPDATE SET secret = excluded.secret`, place, secret)
		return err
	})
	if err != nil {
		return "", fmt.Errorf("the secret of the calendar of %s: %w", place, err)
	}
	return secret, nil
}
