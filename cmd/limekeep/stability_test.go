package main

import (
	"bytes"
	"context"
	"iter"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/store"
	"limekeep/water"
)

// testHouse opens scratch records of their own, whose clock stands.
func testHouse(t *testing.T, worlds int) *house {
	t.Helper()
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "records.db"), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	clock := time.Date(2026, time.November, 24, 12, 0, 0, 0, time.UTC)
	return houseOver(db, &day.Opener{Records: db, Catalogue: catalogue, Worlds: worlds, Now: func() time.Time { return clock }}, "test")
}

// planned is the days of a plan's turns, by task.
func planned(p day.PlanInfo) map[string][]record.Date {
	days := map[string][]record.Date{}
	for _, s := range p.Sittings {
		for _, turn := range s.Turns {
			days[turn.Task] = append(days[turn.Task], record.DateOf(s.Start))
		}
	}
	return days
}

// moves counts the entries of a plan between two days, and those of them that
// the next plan moves, drops or adds; one that is moved counts once.
func moves(was, now map[string][]record.Date, from, to record.Date) (entries, moved int) {
	without := func(a, b []record.Date) (n, all int) {
		for _, day := range a {
			if day >= from && day <= to {
				all++
				if !slices.Contains(b, day) {
					n++
				}
			}
		}
		return n, all
	}
	for task := range was {
		gone, all := without(was[task], now[task])
		added, _ := without(now[task], was[task])
		entries += all
		moved += max(gone, added)
	}
	return entries, moved
}

// A simulated year of the demo's kitchen: each day its shots are logged, what
// stands on the day is done, and the plan is published. From one day to the
// next fewer than one entry in a hundred changes.
func TestPlanHoldsStill(t *testing.T) {
	if testing.Short() {
		t.Skip("it lives through days of a kitchen; make test does")
	}
	days := record.Date(6)
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		days = 365
	}
	ctx := t.Context()
	h := testHouse(t, 100)
	first := record.NewDate(2026, time.November, 24)
	m, err := fillKitchen(ctx, h, schedule.Moment{Today: first})
	if err != nil {
		t.Fatal(err)
	}
	var was map[string][]record.Date
	wasShown := map[string]string{}
	var end record.Date
	compared, changed, shown, reworded := 0, 0, 0, 0
	for m.Today = first; m.Today < first+days; m.Today++ {
		if m.Today > first {
			logDay(ctx, t, h, m)
		}
		f, err := openDay(ctx, t, h, m).Forecast(ctx)
		if err != nil {
			t.Fatal(err)
		}
		p := f.Plan()
		now := planned(p)
		// What stood on the day before was done then; towards the end of the plan
		// turns come into sight.
		entries, moved := moves(was, now, m.Today, end-60)
		compared, changed = compared+entries, changed+moved
		if moved > 0 {
			t.Logf("%s: %d of %d turns moved", m.Today, moved, entries)
		}
		issue, err := h.publisher.Preview(ctx, m)
		if err != nil {
			t.Fatal(err)
		}
		showsNow := map[string]string{}
		for _, e := range issue.Agenda.Entries {
			showsNow[e.UID] = e.Content()
			if before, ok := wasShown[e.UID]; ok {
				shown++
				if before != e.Content() {
					reworded++
					t.Logf("%s: %s changed: %s", m.Today, e.UID, e.Due.Why[len(e.Due.Why)-1])
				}
			}
		}
		if _, err := h.publisher.Publish(ctx, m); err != nil {
			t.Fatal(err)
		}
		was, wasShown, end = now, showsNow, p.Until
		doToday(ctx, t, h, m, p)
	}
	t.Logf("%d days: %d of %d planned turns moved from a day to the next (%.2f %%), %d of %d calendar entries changed (%.2f %%)",
		days, changed, compared, 100*float64(changed)/float64(compared), reworded, shown, 100*float64(reworded)/float64(shown))
	if changed*100 >= compared {
		t.Errorf("%d of %d planned turns moved, want fewer than 1 %%", changed, compared)
	}
	if reworded*100 >= shown && days > 100 {
		t.Errorf("%d of %d calendar entries changed, want fewer than 1 %%", reworded, shown)
	}
}

