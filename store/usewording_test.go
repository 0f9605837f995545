package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// worded returns a row words.
func worded(r record.UseRow, grind, drink string) record.UseRow {
	r.Grind, r.Drink = grind, drink
	return r
}

// keptWords returns what each line says in words, in the order of time.
func keptWords(t *testing.T, db *DB) []wording {
	t.Helper()
	var all []wording
	err := db.inRead(context.Background(), func(tx *sql.Tx) error {
		return each(context.Background(), tx, func(rows *sql.Rows) error {
			var w wording
			err := rows.Scan(&w.grind, &w.drink, &w.beans, &w.note)
			all = append(all, w)
			return err
		}, `SELECT coalesce(w.grind, ''), coalesce(w.drink, ''), coalesce(w.beans, ''), coalesce(w.note, '')
			FROM drawn d LEFT JOIN wording w ON w.id = d.wording ORDER BY d.record_id, d.day, d.minute, d.ordinal`)
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Words come back as they were given, whatever they are, and each wording is
// kept once, over one batch and over all.
func TestWords(t *testing.T) { onEach(t, testWords) }

func testWords(t *testing.T, open opener) {
	db := open(t)
	var rows []record.UseRow
	var want []wording
	for i := range 300 {
		r := shot(day(1+i/100), i%100)
		switch i % 4 {
		case 0:
			r = worded(r, "4.5", "latte")
		case 1:
			r.Beans, r.Note = "Σπίτι ☕", "sour; \"finer\"\nnext time"
		case 2:
			r.Note = fmt.Sprintf("shot %d", i)
		}
		rows = append(rows, r)
		want = append(want, wording{r.Grind, r.Drink, r.Beans, r.Note})
	}
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, rows...)
	if diff := cmp.Diff(want, keptWords(t, db), cmp.AllowUnexported(wording{})); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	mustAppendUse(t, db, record.UseBatch{Machine: "other"}, rows[:2]...)
	var n int
	if err := db.read.QueryRow("SELECT count(*) FROM wording").Scan(&n); err != nil {
		t.Fatal(err)
	}
	if n != 2+75 {
		t.Errorf("%d wordings are kept, want 77", n)
	}
	if err := db.Check(context.Background()); err != nil {
		t.Error(err)
	}
}

// A preview tells what would become of the rows, and keeps nothing.
func TestPreviewKeepsNothing(t *testing.T) { onEach(t, testPreviewKeepsNothing) }

func testPreviewKeepsNothing(t *testing.T, open opener) {
	db := open(t)
	first := []record.UseRow{shot(day(1), 480), worded(shot(day(2), 480), "4", "latte")}
	preview := func(yield func(record.UseRow, error) bool) {
		for _, r := range append(first, shot(day(3), 500)) {
			if !yield(r, nil) {
				return
			}
		}
		yield(record.UseRow{}, schedule.ErrPreview)
	}
	for _, known := range []int{0, 2} {
		if known > 0 {
			mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, first...)
		}
		before := len(mustHistory(t, db, day(30)))
		result, err := db.AppendUse(context.Background(), entry(0, record.UseBatch{Machine: "machine"}), preview)
		want := schedule.UseResult{Added: 3 - known, Known: known, From: day(1), To: day(3)}
		if !errors.Is(err, schedule.ErrPreview) || result != want {
			t.Errorf("got %+v, %v, want %+v", result, err, want)
		}
		if known == 0 {
			assertEmpty(t, db)
		}
		if n := len(mustHistory(t, db, day(30))); n != before {
			t.Errorf("%d records after the preview, %d before", n, before)
		}
	}
}

// A file of before there were words and half hours gets the half hours of the
// lines it has.
func TestOlderSumsGetTheirHalfHours(t *testing.T) {
	db := openTest(t)
	ctx := context.Background()
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(1), 0), shot(day(1), 29), shot(day(1), 1439),
		record.UseRow{Date: day(2), Minute: -1, Shots: 2})
	kept := allSums(t, db)
	// Back to the schema of before, and forward again by the migration itself.
	for _, statement := range []string{
		"DROP TRIGGER wording_no_update", "DROP TRIGGER wording_no_delete",
		"ALTER TABLE drawn DROP COLUMN wording", "ALTER TABLE drawn_day DROP COLUMN half_hours", "DROP TABLE wording",
		"DROP TABLE session_person", "DROP TABLE own_calendar", "DROP TABLE remembered", "DROP TABLE invitation", "DROP TABLE person", "DROP INDEX record_place", "DROP INDEX record_of_place", "DROP TABLE derived", "DROP TABLE checksum", "DROP TABLE begun_sitting", "DROP TABLE owner", "DROP TABLE session", "DROP TABLE setup_link", "DROP TABLE served_address", "DROP TABLE app_password", "DROP TABLE todo_object", "DROP TABLE todo_collection", "DROP TABLE todo_mark", "DROP INDEX record_publication",
		"DELETE FROM goose_db_version WHERE version_id >= 3", "PRAGMA user_version = 2",
	} {
		if _, err := db.write.ExecContext(ctx, statement); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
	again := openAt(t, db.Path())
	if diff := cmp.Diff(kept, allSums(t, again)); diff != "" {
		t.Errorf("-kept +migrated:\n%s", diff)
	}
	if err := again.Check(ctx); err != nil {
		t.Error(err)
	}
}
