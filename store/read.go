package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"time"

	"limekeep/schedule/record"
)

// selectEntries returns records with the one that voids each.
const selectEntries = `
	SELECT r.id, r.place, r.kind, r.effective, r.entered, r.source, r.body, coalesce(v.id, 0)
	FROM record r LEFT JOIN record v ON v.voids = r.id `

// publicationsOfPlace is which of them: the publications of a place that hold by a day, the
// last first. The day is asked about so that no index on days serves: a sort would read them
// all, where the index of publications has them in order.
const publicationsOfPlace = "WHERE r.place = ? AND r.kind = 'publication' AND NOT r.effective > ? AND v.id IS NULL ORDER BY r.id DESC"

// sinceOfPlace is which of them: those of a place after one.
const sinceOfPlace = "WHERE r.place = ? AND r.id > ? ORDER BY r.id"

// Places lists the ids of the places that were set up, sorted by bytes.
func (db *records) Places(ctx context.Context) ([]string, error) {
	var places []string
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var place string
			if err := rows.Scan(&place); err != nil {
				return err
			}
			places = append(places, place)
			return nil
		}, `SELECT DISTINCT r.place FROM record r LEFT JOIN record v ON v.voids = r.id
			WHERE r.kind = 'place' AND v.id IS NULL ORDER BY r.place`)
	})
	return places, err
}

// Districts returns the water district of each place that is on one, by what was said of the
// place last.
func (db *records) Districts(ctx context.Context) (map[string]string, error) {
	districts := map[string]string{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return eachEntry(ctx, tx, func(e record.Entry) error {
			if delete(districts, e.Place); e.Body.(record.Place).District != "" {
				districts[e.Place] = e.Body.(record.Place).District
			}
			return nil
		}, `WHERE r.kind = 'place' AND v.id IS NULL ORDER BY r.effective, r.id`)
	})
	return districts, err
}

// Read returns the book of a place: all that is effective on or before until and
// not voided, whenever it was entered, and the use of each day up to it. Of the
// publications, which would outgrow all else, just the last one is there. A
// place that was never set up has an empty book.
func (db *records) Read(ctx context.Context, place string, until record.Date) (*record.Book, error) {
	var entries []record.Entry
	var days []record.UseDay
	err := db.inRead(ctx, func(tx *sql.Tx) (err error) {
		entries, err = readEntries(ctx, tx,
			`WHERE r.place = ?1 AND r.effective <= ?2 AND v.id IS NULL AND r.kind <> 'publication'
			ORDER BY r.effective, r.id`, place, dayText(until))
		if err != nil {
			return err
		}
		last, err := readPublication(ctx, tx, place, until)
		if err != nil {
			return err
		}
		if last != nil {
			at, _ := slices.BinarySearchFunc(entries, *last, func(a, b record.Entry) int {
				return cmp.Or(cmp.Compare(a.Effective, b.Effective), cmp.Compare(a.ID, b.ID))
			})
			entries = slices.Insert(entries, at, *last)
		}
		days, err = readDays(ctx, tx, place, until)
		return err
	})
	if err != nil {
		return nil, err
	}
	return record.NewBook(until, entries, days), nil
}

// Since returns what was written down of a place after a record, with the use it brought. A
// publication that is damaged is passed over: it is made anew.
func (db *records) Since(ctx context.Context, place string, after int64) (record.Addition, error) {
	var added record.Addition
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		err := each(ctx, tx, func(rows *sql.Rows) error {
			e, err := scanEntry(rows)
			var broken *unreadable
			if errors.As(err, &broken) && broken.kind == record.KindPublication {
				return nil
			}
			if err == nil {
				added.Entries = append(added.Entries, e)
			}
			return err
		}, selectEntries+sinceOfPlace, place, after)
		if err != nil {
			return err
		}
		for _, e := range added.Entries {
			if e.Kind() != record.KindUse {
				continue
			}
			days, err := readDaysOf(ctx, tx, e.ID)
			if err != nil {
				return err
			}
			added.Days = append(added.Days, days...)
		}
		return nil
	})
	return added, err
}

// History hands over the entries of a place whose ids are above after, in the order
// of their ids, voided ones marked and included. An error of take ends it.
func (db *records) History(ctx context.Context, place string, after int64, take func(record.Entry) error) error {
	return db.inRead(ctx, func(tx *sql.Tx) error {
		return eachEntry(ctx, tx, take, sinceOfPlace, place, after)
	})
}

