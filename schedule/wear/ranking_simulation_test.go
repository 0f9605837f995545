package wear_test

import (
	"context"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
	"limekeep/water"
)

// weekly forecasts what a kitchen with an ordinary hard supply, behind stages
// that are new today, lays down in each vessel, g a week in the middle world.
func weekly(t *testing.T, stages ...record.Treatment) map[string]float64 {
	t.Helper()
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	test := record.WaterTest{Line: "tap"}
	for _, v := range []struct {
		quantity water.Quantity
		value    float64
	}{{water.Calcium, 80}, {water.Magnesium, 12}, {water.Alkalinity, 200}, {water.PH, 7.5}, {water.Chloride, 25}, {water.Sulfate, 40}} {
		test.Test.Values = append(test.Test.Values, water.Measured{Quantity: v.quantity, Value: v.value, Unit: v.quantity.Unit(), Method: water.MethodLaboratory})
	}
	equipment := []record.Equipment{
		{ID: "machine", Bought: now, Machine: &record.Machine{
			Setting: record.Home, Line: "tap",
			Vessels: []record.Vessel{
				{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: 0.5, Watts: 1000, Celsius: 93},
				{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.5, Watts: 1400, Celsius: 124},
			},
			Groups: []record.Group{{ID: "group"}},
			Habit:  record.Habit{WeekdayShots: 6, WeekendShots: 6, SteamedShare: new(0.5), HotWaterLitres: new(0.4)},
		}},
		{ID: "tap", Bought: now, Line: &record.WaterLine{Supply: record.Mains, Treatment: stages}},
	}
	house := &wear.Household{
		Draws: wear.Draws{Place: "ranking", Worlds: 100}, Today: now, Equipment: equipment, Duties: catalogue.Duties(equipment),
		Timelines: map[string]*use.Timeline{"machine": use.NewTimeline(record.NewBook(now, nil, nil), equipment[0], now, now.AddMonths(12*wear.HorizonYears))},
		Tests:     map[string][]record.Dated[record.WaterTest]{"tap": {{ID: 1, On: now, Body: test}}},
	}
	outcomes, err := wear.Forecast(context.Background(), house)
	if err != nil {
		t.Fatal(err)
	}
	grams := map[string]float64{}
	for _, o := range outcomes {
		for _, g := range o.Gauges {
			if g.Gauge.Driver == care.ByScaleMass {
				grams[o.Duty.Part] = g.PerWeek
			}
		}
	}
	return grams
}

// Waters rank as the trade knows them: behind a fresh softener next to nothing
// forms, behind a decarboniser little more, with half of the water going round
// about half, of the raw water most. The supply is an ordinary one, four
// fifths of its hardness with alkalinity: invented.
func TestTreatmentsRankAsTheTradeKnows(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	stage := func(kind record.TreatmentKind, bypass float64) record.Treatment {
		s := record.Treatment{ID: "stage", Kind: kind, Fitted: now, BypassShare: bypass}
		if kind.Exchanges() {
			s.RatedLitres, s.RatedDegrees = 10000, 10
		}
		return s
	}
	ways := []struct {
		name      string
		grams     map[string]float64
		low, high float64 // share of the raw in the steam boiler
	}{
		{"raw", weekly(t), 1, 1},
		{"half round a softener", weekly(t, stage(record.Softener, 0.5)), 0.35, 0.65},
		{"half round a decarboniser", weekly(t, stage(record.Decarboniser, 0.5)), 0.35, 0.65},
		{"a fifth raw behind a membrane", weekly(t, stage(record.ReverseOsmosis, 0.2)), 0.03, 0.25},
		{"decarboniser", weekly(t, stage(record.Decarboniser, 0)), 0, 0.02},
		{"softener", weekly(t, stage(record.Softener, 0)), 0, 0.005},
	}
	raw := ways[0].grams
	if raw["brew"] <= 0 || raw["steam"] <= 0 {
		t.Fatalf("raw water lays down %v g a week", raw)
	}
	for _, w := range ways {
		t.Logf("%s: %.5f g a week in the brew boiler, %.5f in the steam boiler", w.name, w.grams["brew"], w.grams["steam"])
		if share := w.grams["steam"] / raw["steam"]; share < w.low || share > w.high {
			t.Errorf("%s: %.3f of the raw in the steam boiler, want %g to %g", w.name, share, w.low, w.high)
		}
		// In a closed brew circuit carbonic acid stays, so that an exchanger on
		// hydrogen does better there than its share of the water.
		if share := w.grams["brew"] / raw["brew"]; share > w.high+0.05 {
			t.Errorf("%s: %.3f of the raw in the brew boiler, want at most %g", w.name, share, w.high+0.05)
		}
	}
}
