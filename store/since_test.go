package store

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// A book with what was written down since is the book that is read anew, whatever was
// written: use, what voids it, a plan, days to come, another place.
func TestBookWithWhatCameSince(t *testing.T) { onEach(t, testBookWithWhatCameSince) }

func testBookWithWhatCameSince(t *testing.T, open opener) {
	ctx := context.Background()
	db := open(t)
	read := func() *record.Book {
		t.Helper()
		book, err := db.Read(ctx, "home", schedule.EndOfTime)
		if err != nil {
			t.Fatal(err)
		}
		return book
	}
	drawn := func(minute int) int64 {
		t.Helper()
		rows := func(yield func(record.UseRow, error) bool) {
			for d := range 3 {
				if !yield(record.UseRow{Date: day(d + 1), Minute: minute, Shots: 2, DoseGrams: 18}, nil) {
					return
				}
			}
		}
		result, err := db.AppendUse(ctx, entry(0, record.UseBatch{Machine: "machine"}), rows)
		if err != nil {
			t.Fatal(err)
		}
		return result.ID
	}
	plan := record.Publication{At: entered}
	var service, batch int64
	grown := read()
	for _, step := range []struct {
		what  string
		write func()
	}{
		{"all kinds", func() {
			for _, body := range someBodies() {
				mustAppend(t, db, entry(day(1), body))
			}
		}},
		{"a service", func() { service = mustAppend(t, db, entry(day(4), record.Service{Task: "backflush"}))[0] }},
		{"use", func() { batch = drawn(480) }},
		{"use again", func() { drawn(540) }},
		{"a plan", func() { mustAppend(t, db, entry(day(2), plan)) }},
		{"another plan, of an earlier day", func() { mustAppend(t, db, entry(day(1), plan)) }},
		{"a day to come", func() { mustAppend(t, db, entry(day(4000), record.Service{Task: "backflush"})) }},
		{"another place", func() {
			other := entry(day(1), record.Service{Task: "backflush"})
			other.Place = "bar"
			mustAppend(t, db, other)
		}},
		{"a service taken back", func() { mustAppend(t, db, entry(0, record.Void{Record: service})) }},
		{"use taken back", func() { mustAppend(t, db, entry(0, record.Void{Record: batch})) }},
		{"written and taken back at once", func() {
			mustAppend(t, db, entry(0, record.Void{Record: drawn(600)}))
		}},
		{"nothing", func() {}},
	} {
		step.write()
		added, err := db.Since(ctx, "home", grown.Last())
		if err != nil {
			t.Fatal(err)
		}
		grown = grown.With(added)
		want := read()
		for what, diff := range map[string]string{
			"entries": cmp.Diff(want.Entries, grown.Entries, cmpopts.EquateEmpty()),
			"days":    cmp.Diff(want.Days, grown.Days, cmpopts.EquateEmpty()),
		} {
			if diff != "" {
				t.Errorf("after %s the %s differ from those read anew (-read +grown):\n%s", step.what, what, diff)
			}
		}
	}
	if len(grown.Days) == 0 || len(grown.Entries) < 5 {
		t.Fatalf("%d days and %d entries were compared", len(grown.Days), len(grown.Entries))
	}
}
