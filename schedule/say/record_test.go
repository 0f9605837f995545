package say_test

import (
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/water"
)

// Every kind of record in the words that history, answers and a service report use.
func TestRecordsInWords(t *testing.T) {
	day := record.NewDate(2026, time.March, 4)
	count, lead, newStart := 2.0, 10.0, 3.5
	cases := []struct {
		body record.Body
		want string
	}{
		{record.Place{ID: "bar", Name: "Harbour bar", Zone: "Europe/Lisbon"}, "Harbour bar, Europe/Lisbon"},
		{record.Place{ID: "bar", Zone: "Europe/Lisbon"}, "bar, Europe/Lisbon"},
		{record.Equipment{ID: "m", Name: "Lever", Machine: &record.Machine{}}, "m: machine, Lever"},
		{record.Equipment{ID: "g", Name: "Mill", Grinder: &record.Grinder{}}, "g: grinder, Mill"},
		{record.Equipment{ID: "t", Name: "Drawer", Tools: &record.Tools{}}, "t: tools, Drawer"},
		{record.Equipment{ID: "tap", Name: "Tap", Line: &record.WaterLine{}}, "tap: water line, Tap"},
		{record.Retired{Equipment: "m"}, "m left the place"},
		{record.WaterTest{Line: "tap", After: "softener", Note: "hot day", Test: water.Test{Values: []water.Measured{{Quantity: water.Hardness, Value: 14, Unit: "dH"}}}}, "tap: hardness 14 dH, behind softener (hot day)"},
		{record.WaterTest{Line: "tap", Test: water.Test{Values: []water.Measured{{Quantity: water.PH, Value: 7.6, Unit: water.PHUnit}}}}, "tap: pH 7.6"},
		{record.UseBatch{Machine: "m", Rows: 1, From: day, To: day}, "m: 1 row"},
		{record.UseBatch{Machine: "m", Rows: 3, From: day, To: day + 2, File: "shots.csv"}, "m: 3 rows, 2026-03-04 to 2026-03-06, from shots.csv"},
		{record.Service{Task: "m/descale/steam", Finding: "crust", Grams: 12.5, Left: 0.25, Note: "by Ann"}, "m/descale/steam, found crust, 12.5 g, 25 % left (by Ann)"},
		{record.Service{Task: "m/gasket", Finding: "worn", Left: 1}, "m/gasket, found worn, only looked at"},
		{record.OwnCare{Changes: make([]record.CareChange, 1), Tasks: make([]record.OwnTask, 2)}, "the care catalogue: 1 change, 2 tasks of your own"},
		{record.OwnCare{Changes: make([]record.CareChange, 2)}, "the care catalogue: 2 changes of your own"},
		{record.OwnCare{}, "the care catalogue as it comes"},
		{record.Void{Record: 12, Why: "typed twice"}, "record 12 is void (typed twice)"},
		{record.Pin{Task: "m/gasket", On: day}, "m/gasket on 2026-03-04"},
		{record.Pin{Task: "m/gasket", After: day, Note: "guests"}, "m/gasket not before the day after 2026-03-04 (guests)"},
		{record.Pin{Task: "m/gasket"}, "m/gasket wherever the plan puts it"},
		{record.Blocked{From: day, To: day + 1}, "no sittings from 2026-03-04 to 2026-03-05"},
		{record.Stock{Item: "gasket", Count: &count}, "gasket: 2 counted"},
		{record.Stock{Item: "gasket", LeadDays: &lead}, "gasket: an order takes 10 days"},
		{record.Stock{Item: "gasket", Came: 3}, "gasket: 3 came"},
		{record.AppTask{Title: "Polish", Equipment: "m", Due: day, EveryDays: 7, Times: 4, Until: day + 30}, `"Polish" from a task app, for m, due 2026-03-04, then every 7 days, 4 times in all, until 2026-04-03`},
		{record.BookedVisit{On: day, At: "09:30", By: "Anna", Tasks: []record.BookedTask{{Task: "m/a"}, {Task: "m/b"}}, First: 4, Note: "key"}, "visit on 2026-03-04 at 09:30 by Anna: m/a; m/b, moved; booked first as record 4 (key)"},
		{record.ServiceReport{SignedBy: "K. Berg", Done: make([]record.ReportedWork, 3)}, "report of 3 tasks done, signed by K. Berg"},
		{record.AppTask{Title: "Polish", Dropped: true}, `"Polish" from a task app was deleted there`},
		{record.Away{From: day}, "away from 2026-03-04 until further notice"},
		{record.Away{Machine: "m", From: day, To: day + 7, Frost: true, Note: "ski"}, "m switched off from 2026-03-04 to 2026-03-11, frost possible (ski)"},
		{record.Guests{From: day, To: day + 1, Shots: 6, Machine: "m"}, "guests from 2026-03-04 to 2026-03-05: 6 shots a day more from m"},
		{record.MeterReading{Line: "tap", Litres: 1042.5, NewStart: &newStart}, "tap: meter at 1042.5 litres, new meter at 3.5"},
		{record.Bag{Grinder: "g", Grams: 250, Beans: "Yirgacheffe", Opened: day}, "g: 250 g of coffee finished, Yirgacheffe, opened 2026-03-04"},
		{record.HotHours{Machine: "m", Hours: 3.256}, "m hot for 3.26 hours"},
		{record.Measurement{Kind: record.Flow, Equipment: "m", Part: "group", Grams: 62, Seconds: 10}, "flow of m, group: 62 g in 10 s"},
		{record.Measurement{Kind: record.WarmUpTime, Equipment: "m", Minutes: 14, FromCelsius: 21, Note: "cold room"}, "warm-up of m: 14 minutes from 21 °C (cold room)"},
		{record.Measurement{Kind: record.ShotTime, Equipment: "g", Seconds: 30, Setting: 12, DoseGrams: 20, YieldGrams: 37}, "shot time of g: 30 s at setting 12, 20 g to 37 g"},
		{record.Measurement{Kind: record.BrewTemperature, Equipment: "m", Celsius: 92.5}, "brew temperature of m: 92.5 °C"},
		{record.Measurement{Kind: record.PumpPressure, Equipment: "m", Bar: 9}, "pump pressure of m: 9 bar"},
		{record.Measurement{Kind: record.ReferenceMass, Equipment: "t", ShownGrams: 99.8, MassGrams: 100}, "reference mass of t: 99.8 g shown for 100 g"},
		{record.Publication{}, "plan with 0 dates"},
	}
	for _, c := range cases {
		if got := say.Record(c.body); got != c.want {
			t.Errorf("%T: %q, want %q", c.body, got, c.want)
		}
	}
}

func TestFoundInWords(t *testing.T) {
	for _, c := range []struct {
		body record.Body
		want string
	}{
		{record.Service{Task: "m/descale/steam", Finding: "crust", Grams: 12, Left: 0.1, Note: "slow"}, "Found crust, 12 g came off, 10 % left, slow."},
		{record.Service{Task: "m/gasket", Finding: "worn", Left: 1}, "Found worn, only looked at."},
		{record.Service{Task: "m/gasket"}, "Nothing was noted."},
		{record.Measurement{Kind: record.PumpPressure, Equipment: "m", Bar: 8.5}, "Pump pressure of m: 8.5 bar."},
	} {
		if got := say.Found(c.body); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
