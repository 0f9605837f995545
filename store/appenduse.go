package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"iter"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

const (
	// rowsPerInsert is how many lines go into one statement. Beyond some ten the
	// cost of a statement no longer shows (measured).
	rowsPerInsert = 50
	columnsDrawn  = 11
	// rowsPerLook is how many rows may pass before the context is looked at.
	rowsPerLook = 64
)

// useImport is a batch of use on its way into the file.
type useImport struct {
	engine engine
	tx     *sql.Tx
	id     int64 // that the batch will have
	batch  record.UseBatch
	given  bool // the batch says itself which days it speaks of
	// Rows that differ from known ones take their place; these are the batches that
	// brought those.
	replace  bool
	replaced map[int64]struct{}
	insert   *bulkInsert
	args     []any // of the rows that wait for the next insert
	cached   argumentCache
	words    *wordingNumbers
	known    *knownRows
	added    span
	read     span
	result   schedule.UseResult
}

// span is the first and the last of some days; both are zero where there are none.
type span struct{ from, to record.Date }

func (s *span) include(d record.Date) {
	if s.from == 0 || d < s.from {
		s.from = d
	}
	s.to = max(s.to, d)
}

// AppendUse keeps a batch of use with its rows, all or nothing, in memory that
// does not grow with their number.
//
// A row whose machine, day, minute and ordinal an earlier batch of the place
// has brought, and nothing voided, is counted as known and not kept. Where all
// rows are known, or there are none and the batch names no days, nothing is
// kept and the id is 0. The rows are read once, while the file is locked for
// other writers; the first error of the sequence ends the import and is given
// back as it is. With schedule.ErrPreview the result tells of the rows, though
// nothing is kept.
//
// The batch's count is that of the rows kept. Where its From is the zero date
// it speaks of the days of the rows kept, and of those without a row between
// them and the nearest known ones. Where From is given, every row must lie
// within From and To. It is effective from its first day, whatever the entry
// says. The result's From and To are the given days, or else those of all rows
// read.
func (db *records) AppendUse(ctx context.Context, entry record.Entry, rows iter.Seq2[record.UseRow, error]) (schedule.UseResult, error) {
	return db.importUse(ctx, entry, rows, false)
}

// ReplaceUse is AppendUse, but for known rows that differ from what is kept: they
// are kept with the batch. Each batch that brought one of them is voided, and
// what is left of its rows is kept once more as a batch that says the same of its
// days. The result counts them as known, as changed and as added.
func (db *records) ReplaceUse(ctx context.Context, entry record.Entry, rows iter.Seq2[record.UseRow, error]) (schedule.UseResult, error) {
	return db.importUse(ctx, entry, rows, true)
}

func (db *records) importUse(ctx context.Context, entry record.Entry, rows iter.Seq2[record.UseRow, error], replace bool) (schedule.UseResult, error) {
	batch, err := checkBatch(entry)
	if err != nil {
		return schedule.UseResult{}, err
	}
	var result schedule.UseResult
	err = db.inWriteOn(ctx, func(conn *sql.Conn, tx *sql.Tx) (err error) {
		u, err := newUseImport(ctx, db.engine, conn, tx, entry.Place, batch)
		if err != nil {
			return err
		}
		u.replace = replace
		defer func() {
			if failed := u.insert.close(); err == nil {
				err = failed
			}
		}()
		if err := u.take(ctx, rows); err != nil {
			result = u.result
			result.From, result.To = u.read.from, u.read.to
			return err
		}
		if result, err = u.finish(ctx, entry); err != nil {
			return err
		}
		return u.voidReplaced(ctx, entry)
	})
	if err != nil && !errors.Is(err, schedule.ErrPreview) {
		return schedule.UseResult{}, err
	}
	return result, err
}

// checkBatch sees that an entry is a batch of use that can be kept once its
// days are known, before a row is read.
func checkBatch(entry record.Entry) (record.UseBatch, error) {
	batch, ok := entry.Body.(record.UseBatch)
	if !ok {
		return batch, &record.FieldError{Field: "body", Value: fmt.Sprintf("%T", entry.Body), Want: "a batch of use"}
	}
	probe := batch
	if batch.From.IsZero() {
		if !batch.To.IsZero() {
			return batch, &record.FieldError{Field: "from", Want: "the first day, or leave out the last one too"}
		}
		probe.From, probe.To = 1, 1
	}
	entry.Body = probe
	_, err := encode(entry)
	return batch, err
}

// nextRecord gives the number that the next record will have: records are never
// deleted, so that none is used twice. It is good while the write lock is held.
const nextRecord = "SELECT coalesce(max(id), 0) + 1 FROM record"

func newUseImport(ctx context.Context, engine engine, conn *sql.Conn, tx *sql.Tx, place string, batch record.UseBatch) (*useImport, error) {
	u := &useImport{engine: engine, tx: tx, batch: batch, given: !batch.From.IsZero(), replaced: map[int64]struct{}{}}
	// The write lock is held, so that no other record can take the next number.
	err := tx.QueryRowContext(ctx, nextRecord).Scan(&u.id)
	if err != nil {
		return nil, err
	}
	u.words = &wordingNumbers{tx: tx, find: engine.findWording(), held: map[wording]any{}}
	u.args = make([]any, 0, rowsPerInsert*columnsDrawn)
	if u.known, err = newKnownRows(ctx, tx, place, batch.Machine); err != nil {
		return nil, err
	}
	u.insert, err = newBulkInsert(ctx, conn, insertDrawn(rowsPerInsert), rowsPerInsert*columnsDrawn)
	return u, err
}

