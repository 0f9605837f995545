package wear

import (
	"context"
	"math"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/deposit"
)

// checked forecasts a kitchen with condition checks.
func (k *kitchen) checked(t testing.TB, checks ...record.Dated[record.Measurement]) map[string]Outcome {
	t.Helper()
	if k.worlds == kitchenWorlds {
		k.worlds = 100 // enough for what a line through readings says
	}
	h := k.household()
	h.Checks = map[string][]record.Dated[record.Measurement]{}
	for _, c := range checks {
		h.Checks[c.Body.Equipment] = append(h.Checks[c.Body.Equipment], c)
	}
	outcomes, err := Forecast(context.Background(), h)
	if err != nil {
		t.Fatal(err)
	}
	byTask := map[string]Outcome{}
	for _, o := range outcomes {
		byTask[o.Duty.ID] = o
	}
	return byTask
}

// ago dates a check.
func ago(days int, m record.Measurement) record.Dated[record.Measurement] {
	return record.Dated[record.Measurement]{ID: int64(1000 + days), On: today - record.Date(days), Body: m}
}

// flows makes flow tests of 20 s, thirty days apart, the last one today.
func flows(grams ...float64) []record.Dated[record.Measurement] {
	var all []record.Dated[record.Measurement]
	for i, g := range grams {
		all = append(all, ago(30*(len(grams)-1-i), record.Measurement{Kind: record.Flow, Equipment: "machine", Part: "group", Grams: g, Seconds: 20}))
	}
	return all
}

func trendOf(t *testing.T, o Outcome) GaugeOutcome {
	t.Helper()
	for _, g := range o.Gauges {
		if g.Gauge.Driver == care.ByTrend {
			return g
		}
	}
	t.Fatalf("%s has no trend", o.Duty.ID)
	return GaugeOutcome{}
}

// Flow lost, by hand: 200 g in 20 s are 10 g/s; 170 g are 8.5 g/s, 15 % less. At
// equal pressure flow goes with the area, so a bore of 0.6 mm acts like one of
// 0.6·√0.85 = 0.553 mm.
func TestFlowLostByHand(t *testing.T) {
	c := newCondition(newKitchen(t).equipment[1], "group", care.Loss, flows(200, 200, 200, 170, 170, 170))
	if c.Reference != 10 || c.Latest != 8.5 {
		t.Errorf("reference %v g/s, latest %v g/s", c.Reference, c.Latest)
	}
	last := c.Trend.Readings[5].Value
	if math.Abs(last-15) > 1e-9 {
		t.Errorf("%v %% lost, by hand 15", last)
	}
	bore := 0.6 - 2*deposit.OrificeThicknessMM(0.6, 1-last/100)
	if math.Abs(bore-0.6*math.Sqrt(0.85)) > 1e-9 {
		t.Errorf("acts like %v mm, by hand 0.553", bore)
	}
}

// A loss that grows by 1 % a month from 0 is 5 % after five months and reaches
// the usual limit of 15 % in ten more.
func TestTrendProjectsItsCrossing(t *testing.T) {
	k := newKitchen(t)
	k.worlds = 1500
	grams := []float64{200, 198, 196, 194, 192, 190} // 1 % of 200 g a month of 30 days
	o := k.checked(t, flows(grams...)...)["machine/jets/group"]
	g := trendOf(t, o)
	// The reference is the line's on the first day, 200 g: what stands at 15 % of it
	// is 170 g, 20 g on from 190 g at 2 g in 30 days.
	days := (190 - 200*0.85) / 2 * 30
	if got := float64(g.Window.Likely - today); math.Abs(got/days-1) > 0.15 { // what a hundred worlds tell
		t.Errorf("likely in %v days, by hand %.0f", got, days)
	}
	if !(g.Window.Early < g.Window.Likely && g.Window.Likely < g.Window.Late) {
		t.Errorf("window %v", g.Window)
	}
	if math.Abs(g.Amount.Likely-100*(1-190.0/200)) > 0.5 {
		t.Errorf("lost today %v %%", g.Amount.Likely)
	}
	if o.Window.Likely > g.Window.Likely {
		t.Errorf("the task waits longer (%s) than its trend (%s)", o.Window.Likely, g.Window.Likely)
	}
}

// What is flat, or measured once, or not at all gives no date.
func TestNoDateFromNothing(t *testing.T) {
	k := newKitchen(t)
	for name, checks := range map[string][]record.Dated[record.Measurement]{
		"nothing":               nil,
		"one reading":           flows(100),
		"a first and a far one": flows(200, 100)[1:],
		"flat":                  flows(200, 201, 199, 200, 201, 199, 200, 200),
		"one far off at the end": append(flows(200, 201, 199, 200, 201, 199, 200),
			ago(0, record.Measurement{Kind: record.Flow, Equipment: "machine", Part: "group", Grams: 90, Seconds: 20})),
	} {
		if g := trendOf(t, k.checked(t, checks...)["machine/jets/group"]); g.Window.Likely != 0 || g.Reading.Likely >= 1 {
			t.Errorf("%s: likely %s, reading %v", name, g.Window.Likely, g.Reading.Likely)
		}
	}
}

