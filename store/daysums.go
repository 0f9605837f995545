package store

import (
	"context"
	"database/sql"
	"fmt"

	"limekeep/schedule/record"
)

// sumsOfLines works the daily sums of one batch out from its lines, which follow. The one
// query serves appending, rebuilding and checking, so that all three add the
// same numbers in the same order; total() is the same sum of them in both
// databases, to the bit. The half hours of a day in which there was a
// line are the bits of a number, from midnight on. Its parameters are the batch,
// its place and its machine.
const sumsOfLines = `
	SELECT CAST(?2 AS TEXT), CAST(?3 AS TEXT), d.day, d.record_id,
		total(d.shots),
		total(d.shots) FILTER (WHERE d.dose_g > 0), total(d.shots * d.dose_g),
		total(d.shots) FILTER (WHERE d.yield_g > 0), total(d.shots * d.yield_g),
		total(d.steamed), total(d.hot_water_l),
		coalesce(sum(DISTINCT CAST(1 AS BIGINT) << CAST(d.minute / 30 AS INTEGER)) FILTER (WHERE d.minute >= 0), 0)
	FROM `

func sumsOfBatch(e engine) string {
	return sumsOfLines + e.linesOfBatch() + " GROUP BY d.record_id, d.day"
}

// sumColumns are the columns of drawn_day in the order of sumsOfLines.
const sumColumns = "place, machine, day, record_id, shots, dosed_shots, dose_g, yield_shots, yield_g, steamed, hot_water_l, half_hours"

// keepSums adds the daily sums of a batch whose lines are written.
func keepSums(ctx context.Context, e engine, tx *sql.Tx, batch int64) error {
	place, says, err := useBatch(ctx, tx, batch)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO drawn_day ("+sumColumns+") "+sumsOfBatch(e), batch, place, says.Machine); err != nil {
		return fmt.Errorf("the daily sums of record %d: %w", batch, err)
	}
	return nil
}

// RebuildSums works all daily sums out again from the lines of use. They are
// then what appending the same lines leaves, to the last bit.
func (db *DB) RebuildSums(ctx context.Context) error {
	return db.inWrite(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM drawn_day"); err != nil {
			return err
		}
		return keepAllSums(ctx, db.engine, tx)
	})
}

// keepAllSums keeps the daily sums of every batch of use.
func keepAllSums(ctx context.Context, e engine, tx *sql.Tx) error {
	batches, err := useBatches(ctx, tx)
	if err != nil {
		return err
	}
	for _, id := range batches {
		if err := keepSums(ctx, e, tx, id); err != nil {
			return err
		}
	}
	return nil
}

// useBatches lists the ids of all batches of use, voided ones too.
func useBatches(ctx context.Context, tx *sql.Tx) ([]int64, error) {
	var ids []int64
	err := each(ctx, tx, func(rows *sql.Rows) error {
		var id int64
		if err := rows.Scan(&id); err != nil {
			return err
		}
		ids = append(ids, id)
		return nil
	}, "SELECT id FROM record WHERE kind = ? ORDER BY id", string(record.KindUse))
	return ids, err
}

// selectDays returns the sums of a place, batch by batch, of those that are not voided.
const selectDays = `
	SELECT s.machine, s.day, s.record_id, s.shots, s.dosed_shots, s.dose_g, s.yield_shots, s.yield_g, s.steamed, s.hot_water_l,
		s.half_hours
	FROM drawn_day s LEFT JOIN record v ON v.voids = s.record_id
	WHERE v.id IS NULL AND `

// Which of them, in which order: those of a place up to a day, or those of one batch.
const (
	daysOfPlace = "s.place = ? AND s.day <= ? ORDER BY s.machine, s.day, s.record_id"
	daysOfBatch = "s.record_id = ?"
)

// readDays returns the use of each machine and day up to a day, batch by batch, of those
// that are not voided. The order of the query is that of the book.
func readDays(ctx context.Context, tx *sql.Tx, place string, until record.Date) ([]record.UseDay, error) {
	return scanDays(ctx, tx, selectDays+daysOfPlace, place, int64(until))
}

// readDaysOf returns the use that one batch brought; none where it is voided.
func readDaysOf(ctx context.Context, tx *sql.Tx, batch int64) ([]record.UseDay, error) {
	return scanDays(ctx, tx, selectDays+daysOfBatch, batch)
}

func scanDays(ctx context.Context, tx *sql.Tx, query string, args ...any) ([]record.UseDay, error) {
	var days []record.UseDay
	machine := ""
	err := each(ctx, tx, func(rows *sql.Rows) error {
		var d record.UseDay
		var name sql.RawBytes
		if err := rows.Scan(&name, &d.Date, &d.Record, &d.Shots, &d.DosedShots, &d.DoseGrams,
			&d.YieldShots, &d.YieldGrams, &d.Steamed, &d.HotWaterLitres, &d.HalfHours); err != nil {
			return err
		}
		if machine != string(name) {
			machine = string(name)
		}
		d.Machine = machine
		days = append(days, d)
		return nil
	}, query, args...)
	return days, err
}
