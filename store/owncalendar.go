package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"limekeep/schedule"
)

var _ schedule.OwnCalendarStore = (*DB)(nil)

// OwnCalendar returns what is known of the calendar of a place's owner.
func (db *ownCalendars) OwnCalendar(ctx context.Context, place string) (schedule.OwnCalendar, error) {
	var c schedule.OwnCalendar
	var taken int64
	err := db.read.QueryRowContext(ctx, `SELECT name, address, taken, wrong, version FROM own_calendar WHERE place = ?`, place).Scan(&c.Name, &c.Address, &taken, &c.Wrong, &c.Version)
	if errors.Is(err, sql.ErrNoRows) {
		return schedule.OwnCalendar{}, nil
	}
	if taken != 0 {
		c.Taken = time.Unix(taken, 0).UTC()
	}
	return c, ownCalendarError(place, err)
}

// OwnCalendarText returns its text; nil where there is none.
func (db *ownCalendars) OwnCalendarText(ctx context.Context, place string) ([]byte, error) {
	var body []byte
	err := db.read.QueryRowContext(ctx, `SELECT body FROM own_calendar WHERE place = ?`, place).Scan(&body)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return body, ownCalendarError(place, err)
}

// SetOwnCalendar keeps a calendar in the place of the one before. Versions go on from
// those before also where it was taken away meanwhile, so that none stands for two.
func (db *ownCalendars) SetOwnCalendar(ctx context.Context, place string, c schedule.OwnCalendar, text []byte) error {
	taken := int64(0)
	if !c.Taken.IsZero() {
		taken = c.Taken.Unix()
	}
	return ownCalendarError(place, db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO own_calendar (place, name, address, taken, wrong, version, body) VALUES (?, ?, ?, ?, ?, 1, ?)
			ON CONFLICT (place) DO UPDATE SET name = excluded.name, address = excluded.address, taken = excluded.taken, wrong = excluded.wrong, version = own_calendar.version + 1`,
			place, c.Name, c.Address, taken, c.Wrong, text)
		if err != nil {
			return err
		}
		if text != nil || c.None() {
			_, err = tx.ExecContext(ctx, `UPDATE own_calendar SET body = ? WHERE place = ?`, text, place)
		}
		return err
	}))
}

func ownCalendarError(place string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("the own calendar of %s: %w", place, err)
}
