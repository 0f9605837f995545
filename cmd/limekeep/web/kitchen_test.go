package web_test

import (
	"context"
	"sync"
	"testing"
	"time"

	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
)

// noon is the instant at which every test takes place.
var noon = time.Date(2026, time.March, 2, 12, 0, 0, 0, time.UTC)

// household is a kitchen that several tests share: what its water can do is then
// worked out once for all of them.
type household struct {
	sync.Once
	desk    *sample.Kitchen
	records *sample.Records
}

var readOnly, written household

func (h *household) open(t testing.TB) (*sample.Kitchen, *sample.Records) {
	t.Helper()
	h.Do(func() { h.desk, h.records = kitchen(t) })
	if h.desk == nil {
		t.Fatal("the shared kitchen could not be set up")
	}
	return h.desk, h.records
}

// readKitchen returns a shared kitchen in which nothing is written, planned as far ahead as
// places are.
func readKitchen(t testing.TB) (*sample.Kitchen, *sample.Records) {
	t.Helper()
	desk, records := readOnly.open(t)
	desk.PlanMonths, desk.PlanEffort = day.DefaultPlanMonths, wholeEffort
	return desk, records
}

// writtenKitchen returns a shared kitchen in which other tests write: all that is
// known of its records is how they were a moment ago.
func writtenKitchen(t testing.TB) (*sample.Kitchen, *sample.Records) { return written.open(t) }

// A plan takes half of the time of these tests: kitchens that no golden page shows are
// planned as far ahead as the tests look, with as little effort as makes a plan.
const (
	plannedMonths = 9
	littleEffort  = 20_000
	wholeEffort   = 400_000
)

// kitchen returns a home with a machine, a grinder and a softened water line, in
// use for two years, and the memory that holds its records.
func kitchen(t testing.TB, change ...func(*schedule.Setup)) (*sample.Kitchen, *sample.Records) {
	t.Helper()
	desk, records := sample.New(t)
	desk.ShareWaters()
	desk.PlanMonths, desk.PlanEffort = plannedMonths, littleEffort
	desk.Spell = spell.Page
	desk.Journal.Source, desk.Publisher.Source = "page", "page"
	setup := schedule.Setup{
		Place: record.Place{ID: "home", Name: "The kitchen", Zone: "Europe/Vienna"},
		Equipment: []record.Equipment{
			{ID: "bench", Name: "Machine on the bench", Bought: record.NewDate(2024, 3, 1), Machine: &record.Machine{
				Setting: record.Home, Line: "tap",
				Vessels: []record.Vessel{
					{ID: "brew", Kind: record.BrewBoiler, Descaled: record.PumpedThrough, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93},
					{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.2, Watts: 1300, GaugeBar: 1.2},
				},
				Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM}},
				Habit:  record.Habit{WeekdayShots: 4, WeekendShots: 6, SteamedShare: new(0.5), HotWaterLitres: new(0.), DoseGrams: 18, YieldGrams: 36, HotHours: 5},
			}},
			{ID: "grinder", Name: "Grinder", Bought: record.NewDate(2024, 3, 1), Grinder: &record.Grinder{
				Setting: record.Home, Drive: record.MotorDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"bench"},
			}},
			{ID: "tap", Name: "Kitchen tap", Bought: record.NewDate(2024, 3, 1), Line: &record.WaterLine{
				Supply:    record.Mains,
				Treatment: []record.Treatment{{ID: "softener", Kind: record.Softener, Fitted: record.NewDate(2026, 1, 10), RatedLitres: 800, RatedDegrees: 10, BypassShare: 0.6, Months: 12}},
			}},
		},
	}
	for _, f := range change {
		f(&setup)
	}
	ctx := context.Background()
	if _, err := desk.Journal.SetUp(ctx, 0, setup); err != nil {
		t.Fatal(err)
	}
	for _, w := range []struct {
		on   record.Date
		body record.Body
	}{
		{record.NewDate(2025, 11, 3), record.WaterTest{Line: "tap", Test: water.Test{Values: []water.Measured{
			{Quantity: water.Hardness, Value: 18, Unit: water.GermanDegree, Method: water.MethodDrop},
			{Quantity: water.Alkalinity, Value: 13, Unit: water.GermanDegree, Method: water.MethodDrop},
		}}}},
		{record.NewDate(2025, 3, 8), record.Service{Task: "bench/descale/brew", Finding: record.Film, Grams: 2}},
		{record.NewDate(2026, 2, 14), record.Service{Task: "bench/backflush-detergent/group", Finding: record.Fresh}},
		{record.NewDate(2026, 2, 28), record.Service{Task: "bench/backflush-water/group"}},
	} {
		// Straight into the records: the desk would look at the water each time.
		if _, err := records.Append(ctx, record.Entry{Place: setup.Place.ID, Effective: w.on, Entered: noon, Source: "command", Body: w.body}); err != nil {
			t.Fatal(err)
		}
	}
	return desk, records
}