// insertDrawn is the statement that adds a number of lines. Its parameters have
// no numbers: the driver would look each number up among all others.
func insertDrawn(rows int) string {
	one := "(?" + strings.Repeat(",?", columnsDrawn-1) + ")"
	return "INSERT INTO drawn (record_id, day, minute, ordinal, shots, dose_g, yield_g, seconds, steamed, hot_water_l, wording) VALUES " +
		one + strings.Repeat(","+one, rows-1)
}

// take reads all rows and writes those that are new.
func (u *useImport) take(ctx context.Context, rows iter.Seq2[record.UseRow, error]) error {
	n := 0
	for r, err := range rows {
		if err != nil {
			return err
		}
		if n++; n%rowsPerLook == 0 && ctx.Err() != nil {
			return context.Cause(ctx)
		}
		if err := u.check(r); err != nil {
			return fmt.Errorf("row %d: %w", n, err)
		}
		u.read.include(r.Date)
		known, err := u.isKnown(ctx, r)
		if err != nil {
			return err
		}
		if known {
			continue
		}
		u.result.Added++
		u.added.include(r.Date)
		if err := u.keep(ctx, r, n); err != nil {
			return err
		}
	}
	return u.flush(ctx, n)
}

// isKnown reports whether a row is known and what is kept of it stays.
func (u *useImport) isKnown(ctx context.Context, r record.UseRow) (bool, error) {
	found, known, err := u.known.find(ctx, r)
	if err != nil || !known {
		return false, err
	}
	u.result.Known++
	if found.says == u.known.says(r) {
		return true, nil
	}
	u.result.Changed++
	if u.result.Changed <= schedule.MostChangesShown {
		was, err := u.known.row(ctx, r)
		if err != nil {
			return false, err
		}
		u.result.Note(was, r)
	}
	if u.replace {
		u.replaced[found.batch] = struct{}{}
	}
	return !u.replace, nil
}

// keep puts a row to those that wait, and writes them once they are enough; n
// counts the rows read.
func (u *useImport) keep(ctx context.Context, r record.UseRow, n int) error {
	words, err := u.words.of(ctx, r)
	if err != nil {
		return err
	}
	b := &u.cached
	u.args = append(u.args, b.int(u.id), b.int(int64(r.Date)), b.int(int64(r.Minute)), b.int(int64(r.Ordinal)),
		b.float(r.Shots), b.float(r.DoseGrams), b.float(r.YieldGrams), b.float(r.Seconds), b.float(r.Steamed), b.float(r.HotWaterLitres), words)
	if len(u.args) < cap(u.args) {
		return nil
	}
	return u.inserted(u.insert.exec(ctx, u.args), n)
}

// flush writes the rows that still wait.
func (u *useImport) flush(ctx context.Context, n int) error {
	if len(u.args) == 0 {
		return nil
	}
	_, err := u.tx.ExecContext(ctx, insertDrawn(len(u.args)/columnsDrawn), u.args...)
	return u.inserted(err, n)
}

// check sees that a row is one the batch can hold.
func (u *useImport) check(r record.UseRow) error {
	if err := r.Validate(); err != nil {
		return err
	}
	if r.Date < 0 || r.Date > lastDate {
		return &record.FieldError{Field: "date", Value: r.Date.String(), Want: "a day in the years 1 to 9999"}
	}
	if r.Ordinal < 0 || r.Ordinal > mostOrdinal {
		return &record.FieldError{Field: "ordinal", Value: fmt.Sprint(r.Ordinal), Want: fmt.Sprintf("a number from 0 to %d", mostOrdinal)}
	}
	if u.given && !u.batch.Covers(r.Date) {
		return &record.FieldError{Field: "date", Value: r.Date.String(), Want: fmt.Sprintf("a day from %s to %s, of which the batch speaks", u.batch.From, u.batch.To)}
	}
	return nil
}

// inserted looks at the outcome of an insert of which row was the last.
func (u *useImport) inserted(err error, row int) error {
	u.args = u.args[:0]
	if u.engine.taken(err) {
		return fmt.Errorf("row %d or one of the %d before it: %w", row, rowsPerInsert, &record.FieldError{
			Field: "ordinal", Value: "that of an earlier row", Want: "each row of the same day and minute a number of its own, from 0"})
	}
	return err
}

// finish writes the batch and its sums after its rows.
func (u *useImport) finish(ctx context.Context, entry record.Entry) (schedule.UseResult, error) {
	u.result.From, u.result.To = u.read.from, u.read.to
	if u.given {
		u.result.From, u.result.To = u.batch.From, u.batch.To
	}
	if u.result.Added == 0 && (u.result.Known > 0 || !u.given) {
		return u.result, nil
	}
	if !u.given {
		spoken := u.known.widen(u.added)
		u.batch.From, u.batch.To = spoken.from, spoken.to
	}
	u.batch.Rows = u.result.Added
	entry.Body = u.batch
	r, err := encode(entry)
	if err != nil {
		return schedule.UseResult{}, err
	}
	r.effective = u.batch.From
	if u.result.ID, err = r.insert(ctx, u.tx, &u.id); err != nil {
		return schedule.UseResult{}, err
	}
	return u.result, keepSums(ctx, u.engine, u.tx, u.id)
}
