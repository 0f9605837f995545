package journal_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"limekeep/schedule"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func TestImportUse(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	rows := []record.UseRow{{Date: today - 3, Minute: 450, Shots: 1}, {Date: today - 1, Minute: 460, Shots: 1}}
	result, err := d.Journal.ImportUse(context.Background(), d.Day(t, at), schedule.UseFile{Name: "log.csv"}, sample.Sequence(rows, nil))
	if err != nil {
		t.Fatal(err)
	}
	if result.Added != 2 || result.Known != 0 || result.From != today-3 || result.To != today-1 {
		t.Errorf("result %+v", result)
	}
	if got, want := records.Of(record.KindUse)[0].Body, (record.UseBatch{Machine: "bench", From: today - 3, To: today - 1, File: "log.csv", Rows: 2}); got != want {
		t.Errorf("kept %+v, want %+v", got, want)
	}
	again, err := d.Journal.ImportUse(context.Background(), d.Day(t, at), schedule.UseFile{Name: "log.csv"}, sample.Sequence(rows, nil))
	if err != nil || again.Added != 0 || again.Known != 2 || again.ID != 0 {
		t.Errorf("the same file again: %+v, %v", again, err)
	}
}

// A corrected row that comes again is told, and replaces the old one where its
// owner says so.
func TestImportUseReplaces(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	bring := func(replace bool, rows ...record.UseRow) journal.UseImport {
		t.Helper()
		result, err := d.Journal.ImportUse(context.Background(), d.Day(t, at), schedule.UseFile{Name: "log.csv", Replace: replace}, sample.Sequence(rows, nil))
		if err != nil {
			t.Fatal(err)
		}
		return result
	}
	first, second := record.UseRow{Date: today - 3, Minute: 450, Shots: 1, DoseGrams: 18}, record.UseRow{Date: today - 1, Minute: 460, Shots: 1, DoseGrams: 18}
	bring(false, first, second)
	corrected := first
	corrected.DoseGrams = 19
	if told := bring(false, corrected, second); told.ID != 0 || told.Changed != 1 || told.Changes.Rows[0] != (schedule.UseChange{Kept: first, Given: corrected}) {
		t.Errorf("told %+v", told)
	}
	if taken := bring(true, corrected, second); taken.ID == 0 || taken.Added != 1 || !taken.Replaced {
		t.Errorf("taken %+v", taken)
	}
	if again := bring(false, corrected, second); again.Known != 2 || again.Changed != 0 {
		t.Errorf("again %+v", again)
	}
	if voids := records.Of(record.KindVoid); len(voids) != 1 {
		t.Errorf("%d voids", len(voids))
	}
}

func TestImportUseNamesTheRow(t *testing.T) {
	good := record.UseRow{Date: today - 1, Minute: -1, Shots: 1}
	unreadable := errors.New("row 3: no number")
	tests := []struct {
		name  string
		row   record.UseRow
		then  error
		field string
	}{
		{"tomorrow", record.UseRow{Date: today + 1, Minute: -1, Shots: 1}, nil, "date"},
		{"before it was bought", record.UseRow{Date: bought - 1, Minute: -1, Shots: 1}, nil, "date"},
		{"no day", record.UseRow{Shots: 1}, nil, "date"},
		{"less than nothing", record.UseRow{Date: today, Minute: -1, Shots: -1}, nil, "shots"},
		{"what the file's reader found", good, unreadable, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Home())
			before := records.Count()
			_, err := d.Journal.ImportUse(context.Background(), d.Day(t, at), schedule.UseFile{Name: "log.csv"}, sample.Sequence([]record.UseRow{good, test.row, good}, test.then))
			if test.then != nil {
				if !errors.Is(err, test.then) || records.Count() != before {
					t.Errorf("got %v, and %d records", err, records.Count()-before)
				}
				return
			}
			sample.Refused(t, err, test.field, records, before)
			var row *schedule.RowError
			if !errors.As(err, &row) || row.Row != 2 || !strings.HasPrefix(err.Error(), "row 2: "+test.field) {
				t.Errorf("got %v, want an error of row 2", err)
			}
		})
	}
}

// A preview tells what would become of a file, and keeps nothing of it.
func TestImportUsePreview(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	rows := []record.UseRow{
		{Date: today - 3, Minute: 450, Shots: 1, Drink: "Flat-White"}, {Date: today - 3, Minute: 460, Shots: 2, Drink: "espresso"},
		{Date: today - 1, Minute: 470, Shots: 1, Drink: "a secret"},
	}
	file := schedule.UseFile{Name: "log.csv", Drinks: true, MilkUnsaid: true, HotWaterUnsaid: true, Preview: true}
	before := records.Count()
	seen, err := d.Journal.ImportUse(ctx, d.Day(t, at), file, sample.Sequence(rows, nil))
	if err != nil {
		t.Fatal(err)
	}
	if records.Count() != before || seen.ID != 0 {
		t.Errorf("a preview wrote record %d", seen.ID)
	}
	file.Preview = false
	kept, err := d.Journal.ImportUse(ctx, d.Day(t, at), file, sample.Sequence(rows, nil))
	if err != nil {
		t.Fatal(err)
	}
	if kept.Added != 3 || kept.Shots != 4 || kept.Days != 2 || kept.From != today-3 || kept.To != today-1 {
		t.Errorf("kept %+v", kept)
	}
	if diff := cmp.Diff([]string{"a secret"}, kept.UnknownDrinks); diff != "" {
		t.Errorf("unknown drinks (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(rows[:1], seen.First[:1], cmpopts.IgnoreFields(record.UseRow{}, "Steamed")); diff != "" {
		t.Errorf("the first row is shown as another (-file +preview):\n%s", diff)
	}
	seen.Preview, seen.ID, seen.First = false, kept.ID, nil
	if diff := cmp.Diff(kept, seen); diff != "" {
		t.Errorf("it became something else than the preview said (-kept +preview):\n%s", diff)
	}
	var steamed float64
	for _, r := range records.Rows[kept.ID] {
		steamed += r.Steamed
	}
	if steamed != 1 {
		t.Errorf("%v shots with milk, want the flat white alone", steamed)
	}
}
