package wear

import (
	"context"
	"testing"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/water"
)

// today is the day that the tests of this package take for today.
var today = record.NewDate(2026, time.March, 2)

// shared spares the tests of this package working the same few water tests out
// over and over.
var shared Memory

// kitchenWorlds is how many worlds a kitchen is forecast in where a test says
// nothing else.
const kitchenWorlds = 400

// kitchen is a household for tests: a plumbed two-boiler machine, a grinder,
// three years old, and a water test of a year ago. Invented.
type kitchen struct {
	equipment []record.Equipment
	entries   []record.Entry
	days      []record.UseDay
	worlds    int
	courses   bool
	planned   map[string]record.Date
	catalogue *care.Catalogue
}

func newKitchen(t testing.TB) *kitchen {
	t.Helper()
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	bought := record.NewDate(2023, time.March, 1)
	return &kitchen{
		worlds: kitchenWorlds, catalogue: catalogue, planned: map[string]record.Date{},
		equipment: []record.Equipment{
			{ID: "grinder", Bought: bought, Grinder: &record.Grinder{Setting: record.Home, Drive: record.HandDriven, Geometry: record.ConicalBurrs, DiameterMM: 48, Serves: []string{"machine"}}},
			{ID: "machine", Bought: bought, Machine: &record.Machine{
				Setting: record.Home, Line: "tap",
				Vessels: []record.Vessel{
					{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Celsius: 93},
					{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, GaugeBar: 1.2},
				},
				Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM}},
				Habit:  record.Habit{WeekdayShots: 3, WeekendShots: 6, SteamedShare: new(0.5), HotWaterLitres: new(0.), HotHours: 3},
			}},
			{ID: "tap", Bought: bought, Line: &record.WaterLine{Supply: record.Mains}},
		},
		entries: []record.Entry{{ID: 1, Effective: record.NewDate(2025, time.March, 2), Body: hardWater(12, 9)}},
	}
}

// hardWater is a test by drops, in German degrees.
func hardWater(hardness, alkalinity float64) record.WaterTest {
	return record.WaterTest{Line: "tap", Test: water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.PH, Value: 7.5, Unit: water.PHUnit, Method: water.MethodMeter},
	}}}
}

// served adds a service so many days before today.
func (k *kitchen) served(daysAgo int, s record.Service) {
	k.entries = append(k.entries, record.Entry{ID: int64(len(k.entries) + 1), Effective: today - record.Date(daysAgo), Body: s})
}

// machine gives the machine for changing.
func (k *kitchen) machine() *record.Machine { return k.equipment[1].Machine }

func (k *kitchen) household() *Household {
	book := record.NewBook(today, k.entries, k.days)
	h := &Household{
		Draws: Draws{Place: "kitchen", Worlds: k.worlds}, Today: today, Equipment: k.equipment,
		Duties: k.catalogue.Duties(k.equipment), Timelines: map[string]*use.Timeline{},
		Tests:    map[string][]record.Dated[record.WaterTest]{"tap": book.WaterTests("tap")},
		Services: map[string][]record.Dated[record.Service]{}, Planned: k.planned, Courses: k.courses, Memory: &shared,
	}
	for _, d := range h.Duties {
		h.Services[d.ID] = book.Services(d.ID)
	}
	for _, e := range k.equipment {
		if e.Machine != nil {
			h.Timelines[e.ID] = use.NewTimeline(book, e, e.Bought, today.AddMonths(12*HorizonYears))
		}
	}
	return h
}

func (k *kitchen) forecast(t testing.TB) map[string]Outcome {
	t.Helper()
	outcomes, err := Forecast(context.Background(), k.household())
	if err != nil {
		t.Fatal(err)
	}
	byTask := map[string]Outcome{}
	for _, o := range outcomes {
		byTask[o.Duty.ID] = o
	}
	return byTask
}