// logDay writes down what was drawn on the day before.
func logDay(ctx context.Context, t *testing.T, h *house, m schedule.Moment) {
	t.Helper()
	var rows iter.Seq2[record.UseRow, error] = kitchenShots(m.Today-1, m.Today-1)
	if _, err := h.journal.ImportUse(ctx, openDay(ctx, t, h, m), schedule.UseFile{Machine: "machine", Name: m.Today.String() + ".csv"}, rows); err != nil {
		t.Fatal(err)
	}
}

// usualReadings are what condition checks read of parts in order, by task.
var usualReadings = map[string]record.Measurement{
	"flow-test":         {Kind: record.Flow, Grams: 180, Seconds: 20},
	"pump-pressure":     {Kind: record.PumpPressure, Bar: 9},
	"temperature-check": {Kind: record.BrewTemperature, Celsius: 92},
	"warm-up":           {Kind: record.WarmUpTime, Minutes: 8, FromCelsius: 20},
	"shot-time":         {Kind: record.ShotTime, Seconds: 28, Setting: 14, DoseGrams: 18, YieldGrams: 38},
	"scale-check":       {Kind: record.ReferenceMass, ShownGrams: 100, MassGrams: 100},
}

func openDay(ctx context.Context, t *testing.T, h *house, m schedule.Moment) *day.Day {
	t.Helper()
	d, err := h.days.Open(ctx, m)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// doToday does what stands on the day.
func doToday(ctx context.Context, t *testing.T, h *house, m schedule.Moment, p day.PlanInfo) {
	t.Helper()
	d := openDay(ctx, t, h, m)
	for _, s := range p.Sittings {
		if record.DateOf(s.Start) != m.Today {
			continue
		}
		for _, turn := range s.Turns {
			var err error
			parts := strings.Split(turn.Task, "/")
			if reading, ok := usualReadings[parts[1]]; ok {
				reading.Equipment = parts[0]
				if len(parts) > 2 {
					reading.Part = parts[2]
				}
				_, err = h.journal.Measure(ctx, d, m.Today, reading)
			} else if parts[1] == "water-test" {
				err = testWater(ctx, h.journal, d)
			} else if parts[1] == "test-behind" {
				err = testBehind(ctx, h.journal, d, parts[2])
			} else {
				_, err = h.journal.Done(ctx, d, m.Today, record.Service{Task: turn.Task})
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	}
}

// testWater writes the demo's last water test down again.
func testWater(ctx context.Context, j *journal.Journal, d *day.Day) error {
	tests := slices.DeleteFunc(slices.Clone(d.Book.WaterTests("tap")), func(t record.Dated[record.WaterTest]) bool { return t.Body.After != "" })
	_, err := j.AddWaterTest(ctx, d, d.Today, tests[len(tests)-1].Body)
	return err
}

// testBehind writes a water down that the cartridge has softened.
func testBehind(ctx context.Context, j *journal.Journal, d *day.Day, stage string) error {
	soft := water.Test{Values: []water.Measured{{Quantity: water.Hardness, Value: 4, Unit: water.GermanDegree, Method: water.MethodDrop}}}
	_, err := j.AddWaterTest(ctx, d, d.Today, record.WaterTest{Line: "tap", After: stage, Test: soft})
	return err
}

// The same records, settings, day and last published plan give the same
// calendar, byte for byte.
func TestSameRecordsSameCalendar(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	h := testHouse(t, 100)
	h.publisher.Routine = true
	m, err := fillKitchen(t.Context(), h, schedule.Moment{Today: record.NewDate(2026, time.November, 24)})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := h.publisher.Publish(t.Context(), m); err != nil {
		t.Fatal(err)
	}
	m.Today++
	var files [2][]byte
	for i := range files {
		issue, err := h.publisher.Preview(t.Context(), m)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "care.ics")
		if err := writeCalendar(path, issue.Agenda); err != nil {
			t.Fatal(err)
		}
		if files[i], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(files[0], files[1]) {
		t.Error("two calendars of the same records differ")
	}
}
