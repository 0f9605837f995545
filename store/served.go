package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// ServedAddress returns the address under which a place is served, or was last, such
// as http://127.0.0.1:8321; empty where it never was. It is state, not a record.
func (db *addresses) ServedAddress(ctx context.Context, place string) (string, error) {
	var address string
	err := db.read.QueryRowContext(ctx, `SELECT address FROM served_address WHERE place = ?`, place).Scan(&address)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return "", fmt.Errorf("the address under which %s is served: %w", place, db.inWords(err))
	}
	return address, nil
}

// SetServedAddress keeps under which address a place is served from now on.
func (db *addresses) SetServedAddress(ctx context.Context, place, address string) error {
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO served_address (place, address) VALUES (?, ?) ON CONFLICT (place) DO UPDATE SET address = excluded.address WHERE served_address.address <> excluded.address`, place, address)
		return err
	})
	if err != nil {
		return fmt.Errorf("the address under which %s is served: %w", place, err)
	}
	return nil
}
