package store

import (
	"context"
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Rows that say something else than before are told, and left as they are.
func TestChangedRowsAreTold(t *testing.T) { onEach(t, testChangedRowsAreTold) }

func testChangedRowsAreTold(t *testing.T, open opener) {
	db := open(t)
	file := record.UseBatch{Machine: "machine", File: "may.csv"}
	first := worded(shot(day(2), 480), "5", "latte")
	mustAppendUse(t, db, file, first, shot(day(3), 480))
	days := mustRead(t, db, day(30)).Days

	dose, words := first, first
	dose.DoseGrams += 0.5
	words.Note = "sour"
	for _, given := range []record.UseRow{dose, words} {
		again := mustAppendUse(t, db, file, given, shot(day(3), 480))
		want := schedule.UseResult{Known: 2, Changed: 1, Changes: &schedule.UseChanges{Rows: []schedule.UseChange{{Kept: first, Given: given}}}, From: day(2), To: day(3)}
		if diff := cmp.Diff(want, again); diff != "" {
			t.Errorf("-want +got:\n%s", diff)
		}
	}
	if diff := cmp.Diff(days, mustRead(t, db, day(30)).Days); diff != "" {
		t.Errorf("they changed the days:\n%s", diff)
	}
}

// Where they replace what is kept, its batch is voided and the rest of it kept
// once more: no row is lost, none counts twice.
func TestReplaceUse(t *testing.T) { onEach(t, testReplaceUse) }

func testReplaceUse(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	old := mustAppendUse(t, db, record.UseBatch{Machine: "machine", File: "april.csv", MilkUnsaid: true}, shot(day(1), 480), shot(day(2), 480), shot(day(9), 480))
	all := mustAppendUse(t, db, record.UseBatch{Machine: "machine", File: "one.csv"}, shot(day(12), 480))
	changed, alone := shot(day(2), 480), shot(day(12), 480)
	changed.DoseGrams, alone.DoseGrams = 20, 21
	result, err := db.ReplaceUse(ctx, entry(0, record.UseBatch{Machine: "machine", File: "may.csv"}),
		rowsOf(changed, shot(day(9), 480), shot(day(10), 480), alone))
	if err != nil {
		t.Fatal(err)
	}
	if result.Added != 3 || result.Known != 3 || result.Changed != 2 || len(result.Changes.Rows) != 2 {
		t.Errorf("got %+v", result)
	}
	book := mustRead(t, db, day(30))
	doses := map[int]float64{}
	for _, d := range book.Days {
		doses[int(d.Date-day(0))] += d.DoseGrams
	}
	if diff := cmp.Diff(map[int]float64{1: 18, 2: 20, 9: 18, 10: 18, 12: 21}, doses); diff != "" {
		t.Errorf("doses by day, -want +got:\n%s", diff)
	}
	var kept []record.UseBatch
	for _, e := range book.UseBatches("machine") {
		kept = append(kept, e.Body)
	}
	want := []record.UseBatch{
		{Machine: "machine", From: day(1), To: day(9), File: "april.csv", Rows: 2, MilkUnsaid: true},
		{Machine: "machine", From: day(2), To: day(12), File: "may.csv", Rows: 3},
	}
	if diff := cmp.Diff(want, kept); diff != "" {
		t.Errorf("batches, -want +got:\n%s", diff)
	}
	for _, id := range []int64{old.ID, all.ID} {
		if e, err := db.Find(ctx, id); err != nil || e.Voided == 0 {
			t.Errorf("record %d: %+v, %v", id, e, err)
		}
	}
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
	// The same again changes nothing.
	version, _ := db.Version(ctx)
	if again, err := db.ReplaceUse(ctx, entry(0, record.UseBatch{Machine: "machine", File: "may.csv"}), rowsOf(changed, alone)); err != nil || again.Known != 2 || again.Changed != 0 || again.ID != 0 {
		t.Errorf("again: %+v, %v", again, err)
	}
	if now, _ := db.Version(ctx); now != version {
		t.Errorf("it wrote %d records", now-version)
	}
}

// A file that ends in an error, or is only looked at, replaces nothing.
func TestReplaceUseAllOrNothing(t *testing.T) { onEach(t, testReplaceUseAllOrNothing) }

func testReplaceUseAllOrNothing(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	mustAppendUse(t, db, record.UseBatch{Machine: "machine", File: "a.csv"}, shot(day(1), 480), shot(day(2), 480))
	changed := shot(day(2), 480)
	changed.DoseGrams = 20
	version, _ := db.Version(ctx)
	broken := errors.New("broken")
	for _, end := range []error{broken, schedule.ErrPreview} {
		result, err := db.ReplaceUse(ctx, entry(0, record.UseBatch{Machine: "machine", File: "b.csv"}), func(yield func(record.UseRow, error) bool) {
			if yield(changed, nil) {
				yield(record.UseRow{}, end)
			}
		})
		if !errors.Is(err, end) {
			t.Errorf("%v: got %v", end, err)
		}
		if errors.Is(end, schedule.ErrPreview) && (result.Changed != 1 || result.Added != 1) {
			t.Errorf("the preview tells of %+v", result)
		}
	}
	if now, _ := db.Version(ctx); now != version {
		t.Errorf("it wrote %d records", now-version)
	}
	if n := len(mustRead(t, db, day(30)).Days); n != 2 {
		t.Errorf("%d days", n)
	}
}
