package store

import (
	"context"
	"database/sql"
	"hash/maphash"

	"limekeep/schedule/record"
)

// knownRows tells which rows of a machine earlier batches have brought. It
// reads a day's rows when the first of that day is asked for.
type knownRows struct {
	place, machine string
	query          *sql.Stmt
	seed           maphash.Seed // the numbers are compared within one import alone
	held           map[record.Date]map[instant]kept
	weight         int
	met            map[record.Date]struct{} // days of which a known row was asked for
}

// instant tells the rows of one machine and day apart.
type instant struct{ minute, ordinal int32 }

// kept is what is remembered of a row: the batch that brought it, and a number
// that rows which say the same have in common.
type kept struct {
	batch int64
	says  uint64
}

const (
	// mostOrdinal leaves room for any file: a row a millisecond for ten days.
	mostOrdinal = 1_000_000_000
	// mostHeld bounds the days and rows held in memory. A file in the order of
	// time needs one day; the rows of another are read again when need be.
	mostHeld = 100_000
)

// drawnColumns are what a line of use says, in the order of scanDrawn.
const drawnColumns = `d.minute, d.ordinal, d.shots, d.dose_g, d.yield_g, d.seconds, d.steamed, d.hot_water_l,
		coalesce(w.grind, ''), coalesce(w.drink, ''), coalesce(w.beans, ''), coalesce(w.note, '')`

// scanDrawn reads a line of use.
func scanDrawn(rows *sql.Rows) (batch int64, r record.UseRow, err error) {
	err = rows.Scan(&batch, &r.Date, &r.Minute, &r.Ordinal, &r.Shots, &r.DoseGrams, &r.YieldGrams, &r.Seconds, &r.Steamed, &r.HotWaterLitres,
		&r.Grind, &r.Drink, &r.Beans, &r.Note)
	return batch, r, err
}

// selectKnown gives the rows of a machine and day that nothing has voided.
const selectKnown = `
	SELECT d.record_id, d.day, ` + drawnColumns + `
	FROM drawn_day s JOIN drawn d ON d.record_id = s.record_id AND d.day = s.day LEFT JOIN wording w ON w.id = d.wording
	WHERE s.place = ? AND s.machine = ? AND s.day = ?
		AND NOT EXISTS (SELECT 1 FROM record v WHERE v.voids = s.record_id)`

func newKnownRows(ctx context.Context, tx *sql.Tx, place, machine string) (*knownRows, error) {
	query, err := tx.PrepareContext(ctx, selectKnown)
	return &knownRows{
		place:   place,
		machine: machine,
		query:   query,
		seed:    maphash.MakeSeed(),
		held:    map[record.Date]map[instant]kept{},
		met:     map[record.Date]struct{}{},
	}, err
}

// find returns what an earlier batch has brought of a row; false where none has.
func (k *knownRows) find(ctx context.Context, r record.UseRow) (kept, bool, error) {
	day, ok := k.held[r.Date]
	if !ok {
		var err error
		if day, err = k.load(ctx, r.Date); err != nil {
			return kept{}, false, err
		}
		if k.weight > mostHeld {
			clear(k.held)
			k.weight = 0
		}
		k.held[r.Date] = day
		k.weight += 1 + len(day)
	}
	found, ok := day[instant{int32(r.Minute), int32(r.Ordinal)}]
	if ok {
		k.met[r.Date] = struct{}{}
	}
	return found, ok, nil
}

func (k *knownRows) load(ctx context.Context, date record.Date) (map[instant]kept, error) {
	var day map[instant]kept // stays nil on most days: nothing is known of them
	err := k.each(ctx, date, func(batch int64, r record.UseRow) {
		if day == nil {
			day = map[instant]kept{}
		}
		day[instant{int32(r.Minute), int32(r.Ordinal)}] = kept{batch, k.says(r)}
	})
	return day, err
}

// each goes through the known rows of a day.
func (k *knownRows) each(ctx context.Context, date record.Date, do func(batch int64, r record.UseRow)) error {
	rows, err := k.query.QueryContext(ctx, k.place, k.machine, int64(date))
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		batch, r, err := scanDrawn(rows)
		if err != nil {
			return err
		}
		do(batch, r)
	}
	return rows.Err()
}

// row returns a known row as it is kept.
func (k *knownRows) row(ctx context.Context, like record.UseRow) (record.UseRow, error) {
	var found record.UseRow
	err := k.each(ctx, like.Date, func(_ int64, r record.UseRow) {
		if r.Minute == like.Minute && r.Ordinal == like.Ordinal {
			found = r
		}
	})
	return found, err
}

// says gives rows that say the same the same number, and others another (but for
// one pair in 2^64).
func (k *knownRows) says(r record.UseRow) uint64 { return maphash.Comparable(k.seed, r) }

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
