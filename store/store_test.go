package store

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/water"
)

// day is a date of May 2026, or after it.
func day(n int) record.Date { return record.NewDate(2026, time.May, n) }

var entered = time.Date(2026, time.May, 20, 9, 30, 15, 123456789, time.UTC)

// openTest opens a fresh file that the test's end closes.
func openTest(t testing.TB) *DB {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "records.db"))
}

func openAt(t testing.TB, path string) *DB {
	t.Helper()
	db, err := Open(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

// entry is one of the place "home".
func entry(on record.Date, body record.Body) record.Entry {
	return record.Entry{Place: "home", Effective: on, Entered: entered, Source: "command", Body: body}
}

// mustAppend appends and gives the ids.
func mustAppend(t testing.TB, db *DB, entries ...record.Entry) []int64 {
	t.Helper()
	ids, err := db.Append(context.Background(), entries...)
	if err != nil {
		t.Fatal(err)
	}
	return ids
}

func mustRead(t testing.TB, db *DB, until record.Date) *record.Book {
	t.Helper()
	book, err := db.Read(context.Background(), "home", until)
	if err != nil {
		t.Fatal(err)
	}
	return book
}

// mustHistory reads what is effective up to a day, by that day and then by id.
func mustHistory(t testing.TB, db *DB, until record.Date) []record.Entry {
	t.Helper()
	entries, err := historyOf(context.Background(), db, "home")
	if err != nil {
		t.Fatal(err)
	}
	entries = slices.DeleteFunc(entries, func(e record.Entry) bool { return e.Effective > until })
	slices.SortStableFunc(entries, func(a, b record.Entry) int { return cmp.Compare(a.Effective, b.Effective) })
	return entries
}

// historyOf reads all entries of a place by their ids.
func historyOf(ctx context.Context, db *DB, place string) ([]record.Entry, error) {
	var entries []record.Entry
	err := db.History(ctx, place, 0, func(e record.Entry) error {
		entries = append(entries, e)
		return nil
	})
	return entries, err
}

// rowsOf hands rows over as a file's reader would.
func rowsOf(rows ...record.UseRow) iter.Seq2[record.UseRow, error] {
	return func(yield func(record.UseRow, error) bool) {
		for _, r := range rows {
			if !yield(r, nil) {
				return
			}
		}
	}
}

// shot is a single at a minute of a day, all figures written down.
func shot(on record.Date, minute int) record.UseRow {
	return record.UseRow{Date: on, Minute: minute, Shots: 1, DoseGrams: 18, YieldGrams: 36, Seconds: 27.5, Steamed: 1}
}

// someBodies holds a body of each kind that can stand by itself, void aside.
func someBodies() []record.Body {
	return []record.Body{
		record.Place{ID: "home", Name: "Küche \"☕\"'; DROP TABLE record; --", Zone: "Europe/Vienna",
			Times: []record.PreferredTime{{When: "0 10 * * SAT", Minutes: 90}}},
		record.Equipment{ID: "line", Name: "Under the sink", Bought: day(1), Line: &record.WaterLine{
			Supply: record.Mains,
			Treatment: []record.Treatment{{ID: "softener", Kind: record.Softener, Fitted: day(2),
				RatedLitres: 500, RatedDegrees: 10, BypassShare: 0.2, Months: 12}}}},
		record.Equipment{ID: "machine", Bought: day(1), Machine: &record.Machine{
			Setting: record.Home, Line: "line",
			Vessels: []record.Vessel{{ID: "brew", Kind: record.BrewBoiler, Material: record.Brass, Litres: 0.6, Watts: 1400, Celsius: 93.5}},
			Groups:  []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM, SealCelsius: 92}},
			Habit:   record.Habit{WeekdayShots: 4, WeekendShots: 6.5, SteamedShare: new(1.0 / 3), DoseGrams: 18.2}}},
		record.Equipment{ID: "grinder", Bought: day(1), Grinder: &record.Grinder{Setting: record.Bar, Drive: record.MotorDriven,
			Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"machine"}}},
		record.Retired{Equipment: "grinder"},
		record.WaterTest{Line: "line", After: "softener", Note: "after flushing", Test: water.Test{Celsius: 14.5, Values: []water.Measured{
			{Quantity: water.Hardness, Value: 12.1, Unit: water.GermanDegree, Method: water.MethodDrop, DropSize: 1},
			{Quantity: water.PH, Value: 7.6, Unit: water.PHUnit, Method: water.MethodMeter, Spread: 0.1}}}},
		record.UseBatch{Machine: "machine", From: day(3), To: day(5), File: "may.csv", Note: "away"},
		record.Away{Machine: "machine", From: day(7), Frost: true, Note: "switched off"},
		record.Guests{From: day(8), To: day(9), Shots: 7.5},
		record.MeterReading{Line: "line", Litres: 99_432.5, NewStart: new(12.25), RollsOverLitres: 100_000},
		record.Bag{Grinder: "grinder", Grams: 250, Opened: day(2), Beans: "Σπίτι"},
		record.Service{Task: "machine/brew/descale", Finding: record.Film, Grams: 1.25, Left: 0.1, Note: "citric"},
		record.AppTask{ID: "app-abcd", UID: "7C1A", Name: "a b.ics", Equipment: "machine", Title: "Polish \"it\"", Details: "咖啡", Due: day(20), EveryDays: 14},
		record.BookedVisit{On: day(21), At: "09:30", Minutes: 72.5, By: "Anna \"☕\"", Tasks: []record.BookedTask{{Task: "machine/brew/descale", Served: 7}, {Task: "line/water-test"}}, First: 3, Note: "key"},
		record.ServiceReport{Sitting: "abcdefghijkl", Visit: 14, From: entered, To: entered.Add(time.Hour), By: "Anna", SignedBy: "K. Ñandú", SignedAt: entered.Add(61 * time.Minute),
			Done: []record.ReportedWork{{Record: 12, Task: "machine/brew/descale", Title: "Descale", Name: "Machine", Says: "found film", Next: day(200)}},
			Left: []record.ReportedWork{{Task: "line/water-test", Title: "Test the water", Name: "Line", Note: "no drops left"}}},
		record.Publication{At: entered, Entries: []record.PublishedSitting{{UID: "machine-brew-descale-0", Task: "machine/brew/descale",
			Start: entered.Add(48 * time.Hour), Minutes: 45, AllDay: true, Content: "c0ffee", Sequence: 2, Changed: entered}}},
	}
}

