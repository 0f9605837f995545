package sample

import (
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
	"time"
)

var (
	// Today is the day on which all takes place, a Monday.
	Today = record.NewDate(2026, time.March, 2)
	// Bought is the day on which all of the kitchen was new.
	Bought = record.NewDate(2024, time.March, 1)
	// Noon is the instant on the clock.
	Noon = time.Date(2026, time.March, 2, 12, 0, 0, 0, time.UTC)
)

// Home is a place with a machine, a grinder and a softened line. Invented.
func Home() schedule.Setup {
	return schedule.Setup{
		Place: record.Place{ID: "home", Name: "The kitchen", Zone: "Europe/Vienna"},
		Equipment: []record.Equipment{
			{ID: "bench", Name: "Machine on the bench", Bought: Bought, RecordsFrom: Bought, Machine: &record.Machine{
				Setting: record.Home, Line: "tap",
				Vessels: []record.Vessel{
					{ID: "brew", Kind: record.BrewBoiler, Descaled: record.PumpedThrough, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93},
					{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.2, Watts: 1300, GaugeBar: 1.2},
				},
				Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM}},
				Habit:  record.Habit{WeekdayShots: 4, WeekendShots: 6, SteamedShare: new(0.5), HotWaterLitres: new(0.), DoseGrams: 18, YieldGrams: 36, HotHours: 5},
			}},
			{ID: "grinder", Bought: Bought, RecordsFrom: Bought, Grinder: &record.Grinder{
				Setting: record.Home, Drive: record.MotorDriven, Geometry: record.FlatBurrs, DiameterMM: 64, Serves: []string{"bench"},
			}},
			{ID: "tap", Name: "Kitchen tap", Bought: Bought, RecordsFrom: Bought, Line: &record.WaterLine{
				Supply:    record.Mains,
				Treatment: []record.Treatment{{ID: "softener", Kind: record.Softener, Fitted: record.NewDate(2026, 1, 10), RatedLitres: 800, RatedDegrees: 10, BypassShare: 0.6, Months: 12}},
			}},
		},
	}
}

// Lever is a place whose water decides nothing quickly: a lever on a tank.
func Lever() schedule.Setup {
	return schedule.Setup{
		Place: record.Place{ID: "hut", Zone: "Asia/Kolkata", Times: []record.PreferredTime{{When: "30 9 * * SUN", Minutes: 180}}},
		Equipment: []record.Equipment{
			{ID: "lever", Bought: Bought, RecordsFrom: Bought, Machine: &record.Machine{
				Setting: record.Home, Line: "tank",
				Vessels: []record.Vessel{{ID: "boiler", Kind: record.SteamBoiler, Material: record.Copper}},
				Groups:  []record.Group{{ID: "group", Lever: true}},
				Habit:   record.Habit{WeekdayShots: 1, WeekendShots: 2, SteamedShare: new(0.)},
			}},
			{ID: "tank", Bought: Bought, RecordsFrom: Bought, Line: &record.WaterLine{Supply: record.Tank}},
		},
	}
}

// DropTest is a drop test of hardness and alkalinity in German degrees.
func DropTest(hardness, alkalinity float64) water.Test {
	return water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.GermanDegree, Method: water.MethodDrop},
	}}
}
