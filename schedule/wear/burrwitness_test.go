package wear

import (
	"math"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

func shot(daysAgo int, seconds, setting, dose, yield float64) record.Dated[record.Measurement] {
	return ago(daysAgo, record.Measurement{Kind: record.ShotTime, Equipment: "grinder", Seconds: seconds, Setting: setting, DoseGrams: dose, YieldGrams: yield})
}

// The setting at which a shot would have taken 28 s, by hand: one of 25 s at
// setting 14 is 3 s short, one click too coarse at 3 s a click, so it needed 13.
func TestEvenSettingByHand(t *testing.T) {
	like := ShotsLike{Seconds: 28, SecondsPerClick: 3}
	for _, test := range []struct {
		name                   string
		seconds, setting       float64
		finer, perClick, needs float64 // counted towards fine
	}{
		{"on time", 28, 14, -1, 3, -14},
		{"3 s short", 25, 14, -1, 3, -13},
		{"6 s long", 34, 14, -1, 3, -16},
		{"6 s long at 2 s a click", 34, 14, -1, 2, -17},
		{"3 s short where higher is finer", 25, 14, 1, 3, 15},
	} {
		like.SecondsPerClick = test.perClick
		m := record.Measurement{Seconds: test.seconds, Setting: test.setting}
		if got := evenSetting(m, test.finer, like); math.Abs(got-test.needs) > 1e-9 {
			t.Errorf("%s: %v, by hand %v", test.name, got, test.needs)
		}
	}
}

// Burrs that need one click finer each month for the same shot are six clicks
// on after six months; whether the owner turns the grinder or lets the shots
// run short, the witness says the same.
func TestBurrsDrift(t *testing.T) {
	k := newKitchen(t)
	k.worlds = 1500
	var turned, let []record.Dated[record.Measurement]
	for i := range 7 {
		turned = append(turned, shot(30*(6-i), 28, 20-float64(i), 18, 36))
		let = append(let, shot(30*(6-i), 28-3*float64(i), 20, 18, 36))
	}
	a := trendOf(t, k.checked(t, turned...)["grinder/burr-replacement"])
	b := trendOf(t, k.checked(t, let...)["grinder/burr-replacement"])
	if math.Abs(a.Condition.Trend.Slope*30-1) > 1e-9 || math.Abs(b.Condition.Trend.Slope*30-1) > 1e-9 {
		t.Errorf("clicks in 30 days: %v turned, %v let", a.Condition.Trend.Slope*30, b.Condition.Trend.Slope*30)
	}
	// The line begins at setting 20: six clicks on today, which is the usual limit.
	for name, g := range map[string]GaugeOutcome{"turned": a, "let": b} {
		if days := g.Window.Likely - today; math.Abs(float64(days)) > 8 {
			t.Errorf("%s: due in %d days, by hand today", name, days)
		}
	}
}

// Burrs are due when a plain line through the readings, from the first of them,
// says so, however far apart the checks lie. With the middle of the first three as
// the reference they were late by the time between two checks: by three months
// where they are a quarter apart.
func TestBurrsDriftAsAPlainLineSays(t *testing.T) {
	for _, every := range []int{40, 50, 60} {
		k := newKitchen(t)
		k.worlds = 1500
		var checks []record.Dated[record.Measurement]
		const perDay = 1.0 / 60 // clicks
		for i := range 5 {
			ago := every * (4 - i)
			checks = append(checks, shot(ago, 28, 20-perDay*float64(every*i), 18, 36))
		}
		g := trendOf(t, k.checked(t, checks...)["grinder/burr-replacement"])
		plain := g.Gauge.Limit.Usual/perDay - float64(4*every)
		if days := float64(g.Window.Likely - today); math.Abs(days-plain) > 0.08*g.Gauge.Limit.Usual/perDay {
			t.Errorf("a check every %d days: due in %.0f days, by a plain line %.0f", every, days, plain)
		}
	}
}

// The owner's own seconds a click count: half of it makes twice the clicks.
func TestOwnSecondsPerClick(t *testing.T) {
	e := newKitchen(t).equipment[0]
	checks := []record.Dated[record.Measurement]{shot(90, 28, 20, 18, 36), shot(60, 28, 20, 18, 36), shot(30, 28, 20, 18, 36), shot(0, 22, 20, 18, 36)}
	usual := newCondition(e, "", care.Rise, checks)
	own := *e.Grinder
	own.SecondsPerClick = 1.5
	e.Grinder = &own
	half := newCondition(e, "", care.Rise, checks)
	if got := usual.Trend.Readings[3].Value; math.Abs(got-2) > 1e-9 || usual.Witness.OwnFigure {
		t.Errorf("6 s short at 3 s a click: %v clicks", got)
	}
	if got := half.Trend.Readings[3].Value; math.Abs(got-4) > 1e-9 || !half.Witness.OwnFigure {
		t.Errorf("6 s short at 1.5 s a click: %v clicks", got)
	}
}

// Shots of another dose or yield are no witness.
func TestOnlyLikeShotsAreWitnesses(t *testing.T) {
	c := newCondition(newKitchen(t).equipment[0], "", care.Rise, []record.Dated[record.Measurement]{
		shot(90, 28, 20, 18, 36), shot(80, 28, 20, 18.3, 36.5), shot(70, 35, 20, 20, 36), shot(60, 40, 20, 18, 50), shot(50, 28, 20, 18, 36),
	})
	if len(c.Trend.Readings) != 3 || len(c.Unlike) != 2 || c.Unlike[0].Why != "its dose was 20 g" || c.Unlike[1].Why != "its yield was 50 g" {
		t.Errorf("%d witnesses, unlike %v", len(c.Trend.Readings), c.Unlike)
	}
}