// Find returns one entry. An id that stands for nothing is an error that matches
// record.ErrUnknown.
func (db *records) Find(ctx context.Context, id int64) (record.Entry, error) {
	var entries []record.Entry
	err := db.inRead(ctx, func(tx *sql.Tx) (err error) {
		entries, err = readEntries(ctx, tx, "WHERE r.id = ?", id)
		return err
	})
	switch {
	case err != nil:
		return record.Entry{}, err
	case len(entries) == 0:
		return record.Entry{}, unknownRecord(id)
	}
	return entries[0], nil
}

// Version tells apart what the records hold. Ids are never used twice, so that
// the last one does.
func (db *records) Version(ctx context.Context) (int64, error) {
	var version int64
	err := db.read.QueryRowContext(ctx, `SELECT coalesce(max(id), 0) FROM record`).Scan(&version)
	return version, db.inWords(err)
}

// VersionOf tells apart what the records of one place hold, as Version does.
func (db *records) VersionOf(ctx context.Context, place string) (int64, error) {
	var version int64
	err := db.read.QueryRowContext(ctx, `SELECT coalesce(max(id), 0) FROM record WHERE place = ?`, place).Scan(&version)
	return version, db.inWords(err)
}

// VersionsSince returns the version of each place at which something was written down
// since the records had a version.
func (db *records) VersionsSince(ctx context.Context, version int64) (map[string]int64, error) {
	versions := map[string]int64{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var place string
			var id int64
			err := rows.Scan(&place, &id)
			versions[place] = id
			return err
		}, `SELECT place, max(id) FROM record WHERE id > ? GROUP BY place`, version)
	})
	return versions, err
}

// dayText is the date as the record table has it; what no year of four digits
// can show is put at the end of those that can.
func dayText(d record.Date) string {
	if d <= 0 {
		return ""
	}
	return min(d, lastDate).String()
}

// readPublication reads the last publication of a place by a day; nil for none. One
// that cannot be read is passed over for the one before: it follows from the records,
// so that it keeps nobody from them, and is made anew.
func readPublication(ctx context.Context, tx *sql.Tx, place string, until record.Date) (*record.Entry, error) {
	rows, err := tx.QueryContext(ctx, selectEntries+publicationsOfPlace, place, dayText(until))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		if e, err := scanEntry(rows); err == nil {
			return &e, nil
		}
	}
	return nil, rows.Err()
}

func readEntries(ctx context.Context, tx *sql.Tx, where string, args ...any) ([]record.Entry, error) {
	var entries []record.Entry
	err := eachEntry(ctx, tx, func(e record.Entry) error {
		entries = append(entries, e)
		return nil
	}, where, args...)
	return entries, err
}

// eachEntry hands over the records of a query one by one.
func eachEntry(ctx context.Context, tx *sql.Tx, take func(record.Entry) error, where string, args ...any) error {
	return each(ctx, tx, func(rows *sql.Rows) error {
		e, err := scanEntry(rows)
		var broken *unreadable
		if errors.As(err, &broken) && broken.kind == record.KindPublication {
			e.Body, err = record.Publication{}, nil // it follows from the records, and keeps nobody from them
		}
		if err != nil {
			return err
		}
		return take(e)
	}, selectEntries+where, args...)
}

// scanEntry reads one row of selectEntries; an error names the record.
func scanEntry(rows *sql.Rows) (record.Entry, error) {
	var e record.Entry
	var kind, effective, entered string
	var body sql.RawBytes
	if err := rows.Scan(&e.ID, &e.Place, &kind, &effective, &entered, &e.Source, &body, &e.Voided); err != nil {
		return record.Entry{}, err
	}
	var err error
	if e.Effective, err = record.ParseDate(effective); err != nil {
		return record.Entry{}, &unreadable{id: e.ID, kind: record.Kind(kind), err: err}
	}
	if e.Entered, err = time.Parse(time.RFC3339Nano, entered); err != nil {
		return record.Entry{}, &unreadable{id: e.ID, kind: record.Kind(kind), err: err}
	}
	if e.Body, err = record.Decode(record.Kind(kind), body); err != nil {
		return e, &unreadable{id: e.ID, kind: record.Kind(kind), err: err}
	}
	return e, nil
}

// unreadable is a record whose body cannot be read.
type unreadable struct {
	id   int64
	kind record.Kind
	err  error
}

func (u *unreadable) Error() string {
	return fmt.Sprintf("record %d: what it holds is damaged: restore a backup", u.id)
}

func (u *unreadable) Unwrap() error { return u.err }

// each runs a query and hands over its rows one by one.
func each(ctx context.Context, tx *sql.Tx, take func(*sql.Rows) error, query string, args ...any) error {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := take(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}
