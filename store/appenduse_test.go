package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"iter"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func mustAppendUse(t testing.TB, db *DB, batch record.UseBatch, rows ...record.UseRow) schedule.UseResult {
	t.Helper()
	result, err := db.AppendUse(context.Background(), entry(day(28), batch), rowsOf(rows...))
	if err != nil {
		t.Fatal(err)
	}
	return result
}

// batchOf returns the batch that a result tells of.
func batchOf(t testing.TB, db *DB, result schedule.UseResult) (record.Entry, record.UseBatch) {
	t.Helper()
	e, err := db.Find(context.Background(), result.ID)
	if err != nil {
		t.Fatal(err)
	}
	return e, e.Body.(record.UseBatch)
}

func TestAppendUse(t *testing.T) { onEach(t, testAppendUse) }

func testAppendUse(t *testing.T, open opener) {
	db := open(t)
	result := mustAppendUse(t, db, record.UseBatch{Machine: "machine", File: "may.csv", Note: "n"},
		shot(day(4), 500), shot(day(2), 480), shot(day(4), 700),
		record.UseRow{Date: day(4), Minute: -1, Shots: 2, HotWaterLitres: 0.5},
		record.UseRow{Date: day(4), Minute: -1, Ordinal: 1, Shots: 0.5, DoseGrams: 16})
	if diff := cmp.Diff(schedule.UseResult{ID: 1, Added: 5, From: day(2), To: day(4)}, result); diff != "" {
		t.Errorf("result, -want +got:\n%s", diff)
	}
	e, batch := batchOf(t, db, result)
	if diff := cmp.Diff(record.UseBatch{Machine: "machine", From: day(2), To: day(4), File: "may.csv", Rows: 5, Note: "n"}, batch); diff != "" {
		t.Errorf("batch, -want +got:\n%s", diff)
	}
	if e.Effective != day(2) {
		t.Errorf("effective %v, want the first day", e.Effective)
	}
	want := []record.UseDay{
		{Machine: "machine", Date: day(2), Record: 1, HalfHours: 1 << 16, Shots: 1, DosedShots: 1, DoseGrams: 18, YieldShots: 1, YieldGrams: 36, Steamed: 1},
		{Machine: "machine", Date: day(4), Record: 1, HalfHours: 1<<16 | 1<<23, Shots: 4.5, DosedShots: 2.5, DoseGrams: 44, YieldShots: 2, YieldGrams: 72, Steamed: 2, HotWaterLitres: 0.5},
	}
	if diff := cmp.Diff(want, mustRead(t, db, day(30)).Days); diff != "" {
		t.Errorf("days, -want +got:\n%s", diff)
	}
	// On a day within the batch, what comes after is not known yet.
	if diff := cmp.Diff(want[:1], mustRead(t, db, day(3)).Days); diff != "" {
		t.Errorf("days until the 3rd, -want +got:\n%s", diff)
	}
	if n := len(mustRead(t, db, day(3)).Entries); n != 1 {
		t.Errorf("the batch is not seen on a day within it")
	}
	if book := mustRead(t, db, day(1)); len(book.Days)+len(book.Entries) != 0 {
		t.Errorf("use is seen before it happened: %v", book)
	}
}

func TestAppendUseOfGivenDays(t *testing.T) { onEach(t, testAppendUseOfGivenDays) }

func testAppendUseOfGivenDays(t *testing.T, open opener) {
	db := open(t)
	given := record.UseBatch{Machine: "machine", From: day(1), To: day(9)}
	result := mustAppendUse(t, db, given, shot(day(4), 500))
	if want := (schedule.UseResult{ID: 1, Added: 1, From: day(1), To: day(9)}); result != want {
		t.Errorf("got %+v, want %+v", result, want)
	}
	if e, batch := batchOf(t, db, result); batch.From != day(1) || batch.To != day(9) || batch.Rows != 1 || e.Effective != day(1) {
		t.Errorf("kept %+v", e)
	}
	// Days without a shot are worth keeping when somebody says so.
	if result := mustAppendUse(t, db, record.UseBatch{Machine: "machine", From: day(11), To: day(12)}); result.ID != 2 {
		t.Errorf("days without a shot were not kept: %+v", result)
	}
	// A file without a row says nothing.
	if result := mustAppendUse(t, db, record.UseBatch{Machine: "machine"}); result != (schedule.UseResult{}) {
		t.Errorf("nothing was kept as %+v", result)
	}
	if n := len(mustHistory(t, db, day(30))); n != 2 {
		t.Errorf("%d batches, want 2", n)
	}
}

func TestAppendUseRefuses(t *testing.T) { onEach(t, testAppendUseRefuses) }

