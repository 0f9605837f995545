package wear

import (
	"context"
	"slices"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
)

// salted is hard water with so much chloride, mg/L, by a laboratory.
func salted(chloride float64) record.WaterTest {
	test := hardWater(12, 9)
	test.Test.Values = append(test.Test.Values, water.Measured{
		Quantity: water.Chloride, Value: chloride, Unit: water.MgPerL, Method: water.MethodLaboratory,
	})
	return test
}

// Of a feed with 300 mg/L of chloride, where stainless steel stands about 100, no
// refreshing brings the boiler below 300: its refreshing is never a routine, and
// falls due by what else its water gathers, not day after day.
func TestRefreshingIsNoRoutine(t *testing.T) {
	const task = "machine/steam-refresh/steam"
	k := newKitchen(t)
	k.entries[0].Body = salted(300)
	k.served(1, record.Service{Task: task})
	x := k.forecast(t)[task]
	if fresh := x.Gauges[0].Fresh; !(fresh.Low > 240 && fresh.High < 360) {
		t.Errorf("right after a refreshing the boiler holds %.0f mg/L (%.0f to %.0f), want the feed's 300", fresh.Likely, fresh.Low, fresh.High)
	}
	if x.Gauges[0].Reading.Likely < 2 {
		t.Errorf("chloride is %.1f of its limit, want it shown as it is", x.Gauges[0].Reading.Likely)
	}
	if days := x.Window.Early - (today - 1); days < leastRefreshDays {
		t.Errorf("due again after %d days at the earliest, want %d or more", days, leastRefreshDays)
	}
	if days := x.Window.Likely - (today - 1); days < 45 {
		t.Errorf("due again after %d days, want what its taste asks for, 60 to 180", days)
	}
}

// Whatever the feed holds, two refreshings are never less than a fortnight apart,
// and two per cent more of it moves the likely date by less than a tenth of its
// distance.
func TestRefreshingMovesSmoothly(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	window := func(chloride float64) Window {
		k := newKitchen(t)
		k.worlds = 150
		k.entries[0].Body, k.entries[0].Effective = salted(chloride), today
		k.served(0, record.Service{Task: "machine/steam-refresh/steam"})
		h := k.household()
		h.Duties = slices.DeleteFunc(h.Duties, func(d care.Duty) bool { return d.ID != "machine/steam-refresh/steam" })
		outcomes, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		return outcomes[0].Window
	}
	for _, chloride := range []float64{50, 70, 85, 95, 100, 110, 130, 170, 300} {
		less, more := window(chloride), window(1.02*chloride)
		if less.Early-today < leastRefreshDays {
			t.Errorf("%.0f mg/L: due after %d days at the earliest", chloride, less.Early-today)
		}
		if was, is := float64(less.Likely-today), float64(more.Likely-today); is > 1.1*was+1 || is < 0.9*was-1 {
			t.Errorf("%.0f mg/L: likely after %.0f days, after %.0f with two per cent more", chloride, was, is)
		}
	}
}

// Where it is not known whether a boiler's water was refreshed before all was written down, a
// descaling of then says how long ago that is at most, and no more: its water may have been
// refreshed since.
func TestADescalingOfAnUnknownPastIsNotTheLastRefreshing(t *testing.T) {
	const task = "machine/steam-refresh/steam"
	likely := func(daysAgo int) record.Date {
		k := newKitchen(t)
		k.worlds = 150
		if daysAgo > 0 {
			k.served(daysAgo, record.Service{Task: "machine/descale/steam"})
		}
		h := k.household()
		for i := range h.Duties {
			h.Duties[i].Past = care.Past{Unknown: true, From: today - 1000, Until: today}
		}
		outcomes, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range outcomes {
			if x.Duty.ID == task {
				return x.Window.Likely
			}
		}
		t.Fatal("no such task")
		return 0
	}
	unknown := likely(0)
	if is := likely(390); is < unknown-7 || is > unknown+7 {
		t.Errorf("descaled a year ago it is likely due on %s, want about %s, as where nobody knows", is, unknown)
	}
	if is := likely(5); is < today+45 || is > today+180 {
		t.Errorf("descaled five days ago it is likely due on %s, %d days on, want its whole interval, 60 to 180 days", is, is-today)
	}
}
