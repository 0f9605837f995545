package score

import (
	"math"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water"
)

// A water test is held against the publication before it. Foreseen is a log-normal of
// 200 mg/L as CaCO3 and a log standard deviation of 0.1, a year of drift (assumption, the
// forecasts'); a laboratory says 240. The handbook's normal distribution puts that
// (ln 1.2)/0.1 = 1.82 standard deviations up, where 3.4 % lie above; the laboratory's own
// spread, here 5 mg/L, makes it 1.79 and 3.7 %.
func TestWaterTestsAreScored(t *testing.T) {
	day := record.NewDate(2026, 3, 1)
	test := func(mgPerL float64, after string) record.WaterTest {
		return record.WaterTest{Line: "tap", After: after, Test: water.Test{Values: []water.Measured{
			{Quantity: water.Hardness, Value: mgPerL / 17.848, Unit: water.GermanDegree, Method: water.MethodLaboratory, Spread: 5 / 17.848},
		}}}
	}
	expected := record.PublishedExpected{Task: "tap/water-test", Served: 1, Of: string(wear.ExpectedWater), Gauge: string(water.Hardness)}
	z := []float64{-2.053749, -1.281552, -0.524401, 0, 0.524401, 1.281552, 2.053749} // of ExpectedShares: 2, 10, 30 % … of the standard normal, by any table
	point := record.PublishedPoint{On: day + 100}
	for _, z := range z {
		point.At = append(point.At, 200*math.Exp(0.1*z))
	}
	later := point
	later.On = day + 464
	expected.Points = []record.PublishedPoint{point, later}
	entries := []record.Entry{
		{ID: 1, Effective: day, Body: test(190, "")},
		{ID: 2, Effective: day + 100, Body: record.Publication{Expected: []record.PublishedExpected{expected}}},
		{ID: 3, Effective: day + 110, Body: test(20, "filter")}, // behind a cartridge: another water
		{ID: 4, Effective: day + 120, Body: test(240, "")},
	}
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	line := record.Equipment{ID: "tap", Bought: day, Line: &record.WaterLine{Supply: record.Mains}}
	var duty care.Duty
	for _, d := range catalogue.Duties([]record.Equipment{line}) {
		if d.Task.TestsWater() {
			duty = d
		}
	}
	if duty.ID != expected.Task {
		t.Fatalf("no water test among the tasks of a line: %q", duty.ID)
	}
	cases := Compare(record.NewBook(day+130, entries, nil), []Looked{{Duty: duty}})
	if len(cases) != 1 {
		t.Fatalf("%d cases, want one: %+v", len(cases), cases)
	}
	c := cases[0]
	if c.Record != 4 || c.Kind != wear.ExpectedWater || c.Found != "hardness 13.45 dH" || c.Unit != "dH" {
		t.Errorf("%+v", c)
	}
	if math.Abs(c.Stretch.From-0.963) > 0.003 || c.Sooner() != 1 {
		t.Errorf("at %.4f of what was foreseen, want 0.963", c.Stretch.From)
	}
	if c.Expected == nil || math.Abs(c.Expected.Likely-11.2) > 0.1 || c.Expected.Low >= c.Expected.Likely || c.Expected.High >= 13.45 {
		t.Errorf("foreseen %+v dH, want about 11.2 and less than 13.45 nine times in ten", c.Expected)
	}
	// The last test again was off by ln(240/190) = 0.234; its CRPS is a little less for
	// the spread it is given.
	if c.Maker == nil || *c.Maker < 0.21 || *c.Maker > 0.234 || c.Score <= 0 || c.Score >= *c.Maker {
		t.Errorf("score %.3f beside the last test's %v", c.Score, c.Maker)
	}
	if c.Early != nil || c.Fixed != nil {
		t.Errorf("a water test has no window of dates: %v, %v", c.Early, c.Fixed)
	}
	if tally := tallyOf("water", cases); tally.Water != 1 || tally.Fixed != 1 {
		t.Errorf("%+v", tally)
	}
	// What is shared passes its own check and names nothing.
	shared := Share(Score{Cases: cases}, nil)
	if err := shared.check(); err != nil {
		t.Error(err)
	}
}
