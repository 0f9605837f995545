package store

import (
	"context"
	"database/sql"

	"limekeep/schedule/record"
)

// knownRows tells which rows of a machine earlier batches have brought. It
// reads a day's rows when the first of that day is asked for.
type knownRows struct {
	place, machine string
	query          *sql.Stmt
	held           map[record.Date]map[instant]struct{}
	weight         int
	met            map[record.Date]struct{} // days of which a known row was asked for
}

// instant tells the rows of one machine and day apart.
type instant struct{ minute, ordinal int32 }

const (
	// mostOrdinal leaves room for any file: a row a millisecond for ten days.
	mostOrdinal = 1_000_000_000
	// mostHeld bounds the days and rows held in memory. A file in the order of
	// time needs one day; the rows of another are read again when need be.
	mostHeld = 100_000
)

// selectKnown gives the rows of a machine and day that nothing has voided.
const selectKnown = `
	SELECT d.minute, d.ordinal
	FROM drawn_day s JOIN drawn d ON d.record_id = s.record_id AND d.day = s.day
	WHERE s.place = ? AND s.machine = ? AND s.day = ?
		AND NOT EXISTS (SELECT 1 FROM record v WHERE v.voids = s.record_id)`

func newKnownRows(ctx context.Context, tx *sql.Tx, place, machine string) (*knownRows, error) {
	query, err := tx.PrepareContext(ctx, selectKnown)
	return &knownRows{
		place:   place,
		machine: machine,
		query:   query,
		held:    map[record.Date]map[instant]struct{}{},
		met:     map[record.Date]struct{}{},
	}, err
}

// has tells whether an earlier batch has brought the row.
func (k *knownRows) has(ctx context.Context, r record.UseRow) (bool, error) {
	day, ok := k.held[r.Date]
	if !ok {
		var err error
		if day, err = k.load(ctx, r.Date); err != nil {
			return false, err
		}
		if k.weight > mostHeld {
			clear(k.held)
			k.weight = 0
		}
		k.held[r.Date] = day
		k.weight += 1 + len(day)
	}
	if _, ok = day[instant{int32(r.Minute), int32(r.Ordinal)}]; ok {
		k.met[r.Date] = struct{}{}
	}
	return ok, nil
}

func (k *knownRows) load(ctx context.Context, date record.Date) (map[instant]struct{}, error) {
	rows, err := k.query.QueryContext(ctx, k.place, k.machine, int64(date))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var day map[instant]struct{} // stays nil on most days: nothing is known of them
	for rows.Next() {
		var i instant
		if err := rows.Scan(&i.minute, &i.ordinal); err != nil {
			return nil, err
		}
		if day == nil {
			day = map[instant]struct{}{}
		}
		day[i] = struct{}{}
	}
	return day, rows.Err()
}

// widen reaches from the days of new rows out to the nearest days of known
// ones: on those in between nothing was drawn, or a row would say so. The days
// beyond are left to the batches that brought the known rows, so that voiding
// one of them does not leave its days looking idle.
func (k *knownRows) widen(added span) span {
	wide := added
	before, after := record.Date(0), record.Date(0)
	for d := range k.met {
		if d < added.from {
			before = max(before, d)
		}
		if d > added.to && (after == 0 || d < after) {
			after = d
		}
	}
	if before != 0 {
		wide.from = before + 1
	}
	if after != 0 {
		wide.to = after - 1
	}
	return wide
}
