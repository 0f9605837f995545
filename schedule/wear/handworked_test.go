package wear

import (
	"math"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Gasket hours by hand. 5 hours a day with 105 °C at the seal age it as 10 hours
// at 95 °C do, since ageing doubles per 10 °C: its usual life of 2920 h is over
// after 292 days; at 85 °C, with 2.5 hours a day that count, after 1168.
func TestGasketDaysByHand(t *testing.T) {
	for _, test := range []struct{ celsius, hoursADay, days float64 }{
		{95, 8, 365}, {95, 5, 584}, {105, 5, 292}, {85, 5, 1168},
	} {
		machine := record.Machine{Groups: []record.Group{{ID: "group", SealCelsius: test.celsius}}}
		count, ok := care.BySealHours.Count(care.Duty{Task: &care.Task{}, Equipment: record.Equipment{Machine: &machine}, Part: "group"})
		if !ok {
			t.Fatal("nothing counts hours of a seal")
		}
		g := &partGauge{limits: []float64{2920}, count: count}
		state := g.Advance(g.Start(0, Service{}), care.Exposure{Days: test.days, HotHours: test.days * test.hoursADay})
		if got := g.Reading(state); math.Abs(got-1) > 1e-9 {
			t.Errorf("%v h a day at %v °C: %v of the life after %v days, by hand all of it", test.hoursADay, test.celsius, got, test.days)
		}
	}
}

// Burr kilograms by hand. Three shots on each of five days and six on each of
// two are 27 a week; at 18 g that is 0.486 kg a week and 25.4 kg a year, so
// conical burrs of 300 kg last 11.8 years, beyond every plan.
func TestBurrKilogramsByHand(t *testing.T) {
	k := newKitchen(t)
	g := k.forecast(t)["grinder/burr-replacement"].Gauges[0]
	const week = (5*3 + 2*6) * 0.018
	if math.Abs(g.PerWeek/week-1) > 0.03 {
		t.Errorf("%v kg a week, by hand %v", g.PerWeek, week)
	}
	years := float64(today-k.equipment[0].Bought) / 365.2425
	if want := week * 365.2425 / 7 * years; math.Abs(g.Amount.Likely/want-1) > 0.03 {
		t.Errorf("%v kg in %.1f years, by hand %v", g.Amount.Likely, years, want)
	}
	if g.Window.Likely != 0 {
		t.Errorf("a date is invented: %s", g.Window.Likely)
	}
}

// Warm-up by hand. 0.6 kg of water from 20 to 93 °C take 0.6·4.19·73 = 183.5 kJ,
// which 1000 W give in 183.5 s, 3.06 minutes; a steam boiler is filled to 65 %.
func TestWarmUpByHand(t *testing.T) {
	brew := record.Vessel{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93}
	w, ok := WarmUpOf(brew, record.Home, 0)
	if !ok || math.Abs(w.KJ()-0.6*4.19*73) > 1e-9 || math.Abs(w.Seconds()-183.5) > 0.1 {
		t.Errorf("%v kJ in %v s (%t)", w.KJ(), w.Seconds(), ok)
	}
	steam := record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper, Litres: 1.6, Watts: 1400, Celsius: 125}
	if w, ok = WarmUpOf(steam, record.Home, 15); !ok || math.Abs(w.KJ()-0.65*1.6*4.19*110) > 1e-9 {
		t.Errorf("%v kJ (%t)", w.KJ(), ok)
	}
	if _, ok = WarmUpOf(record.Vessel{ID: "x", Kind: record.BrewBoiler, Material: record.Brass}, record.Home, 0); ok {
		t.Error("a vessel without figures has a warm-up")
	}
}

// Lock-ins are shots, shared among the groups.
func TestLockInsAreShotsAGroup(t *testing.T) {
	k := newKitchen(t)
	k.worlds = 200
	perWeek := func() float64 {
		for _, g := range k.forecast(t)["machine/group-gasket/group"].Gauges {
			if g.Gauge.Unit == "lock-ins" {
				return g.PerWeek
			}
		}
		t.Fatal("no gauge of lock-ins")
		return 0
	}
	one := perWeek()
	if math.Abs(one/27-1) > 0.03 {
		t.Errorf("%v lock-ins a week, by hand 27", one)
	}
	k.machine().Groups = append(k.machine().Groups, record.Group{ID: "second", ThreeWayValve: true})
	if two := perWeek(); math.Abs(two/one-0.5) > 1e-9 {
		t.Errorf("%v lock-ins a group with two of them", two)
	}
}