// A sudden loss that two readings bear out is due from the first of them on; the
// service that puts it right starts the series anew.
func TestSuddenLossIsDueAtOnce(t *testing.T) {
	k := newKitchen(t)
	checks := flows(200, 201, 199, 200, 201, 199, 120, 121)
	g := trendOf(t, k.checked(t, checks...)["machine/jets/group"])
	if g.Window.Likely < today-40 || g.Window.Likely > today-20 || g.Reading.Likely < 2 {
		t.Errorf("likely %s, reading %v", g.Window.Likely, g.Reading.Likely)
	}
	k.served(10, record.Service{Task: "machine/jets/group", Finding: record.Failed})
	after := append(checks[:7], ago(5, record.Measurement{Kind: record.Flow, Equipment: "machine", Part: "group", Grams: 199, Seconds: 20}))
	if g := trendOf(t, k.checked(t, after...)["machine/jets/group"]); g.Window.Likely != 0 || g.Condition.Trend.Counted != 1 {
		t.Errorf("after the service: likely %s", g.Window.Likely)
	}
}

// Checks move the task they are of and no other.
func TestChecksLeaveOthersAlone(t *testing.T) {
	k := newKitchen(t)
	before, after := k.checked(t), k.checked(t, flows(200, 198, 196, 194, 192, 190)...)
	for id := range before {
		if id != "machine/jets/group" && before[id].Window != after[id].Window {
			t.Errorf("%s moved from %v to %v", id, before[id].Window, after[id].Window)
		}
	}
	if before["machine/jets/group"].Window == after["machine/jets/group"].Window {
		t.Error("the checks moved nothing")
	}
}

// A gauge advanced by a run of days comes to the same as day by day.
func TestTrendGaugeByRunsAndDays(t *testing.T) {
	g := &trendGauge{limits: []float64{10}, wait: 12.5, levels: []float64{2}, paces: []float64{0.25}}
	one, run := g.Start(0, Service{}), g.Start(0, Service{})
	for range 40 {
		one = g.Advance(one, care.Exposure{Days: 1})
	}
	run = g.Advance(g.Advance(run, care.Exposure{Days: 7}), care.Exposure{Days: 33})
	want := 2 + 0.25*27.5
	if math.Abs(one.Amount-want) > 1e-9 || math.Abs(run.Amount-want) > 1e-9 || math.Abs(g.Reading(run)-want/10) > 1e-9 {
		t.Errorf("day by day %v, in runs %v, by hand %v", one.Amount, run.Amount, want)
	}
	if half := g.Start(0, Service{Left: 0.5, Before: run}); half != run {
		t.Error("a job half done changed what was measured")
	}
}

// A warm-up that starts from 38 °C instead of 20 °C has 55 of 73 K to go: 6.03
// minutes there are 8 from the temperature of the room.
func TestWarmUpFromElsewhere(t *testing.T) {
	m := record.Measurement{Kind: record.WarmUpTime, Minutes: 8 * 55.0 / 73, FromCelsius: 38}
	if got := raw(m, 93); math.Abs(got-8) > 1e-9 {
		t.Errorf("%v minutes, by hand 8", got)
	}
}

// A scale's error counts either way, a temperature's drift too.
func TestEitherWayIsWorse(t *testing.T) {
	tools := record.Equipment{ID: "tools", Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale}}}
	for _, sign := range []float64{-1, 1} {
		var checks []record.Dated[record.Measurement]
		for i := range 6 {
			checks = append(checks, ago(30*(6-i), record.Measurement{Kind: record.ReferenceMass, Equipment: "tools", ShownGrams: 100 + sign*0.2*float64(i), MassGrams: 100}))
		}
		c := newCondition(tools, "", care.Either, checks)
		if last := c.Trend.Readings[5].Value; math.Abs(last-1) > 1e-9 || c.Trend.Slope <= 0 {
			t.Errorf("sign %v: off by %v %%, slope %v", sign, last, c.Trend.Slope)
		}
	}
}

// Of two parts the worse one decides.
func TestWorstPartDecides(t *testing.T) {
	k := newKitchen(t)
	var checks []record.Dated[record.Measurement]
	for i := range 6 {
		for part, minutes := range map[string]float64{"brew": 8, "steam": 10 + 0.5*float64(i)} {
			checks = append(checks, ago(60*(6-i), record.Measurement{Kind: record.WarmUpTime, Equipment: "machine", Part: part, Minutes: minutes}))
		}
	}
	g := trendOf(t, k.checked(t, checks...)["machine/electrical-check"])
	if g.Condition == nil || g.Condition.Part != "steam" || !g.Condition.Trend.Sure {
		t.Errorf("condition %+v", g.Condition)
	}
}