// killedEnv asks the test program to be the process that gets killed.
const killedEnv = "LIMEKEEP_STORE_KILLED"

func TestMain(m *testing.M) {
	if path := os.Getenv(killedEnv); path != "" {
		importUntilKilled(path)
		return
	}
	if path := os.Getenv(openedEnv); path != "" {
		openAndWrite(path)
		return
	}
	if address := os.Getenv(workingEnv); address != "" {
		workUntilKilled(address)
		return
	}
	os.Exit(m.Run())
}

// noted is what the records of these tests say.
func noted(n int) record.Entry {
	return entry(day(1+n%20), record.Service{Task: "machine/backflush", Note: fmt.Sprintf("number %d of many", n)})
}

// holdsAll fails where what was acknowledged is not there, or the file is not sound.
func holdsAll(t *testing.T, path string, acknowledged map[int64]string) {
	t.Helper()
	db, err := Open(t.Context(), path, nil)
	if err != nil {
		t.Fatalf("it cannot be opened any more: %v", err)
	}
	defer db.Close()
	if err := db.Check(t.Context()); err != nil {
		t.Fatal(err)
	}
	found, err := historyOf(t.Context(), db, "home")
	if err != nil {
		t.Fatal(err)
	}
	says := map[int64]string{}
	for _, e := range found {
		says[e.ID] = e.Body.(record.Service).Note
	}
	for id, note := range acknowledged {
		if says[id] != note {
			t.Fatalf("record %d was acknowledged with %q, and there is %q", id, note, says[id])
		}
	}
}
