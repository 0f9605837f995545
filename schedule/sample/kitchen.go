package sample

import (
	"context"
	"sync"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// Kitchen is records with the rooms over them, at noon.
type Kitchen struct {
	*day.Opener
	Journal   *journal.Journal
	Publisher *agenda.Publisher
}

// Spell spells actions as no door does, so that a test sees whether they are.
func Spell(a schedule.Action) string { return "<" + a.String() + ">" }

// catalogue is the one that comes with the program, read once.
var catalogue = sync.OnceValues(care.Embedded)

// New returns a kitchen of its own with empty records.
func New(t testing.TB) (*Kitchen, *Records) {
	t.Helper()
	c, err := catalogue()
	if err != nil {
		t.Fatal(err)
	}
	records := &Records{}
	return Over(&day.Opener{
		Records: records, Catalogue: c, Worlds: 50, PlanEffort: 400_000, Courses: true, Spell: Spell, Now: func() time.Time { return Noon },
	}), records
}

// Over returns the kitchen over an opener.
func Over(days *day.Opener) *Kitchen {
	return &Kitchen{Opener: days, Journal: &journal.Journal{Days: days, Source: "test"}, Publisher: &agenda.Publisher{Days: days, Source: "test"}}
}

// ShareWaters has the kitchen keep what water tests stand for with all the kitchens of this
// process that do, which spares tests with many kitchens working the same waters out in
// each; forecasts and plans are made anew.
func (k *Kitchen) ShareWaters() { k.Derived, k.Program = &allWaters, "tests" }

// common is a kitchen that tests use one after the other, each with records of its
// own: what the waters of these places can do is worked out once for all.
var common *Kitchen

// Empty returns the common kitchen with empty records.
func Empty(t testing.TB) (*Kitchen, *Records) {
	t.Helper()
	k, records := New(t)
	if common == nil {
		common = k
	}
	common.Records, common.Now, common.Busy, common.Publisher.Routine = records, k.Now, nil, false
	return common, records
}

// SetUp returns the common kitchen with places set up.
func SetUp(t testing.TB, setups ...schedule.Setup) (*Kitchen, *Records) {
	t.Helper()
	k, records := Empty(t)
	for _, s := range setups {
		if _, err := k.Journal.SetUp(context.Background(), Today, s); err != nil {
			t.Fatal(err)
		}
	}
	return k, records
}

// LivedIn returns the home with a water test, services and a log: two years of it.
func LivedIn(t testing.TB) (*Kitchen, *Records) {
	t.Helper()
	k, records := SetUp(t, Home())
	k.Live(t)
	return k, records
}

// Day opens a day.
func (k *Kitchen) Day(t testing.TB, m schedule.Moment) *day.Day {
	t.Helper()
	d, err := k.Open(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Forecast opens a day and works its forecast out.
func (k *Kitchen) Forecast(t testing.TB, m schedule.Moment) *day.Forecast {
	t.Helper()
	f, err := k.Day(t, m).Forecast(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Live writes two years of records down.
func (k *Kitchen) Live(t testing.TB) {
	t.Helper()
	ctx := context.Background()
	d := k.Day(t, schedule.Moment{Today: Today})
	if _, err := k.Journal.AddWaterTest(ctx, d, record.NewDate(2025, 11, 3), record.WaterTest{Test: DropTest(18, 13)}); err != nil {
		t.Fatal(err)
	}
	for _, s := range []struct {
		on      record.Date
		service record.Service
	}{
		{record.NewDate(2025, 3, 8), record.Service{Task: "descale/brew", Finding: record.Film, Grams: 2}},
		{record.NewDate(2026, 2, 14), record.Service{Task: "backflush-detergent", Finding: record.Fresh}},
		{record.NewDate(2026, 2, 28), record.Service{Task: "backflush-water"}},
	} {
		if _, err := k.Journal.Done(ctx, d, s.on, s.service); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := k.Journal.AddUse(ctx, d, journal.UseEntry{From: Today - 13, To: Today - 1, Sum: record.UseRow{Shots: 65, Steamed: 26}, Note: "a busy fortnight"}); err != nil {
		t.Fatal(err)
	}
}
