package store

import (
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"

	"limekeep/schedule/record"
)

// voidReplaced voids the batches that brought rows which the import replaced,
// and keeps the rest of their rows anew.
func (u *useImport) voidReplaced(ctx context.Context, by record.Entry) error {
	for _, batch := range slices.Sorted(maps.Keys(u.replaced)) {
		if err := u.keepRest(ctx, batch, by); err != nil {
			return fmt.Errorf("replacing rows of record %d: %w", batch, err)
		}
	}
	return nil
}

// keepRest voids a batch and keeps its rows but for those that the import has.
func (u *useImport) keepRest(ctx context.Context, batch int64, by record.Entry) error {
	void := by
	void.Body = record.Void{Record: batch, Why: fmt.Sprintf("rows of it came again and say something else: record %d", u.id)}
	voided, err := encode(void)
	if err != nil {
		return err
	}
	if _, err := voided.append(ctx, u.tx); err != nil {
		return err
	}
	_, old, err := useBatch(ctx, u.tx, batch)
	if err != nil {
		return err
	}
	var id int64
	if err := u.tx.QueryRowContext(ctx, nextRecord).Scan(&id); err != nil {
		return err
	}
	left, err := u.tx.ExecContext(ctx, `
		INSERT INTO drawn (record_id, day, minute, ordinal, shots, dose_g, yield_g, seconds, steamed, hot_water_l, wording)
		SELECT ?1, day, minute, ordinal, shots, dose_g, yield_g, seconds, steamed, hot_water_l, wording FROM drawn AS old
		WHERE record_id = ?2 AND NOT EXISTS (
			SELECT 1 FROM drawn AS new WHERE new.record_id = ?3 AND new.day = old.day AND new.minute = old.minute AND new.ordinal = old.ordinal)`,
		id, batch, u.id)
	if err != nil {
		return err
	}
	rows, err := left.RowsAffected()
	if err != nil || rows == 0 {
		return err // all of it was replaced
	}
	old.Rows = int(rows)
	rest := by
	rest.Body = old
	r, err := encode(rest)
	if err != nil {
		return err
	}
	r.effective = old.From
	if _, err := r.insert(ctx, u.tx, &id); err != nil {
		return err
	}
	return keepSums(ctx, u.engine, u.tx, id)
}

// useBatch reads a batch of use and its place.
func useBatch(ctx context.Context, tx *sql.Tx, id int64) (place string, batch record.UseBatch, err error) {
	var body string
	if err := tx.QueryRowContext(ctx, "SELECT place, body FROM record WHERE id = ?", id).Scan(&place, &body); err != nil {
		return "", batch, err
	}
	decoded, err := record.Decode(record.KindUse, []byte(body))
	if err != nil {
		return "", batch, err
	}
	batch, ok := decoded.(record.UseBatch)
	if !ok {
		return "", batch, fmt.Errorf("record %d is no batch of use", id)
	}
	return place, batch, nil
}