func testAppendUseRefuses(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	mine := record.UseBatch{Machine: "machine"}
	many := make([]record.UseRow, 120)
	for i := range many {
		many[i] = shot(day(1), i)
	}
	changed := func(change func(*record.UseRow)) []record.UseRow {
		r := shot(day(2), 1)
		change(&r)
		return append(many[:120:120], r)
	}
	for _, test := range []struct {
		name  string
		body  record.Body
		rows  []record.UseRow
		field string
	}{
		{"a service", record.Service{Task: "x"}, nil, "body"},
		{"no machine", record.UseBatch{}, many, "machine"},
		{"a last day alone", record.UseBatch{Machine: "machine", To: day(2)}, many, "from"},
		{"days the wrong way round", record.UseBatch{Machine: "machine", From: day(3), To: day(2)}, many, "to"},
		{"a day before the given", record.UseBatch{Machine: "machine", From: day(2), To: day(3)}, many, "date"},
		{"no day", mine, changed(func(r *record.UseRow) { r.Date = 0 }), "date"},
		{"a day before the calendar", mine, changed(func(r *record.UseRow) { r.Date = -5 }), "date"},
		{"a day after it", mine, changed(func(r *record.UseRow) { r.Date = lastDate + 1 }), "date"},
		{"a 25th hour", mine, changed(func(r *record.UseRow) { r.Minute = 1440 }), "time"},
		{"less than none", mine, changed(func(r *record.UseRow) { r.Ordinal = -1 }), "ordinal"},
		{"no number", mine, changed(func(r *record.UseRow) { r.DoseGrams = math.NaN() }), "dose_g"},
		{"a row twice, far apart", mine, append(many[:120:120], many[0]), "ordinal"},
		{"a row twice, at once", mine, []record.UseRow{many[0], many[0]}, "ordinal"},
	} {
		t.Run(test.name, func(t *testing.T) {
			result, err := db.AppendUse(ctx, entry(0, test.body), rowsOf(test.rows...))
			var field *record.FieldError
			if !errors.As(err, &field) || field.Field != test.field {
				t.Errorf("error %v, want one about %s", err, test.field)
			}
			if result != (schedule.UseResult{}) {
				t.Errorf("result %+v of what was not kept", result)
			}
			if len(test.rows) == 121 && err != nil && !strings.Contains(err.Error(), "row 121") {
				t.Errorf("error %q does not say which row", err)
			}
		})
	}
	assertEmpty(t, db)
}

// assertEmpty sees that not a trace of use is in the file.
func assertEmpty(t *testing.T, db *DB) {
	t.Helper()
	for _, table := range []string{"record", "drawn", "drawn_day", "wording"} {
		var n int
		if err := db.read.QueryRow("SELECT count(*) FROM " + table).Scan(&n); err != nil {
			t.Fatal(err)
		}
		if n != 0 {
			t.Errorf("%s has %d rows, want none", table, n)
		}
	}
}

// manyShots is a log of shots in the order of time.
func manyShots(n int) iter.Seq[record.UseRow] {
	return func(yield func(record.UseRow) bool) {
		const perDay = 288
		for i := range n {
			r := shot(day(1+i/perDay), i%perDay*5)
			r.DoseGrams += float64(i%7) * 0.1
			r.HotWaterLitres = float64(i%3) * 0.05
			if !yield(r) {
				return
			}
		}
	}
}

func TestImportTwice(t *testing.T) { onEach(t, testImportTwice) }

func testImportTwice(t *testing.T, open opener) {
	db := open(t)
	file := record.UseBatch{Machine: "machine", File: "may.csv"}
	rows := []record.UseRow{shot(day(1), 480), shot(day(1), 485), shot(day(3), 480)}
	first := mustAppendUse(t, db, file, rows...)
	days := mustRead(t, db, day(30)).Days

	again := mustAppendUse(t, db, file, rows...)
	if diff := cmp.Diff(schedule.UseResult{Known: 3, From: day(1), To: day(3)}, again); diff != "" {
		t.Errorf("again, -want +got:\n%s", diff)
	}
	if diff := cmp.Diff(days, mustRead(t, db, day(30)).Days); diff != "" {
		t.Errorf("days doubled, -want +got:\n%s", diff)
	}

	// The same instants of another machine, or of another place, are others.
	if other := mustAppendUse(t, db, record.UseBatch{Machine: "other"}, rows...); other.Added != 3 || other.Known != 0 {
		t.Errorf("another machine: %+v", other)
	}
	bar := entry(0, file)
	bar.Place = "bar"
	if other, err := db.AppendUse(context.Background(), bar, rowsOf(rows...)); err != nil || other.Added != 3 || other.Known != 0 {
		t.Errorf("another place: %+v, %v", other, err)
	}

	// Once voided, the file is new again.
	mustAppend(t, db, entry(0, record.Void{Record: first.ID}))
	if n := len(mustRead(t, db, day(30)).DaysOf("machine")); n != 0 {
		t.Errorf("%d days of a voided batch", n)
	}
	third := mustAppendUse(t, db, file, rows...)
	if third.ID == 0 || third.Added != 3 || third.Known != 0 {
		t.Errorf("after voiding: %+v", third)
	}
	for i := range days {
		days[i].Record = third.ID
	}
	if diff := cmp.Diff(days, mustRead(t, db, day(30)).DaysOf("machine")); diff != "" {
		t.Errorf("days after voiding and importing, -want +got:\n%s", diff)
	}
	if err := db.Check(context.Background()); err != nil {
		t.Error(err)
	}
}

