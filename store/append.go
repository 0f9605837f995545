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

// row is an entry in the form in which the record table has it.
type row struct {
	place     string
	kind      record.Kind
	effective record.Date
	entered   string
	source    string
	body      string
}

// Append keeps all of the entries or none, and gives their ids in order. Each
// entry must have a place, the instant it was entered and a body that is valid;
// a *record.FieldError tells what is missing. Its effective day is kept as
// given, but for two kinds: a void has that of the record it voids, a batch of
// use its first day. What cannot be voided is a *VoidError, an id that stands
// for nothing an error that matches record.ErrUnknown.
func (db *DB) Append(ctx context.Context, entries ...record.Entry) ([]int64, error) {
	if len(entries) == 0 {
		return nil, nil
	}
	ids := make([]int64, len(entries))
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		for i, e := range entries {
			var err error
			if ids[i], err = appendOne(ctx, tx, e); err != nil {
				if len(entries) > 1 {
					err = fmt.Errorf("entry %d of %d, a reason to keep none: %w", i+1, len(entries), err)
				}
				return err
			}
		}
		return db.rememberForm(ctx, tx, ids[0])
	})
	if err != nil {
		return nil, err
	}
	return ids, nil
}

// AppendAfter keeps a publication that follows on the last one of its place by its
// day, if that is the one given, 0 for none; else it is an error that matches
// schedule.ErrOtherPublication, and nothing is kept.
func (db *DB) AppendAfter(ctx context.Context, last int64, entry record.Entry) (int64, error) {
	var id int64
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		now, err := lastPublication(ctx, tx, entry.Place, entry.Effective)
		if err != nil {
			return err
		}
		if now != last {
			return schedule.ErrOtherPublication
		}
		id, err = appendOne(ctx, tx, entry)
		return err
	})
	return id, err
}

// lastPublication gives the record of the last publication that a book shows; 0 where
// it shows none.
func lastPublication(ctx context.Context, tx *sql.Tx, place string, until record.Date) (int64, error) {
	last, err := readPublication(ctx, tx, place, until)
	if err != nil || last == nil {
		return 0, err
	}
	return last.ID, nil
}

func appendOne(ctx context.Context, tx *sql.Tx, e record.Entry) (int64, error) {
	r, body, err := encode(e)
	if err != nil {
		return 0, err
	}
	switch body := body.(type) {
	case record.Void:
		if r.effective, err = checkVoid(ctx, tx, r.place, body.Record); err != nil {
			return 0, err
		}
	case record.UseBatch:
		if body.Rows != 0 {
			return 0, &record.FieldError{Field: "rows", Value: fmt.Sprint(body.Rows), Want: "0, or the rows themselves with the batch"}
		}
		r.effective = body.From
	case record.Place:
		if body.ID != e.Place {
			return 0, &record.FieldError{Field: "place", Value: e.Place, Want: fmt.Sprintf("%q, the id of the place that is set up", body.ID)}
		}
	}
	return r.insert(ctx, tx, nil)
}

// encode checks an entry and gives it in the form in which it is kept, and its
// body as it will be read again.
func encode(e record.Entry) (row, record.Body, error) {
	if e.Body == nil {
		return row{}, nil, &record.FieldError{Field: "body", Want: "what the record says"}
	}
	if err := e.Body.Validate(); err != nil {
		return row{}, nil, err
	}
	kind, data, err := record.Encode(e.Body)
	if err != nil {
		return row{}, nil, fmt.Errorf("a %s record cannot be written: %w", kind, err)
	}
	body, err := record.Decode(kind, data)
	if err != nil {
		return row{}, nil, err
	}
	if e.Place == "" {
		return row{}, nil, &record.FieldError{Field: "place", Want: "the id of the place the record belongs to"}
	}
	entered := e.Entered.UTC()
	if e.Entered.IsZero() || entered.Year() < 1 || entered.Year() > 9999 {
		return row{}, nil, &record.FieldError{Field: "entered", Want: "the instant at which it is written down"}
	}
	return row{
		place:     e.Place,
		kind:      kind,
		effective: e.Effective,
		entered:   entered.Format(time.RFC3339Nano),
		source:    e.Source,
		body:      string(data),
	}, body, nil
}

// lastDate is the last that can be written with four digits for the year.
var lastDate = record.NewDate(9999, time.December, 31)

// insert writes the row and gives its id: the next, or the one given.
func (r row) insert(ctx context.Context, tx *sql.Tx, id *int64) (int64, error) {
	if r.effective <= 0 || r.effective > lastDate {
		return 0, &record.FieldError{Field: "effective", Want: "the day from which it holds, in the years 1 to 9999"}
	}
	var given int64
	err := tx.QueryRowContext(ctx,
		"INSERT INTO record (id, place, kind, effective, entered, source, body) VALUES (coalesce(?, ("+nextRecord+")), ?, ?, ?, ?, ?, ?) RETURNING id",
		id, r.place, string(r.kind), r.effective.String(), r.entered, r.source, r.body).Scan(&given)
	if err != nil {
		return 0, fmt.Errorf("a %s record: %w", r.kind, err)
	}
	return given, keepChecksum(ctx, tx, given, checksumOf(given, r.place, string(r.kind), r.effective.String(), r.entered, r.source, r.body))
}

// VoidError says why a record cannot be voided.
type VoidError struct {
	Record int64
	By     int64  // the record that voids it already, 0 where the reason is another
	Why    string // the reason, to follow "cannot be voided: "
}

// Error names the record and the reason.
func (e *VoidError) Error() string {
	return fmt.Sprintf("record %d cannot be voided: %s", e.Record, e.Why)
}

// checkVoid sees that a record can be voided by one of a place, and gives its
// effective day, which is that of the void as well.
func checkVoid(ctx context.Context, tx *sql.Tx, place string, target int64) (record.Date, error) {
	var of, kind, effective string
	var by sql.NullInt64
	err := tx.QueryRowContext(ctx,
		"SELECT t.place, t.kind, t.effective, v.id FROM record t LEFT JOIN record v ON v.voids = t.id WHERE t.id = ?",
		target).Scan(&of, &kind, &effective, &by)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return 0, unknownRecord(target)
	case err != nil:
		return 0, err
	case of != place:
		return 0, &VoidError{Record: target, Why: fmt.Sprintf("it belongs to another place than %q; void it there", place)}
	case record.Kind(kind) == record.KindVoid:
		return 0, &VoidError{Record: target, Why: "it voids another itself; write that one again instead"}
	case by.Valid:
		return 0, &VoidError{Record: target, By: by.Int64, Why: fmt.Sprintf("record %d voids it already", by.Int64)}
	}
	return record.ParseDate(effective)
}

func unknownRecord(id int64) error {
	return &record.UnknownError{What: "record", Name: fmt.Sprint(id)}
}
