package schedule_test

import (
	"context"
	"sync"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
)

var (
	// today is the day on which these tests take place, a Monday.
	today = record.NewDate(2026, time.March, 2)
	// bought is the day on which all of the kitchen was new.
	bought = record.NewDate(2024, time.March, 1)
	// noon is the instant on the clock.
	noon = time.Date(2026, time.March, 2, 12, 0, 0, 0, time.UTC)
)

// home is a place with a machine, a grinder and a softened line. Invented.
func home() schedule.Setup {
	return schedule.Setup{
		Place: record.Place{ID: "home", Name: "The kitchen", Zone: "Europe/Vienna"},
		Equipment: []record.Equipment{
			{ID: "bench", Name: "Machine on the bench", Bought: bought, Machine: &record.Machine{
				Setting: record.Home, Line: "tap",
				Vessels: []record.Vessel{
					{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93},
					{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.2, Watts: 1300, GaugeBar: 1.2},
				},
				Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM}},
				Habit:  record.Habit{WeekdayShots: 4, WeekendShots: 6, SteamedShare: 0.5, DoseGrams: 18, YieldGrams: 36, HotHours: 5},
			}},
			{ID: "grinder", Bought: bought, Grinder: &record.Grinder{
				Setting: record.Home, Drive: record.MotorDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"bench"},
			}},
			{ID: "tap", Name: "Kitchen tap", Bought: bought, Line: &record.WaterLine{
				Supply:    record.Mains,
				Treatment: []record.Treatment{{ID: "softener", Kind: record.Softener, Fitted: record.NewDate(2026, 1, 10), RatedLitres: 800, RatedDegrees: 10, BypassShare: 0.6, Months: 12}},
			}},
		},
	}
}

// lever is a place whose water decides nothing quickly: a lever on a tank.
func lever() schedule.Setup {
	return schedule.Setup{
		Place: record.Place{ID: "hut", Zone: "Asia/Kolkata", Times: []record.PreferredTime{{When: "30 9 * * SUN", Minutes: 180}}},
		Equipment: []record.Equipment{
			{ID: "lever", Bought: bought, Machine: &record.Machine{
				Setting: record.Home, Line: "tank",
				Vessels: []record.Vessel{{ID: "boiler", Kind: record.SteamBoiler, Material: record.Copper}},
				Groups:  []record.Group{{ID: "group", Lever: true}},
				Habit:   record.Habit{WeekdayShots: 1, WeekendShots: 2},
			}},
			{ID: "tank", Bought: bought, Line: &record.WaterLine{Supply: record.Tank}},
		},
	}
}

// catalogue is the one that comes with the program, read once.
var catalogue = sync.OnceValues(care.Embedded)

// newDesk gives a desk of its own at noon, with empty records.
func newDesk(t testing.TB) (*schedule.Desk, *memory) {
	t.Helper()
	c, err := catalogue()
	if err != nil {
		t.Fatal(err)
	}
	records := &memory{}
	return &schedule.Desk{
		Records: records, Catalogue: c, Worlds: 50, PlanEffort: 400_000, Source: "test", Now: func() time.Time { return noon },
	}, records
}

// common is a desk that tests use one after the other, each with records of its
// own: what the waters of these places can do is worked out once for all.
var common *schedule.Desk

// desk gives the common desk at noon with empty records.
func desk(t testing.TB) (*schedule.Desk, *memory) {
	t.Helper()
	d, records := newDesk(t)
	if common == nil {
		common = d
	}
	common.Records, common.Now, common.Busy = records, d.Now, nil
	return common, records
}

// setUp gives a desk with a place set up.
func setUp(t testing.TB, setups ...schedule.Setup) (*schedule.Desk, *memory) {
	t.Helper()
	d, records := desk(t)
	for _, s := range setups {
		if _, err := d.SetUp(context.Background(), today, s); err != nil {
			t.Fatal(err)
		}
	}
	return d, records
}

// dropTest is a drop test of hardness and alkalinity in German degrees.
func dropTest(hardness, alkalinity float64) water.Test {
	return water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.GermanDegree, Method: water.MethodDrop},
	}}
}

// livedIn gives the home with a water test, services and a log: two years of it.
func livedIn(t testing.TB) (*schedule.Desk, *memory) {
	t.Helper()
	d, records := setUp(t, home())
	live(t, d)
	return d, records
}

// live writes two years of records down.
func live(t testing.TB, d *schedule.Desk) {
	t.Helper()
	ctx := context.Background()
	m := schedule.Moment{Today: today}
	if _, err := d.AddWaterTest(ctx, m, record.NewDate(2025, 11, 3), record.WaterTest{Test: dropTest(18, 13)}); err != nil {
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
		if _, err := d.Done(ctx, m, s.on, s.service); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := d.AddUse(ctx, m, "", today-13, today-1, record.UseRow{Shots: 65, Steamed: 26}, "a busy fortnight"); err != nil {
		t.Fatal(err)
	}
}
