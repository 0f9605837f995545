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
func (db *records) Append(ctx context.Context, entries ...record.Entry) ([]int64, error) {
	if len(entries) == 0 {
		return nil, nil
	}
	which := func(i int, err error) error {
		if len(entries) > 1 {
			return fmt.Errorf("entry %d of %d, a reason to keep none: %w", i+1, len(entries), err)
		}
		return err
	}
	encoded := make([]encodedEntry, len(entries)) // before the others are made to wait
	for i, e := range entries {
		var err error
		if encoded[i], err = encode(e); err != nil {
			return nil, which(i, err)
		}
	}
	ids := make([]int64, len(entries))
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		for i, e := range encoded {
			var err error
			if ids[i], err = e.append(ctx, tx); err != nil {
				return which(i, err)
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
func (db *records) AppendAfter(ctx context.Context, last int64, entry record.Entry) (int64, error) {
	encoded, err := encode(entry) // before the others are made to wait
	if err != nil {
		return 0, err
	}
	var id int64
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		follows, err := isLastPublication(ctx, tx, entry.Place, entry.Effective, last)
		if err != nil {
			return err
		}
		if !follows {
			return schedule.ErrOtherPublication
		}
		id, err = encoded.append(ctx, tx)
		return err
	})
	return id, err
}

// isLastPublication reports whether a record, which was read before, is the last publication
// that a book shows; 0 for none.
func isLastPublication(ctx context.Context, tx *sql.Tx, place string, until record.Date, id int64) (bool, error) {
	var newest int64
	err := tx.QueryRowContext(ctx, "SELECT r.id FROM record r LEFT JOIN record v ON v.voids = r.id "+publicationsOfPlace+" LIMIT 1", place, dayText(until)).Scan(&newest)
	if errors.Is(err, sql.ErrNoRows) {
		return id == 0, nil
	}
	if err != nil || newest == id {
		return err == nil, err
	}
	shown, err := readPublication(ctx, tx, place, until) // the newest may be one that cannot be read
	if err != nil || shown == nil {
		return err == nil && id == 0, err
	}
	return shown.ID == id, nil
}

// encodedEntry is an entry in the form in which it is kept, and its body as it will be read
// again.
type encodedEntry struct {
	row
	read record.Body
}

// append keeps the entry, and returns its id.
func (e encodedEntry) append(ctx context.Context, tx *sql.Tx) (int64, error) {
	r := e.row
	switch body := e.read.(type) {
	case record.Void:
		var err error
		if r.effective, err = checkVoid(ctx, tx, r.place, body.Record); err != nil {
			return 0, err
		}
	case record.UseBatch:
		if body.Rows != 0 {
			return 0, &record.FieldError{Field: "rows", Value: fmt.Sprint(body.Rows), Want: "0, or the rows themselves with the batch"}
		}
		r.effective = body.From
	case record.Place:
		if body.ID != r.place {
			return 0, &record.FieldError{Field: "place", Value: r.place, Want: fmt.Sprintf("%q, the id of the place that is set up", body.ID)}
		}
	}
	return r.insert(ctx, tx, nil)
}

// encode checks an entry and returns it in the form in which it is kept.
func encode(e record.Entry) (encodedEntry, error) {
	if e.Body == nil {
		return encodedEntry{}, &record.FieldError{Field: "body", Want: "what the record says"}
	}
	if err := e.Body.Validate(); err != nil {
		return encodedEntry{}, err
	}
	kind, data, err := record.Encode(e.Body)
	if err != nil {
		return encodedEntry{}, fmt.Errorf("a %s record cannot be written: %w", kind, err)
	}
	body, err := record.Decode(kind, data)
	if err != nil {
		return encodedEntry{}, err
	}
	if e.Place == "" {
		return encodedEntry{}, &record.FieldError{Field: "place", Want: "the id of the place the record belongs to"}
	}
	entered := e.Entered.UTC()
	if e.Entered.IsZero() || entered.Year() < 1 || entered.Year() > 9999 {
		return encodedEntry{}, &record.FieldError{Field: "entered", Want: "the instant at which it is written down"}
	}
	return encodedEntry{row{
		place:     e.Place,
		kind:      kind,
		effective: e.Effective,
		entered:   entered.Format(time.RFC3339Nano),
		source:    e.Source,
		body:      string(data),
	}, body}, nil
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