// A later file that overlaps an earlier one brings what is new, and speaks for
// no day of which all it says was known.
func TestOverlap(t *testing.T) { onEach(t, testOverlap) }

func testOverlap(t *testing.T, open opener) {
	file := record.UseBatch{Machine: "machine"}
	on := func(days ...int) (rows []record.UseRow) {
		for _, d := range days {
			rows = append(rows, shot(day(d), 480))
		}
		return rows
	}
	for _, test := range []struct {
		name     string
		earlier  []record.UseRow
		later    []record.UseRow
		known    int
		from, to int
	}{
		{"after it", on(1, 2), on(5, 8), 0, 5, 8},
		{"overlapping its end, idle days between", on(1, 2, 4), on(2, 4, 7, 9), 2, 5, 9},
		{"overlapping its start, idle days between", on(10, 12), on(6, 8, 10, 12), 2, 6, 9},
		{"within it", on(1, 4, 9), on(1, 4, 6, 9), 3, 5, 8},
		{"on a day of it", on(1, 2, 3), append(on(1, 2, 3), shot(day(2), 900)), 3, 2, 2},
		{"around it", on(4, 5), on(1, 4, 5, 9), 2, 1, 9},
		{"in no order", on(1, 2, 4), on(9, 4, 7, 2), 2, 5, 9},
	} {
		t.Run(test.name, func(t *testing.T) {
			db := open(t)
			mustAppendUse(t, db, file, test.earlier...)
			result := mustAppendUse(t, db, file, test.later...)
			if result.Known != test.known || result.Added != len(test.later)-test.known {
				t.Errorf("added %d, known %d", result.Added, result.Known)
			}
			_, batch := batchOf(t, db, result)
			if batch.From != day(test.from) || batch.To != day(test.to) || batch.Rows != result.Added {
				t.Errorf("batch of %d rows from %v to %v, want %d to %d", batch.Rows, batch.From, batch.To, test.from, test.to)
			}
		})
	}
}

// Known rows are found whatever the file's order and however little of what is
// known fits into memory.
func TestKnownInAnyOrder(t *testing.T) { onEach(t, testKnownInAnyOrder) }

func testKnownInAnyOrder(t *testing.T, open opener) {
	db := open(t)
	var forward, backward []record.UseRow
	for i := range 700 {
		forward = append(forward, shot(day(1+i%35), i))
		backward = append(backward, shot(day(1+(699-i)%35), 699-i))
	}
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, forward...)
	if again := mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, backward...); again.Known != 700 || again.ID != 0 {
		t.Errorf("backwards: %+v", again)
	}
	err := db.inWrite(context.Background(), func(tx *sql.Tx) error {
		k, err := newKnownRows(context.Background(), tx, "home", "machine")
		if err != nil {
			return err
		}
		for _, r := range forward {
			k.weight += mostHeld / 3 // as if each day were a long one
			if _, known, err := k.find(context.Background(), r); !known || err != nil {
				return fmt.Errorf("row of %v: %v, %w", r.Date, known, err)
			}
			if len(k.held) > 4 {
				return fmt.Errorf("%d days are held", len(k.held))
			}
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// Memory must not grow with the file.
func TestImportStreams(t *testing.T) { onEach(t, testImportStreams) }

func testImportStreams(t *testing.T, open opener) {
	db := open(t)
	var most, start runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&start)
	_, err := db.AppendUse(context.Background(), entry(0, record.UseBatch{Machine: "machine"}), func(yield func(record.UseRow, error) bool) {
		n := 0
		for r := range manyShots(30_000) {
			if n++; n%10_000 == 0 {
				runtime.GC()
				var now runtime.MemStats
				runtime.ReadMemStats(&now)
				most.HeapAlloc = max(most.HeapAlloc, now.HeapAlloc)
			}
			if !yield(r, nil) {
				return
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	// The rows themselves would be 30,000 × 80 bytes.
	if grown := int64(most.HeapAlloc) - int64(start.HeapAlloc); grown > 1<<20 {
		t.Errorf("the heap grew by %d bytes", grown)
	}
}
