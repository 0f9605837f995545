package wear

import (
	"context"
	"math"
	"runtime"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// later tells whether a window's likely date lies after another's; beyond the
// horizon is later than any date.
func later(a, b Window) bool {
	x, y := a.Likely, b.Likely
	if x == 0 {
		return y != 0
	}
	return y != 0 && x > y
}

// logged writes so many shots down for each of the last days.
func (k *kitchen) logged(days int, shots float64) {
	from := today - record.Date(days) + 1
	k.entries = append(k.entries, record.Entry{ID: int64(len(k.entries) + 1), Effective: from,
		Body: record.UseBatch{Machine: "machine", From: from, To: today, Rows: days}})
	for d := from; d <= today; d++ {
		k.days = append(k.days, record.UseDay{Machine: "machine", Date: d, Shots: shots, Steamed: shots / 2})
	}
}

// Changing one thing that was entered must move the dates the way it does in a
// kitchen. Each row changes just one.
func TestDatesMoveTheWayTheyMust(t *testing.T) {
	const descale = "machine/descale/steam"
	tests := []struct {
		name         string
		task         string
		before, then func(*kitchen)
		later        bool
	}{
		{"harder water, sooner descaling", descale, nil, func(k *kitchen) { k.entries[0].Body = hardWater(20, 15) }, false},
		{"softer water, later descaling", descale, nil, func(k *kitchen) { k.entries[0].Body = hardWater(6, 4) }, true},
		{"more alkaline water, sooner descaling of the brew boiler", "machine/descale/brew", nil, func(k *kitchen) { k.entries[0].Body = hardWater(12, 12) }, false},
		{"more use, sooner descaling", descale, nil, func(k *kitchen) { k.logged(90, 12) }, false},
		{"less use, later descaling", descale, nil, func(k *kitchen) { k.logged(700, 1) }, true},
		{"more use, sooner detergent", "machine/backflush-detergent/group", func(k *kitchen) { k.served(5, record.Service{Task: "machine/backflush-detergent/group"}) }, func(k *kitchen) { k.logged(4, 30) }, false},
		{"more use, sooner burrs", "grinder/burr-replacement", func(k *kitchen) { k.logged(90, 40) }, func(k *kitchen) { k.machine().Habit.WeekdayShots = 60 }, false},
		{"descaled yesterday, later descaling", descale, nil, func(k *kitchen) { k.served(1, record.Service{Task: descale}) }, true},
		{"descaled in part, later than not at all", descale, nil, func(k *kitchen) { k.served(1, record.Service{Task: descale, Left: 0.5}) }, true},
		{"descaled in part, sooner than wholly", descale, func(k *kitchen) { k.served(1, record.Service{Task: descale}) },
			func(k *kitchen) { k.entries[len(k.entries)-1].Body = record.Service{Task: descale, Left: 0.5} }, false},
		{"new gasket, later gasket", "machine/group-gasket/group", nil, func(k *kitchen) { k.served(30, record.Service{Task: "machine/group-gasket/group"}) }, true},
		{"hotter seal, sooner gasket", "machine/group-gasket/group", nil, func(k *kitchen) { k.machine().Groups[0].SealCelsius = 105 }, false},
		{"found bare, later descaling", descale, func(k *kitchen) { k.served(100, record.Service{Task: descale}) },
			func(k *kitchen) {
				k.entries[len(k.entries)-1].Body = record.Service{Task: descale, Finding: record.Bare}
			}, true},
		{"found crusted, sooner descaling", descale, func(k *kitchen) { k.served(100, record.Service{Task: descale}) },
			func(k *kitchen) {
				k.entries[len(k.entries)-1].Body = record.Service{Task: descale, Finding: record.Crust}
			}, false},
		{"gasket found fresh, later gasket", "machine/group-gasket/group", func(k *kitchen) { k.served(100, record.Service{Task: "machine/group-gasket/group"}) },
			func(k *kitchen) {
				k.entries[len(k.entries)-1].Body = record.Service{Task: "machine/group-gasket/group", Finding: record.Fresh}
			}, true},
		{"softener before the machine, later descaling", descale, nil, func(k *kitchen) { fitCartridge(k, 0) }, true},
		{"bypass half open, sooner than shut", descale, func(k *kitchen) { fitCartridge(k, 0) }, func(k *kitchen) { fitCartridge(k, 0.5) }, false},
		{"harder water, sooner cartridge", "tap/cartridge/softener", func(k *kitchen) { fitCartridge(k, 0) }, func(k *kitchen) { k.entries[0].Body = hardWater(20, 15) }, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			windows := [2]Window{}
			for i := range windows {
				k := newKitchen(t)
				if tt.before != nil {
					tt.before(k)
				}
				if i == 1 {
					tt.then(k)
				}
				windows[i] = k.forecast(t)[tt.task].Window
			}
			if windows[0] == windows[1] {
				t.Fatalf("%s: the window stays at %v", tt.task, windows[0])
			}
			if got := later(windows[1], windows[0]); got != tt.later {
				t.Errorf("%s: from %v to %v", tt.task, windows[0], windows[1])
			}
		})
	}
}

// fitCartridge puts a softener into the line, new three months ago and large
// enough to last.
func fitCartridge(k *kitchen, bypass float64) {
	k.equipment[2].Line = &record.WaterLine{Supply: record.Mains, Treatment: []record.Treatment{
		{ID: "softener", Kind: record.Softener, Fitted: today - 90, RatedLitres: 400, RatedDegrees: 10, BypassShare: bypass},
	}}
	// The line itself is no older than its cartridge, so that all of its water
	// went through it.
	for i := range k.equipment {
		k.equipment[i].Bought = today - 90
	}
	k.entries[0].Effective = today - 90
}

// A gauge or a task that comes into the catalogue must leave every other window
// where it was, to the day: random numbers are keyed by what they are for.
func TestNewGaugeLeavesOthersAlone(t *testing.T) {
	k := newKitchen(t)
	before := k.forecast(t)

	k.catalogue.Tasks = append([]care.Task{{
		ID: "aardvark", Title: "Something new", Per: care.PerGroup, Who: care.Owner, Minutes: 5, Findings: care.FindsNothing,
		Gauges: []care.Gauge{{Name: "shots for it", Driver: care.ByShots, Unit: "shots",
			Limits: []care.Limit{{Low: 30, Usual: 60, High: 120, Source: "invented"}}}},
	}}, k.catalogue.Tasks...)
	for i := range k.catalogue.Tasks {
		if k.catalogue.Tasks[i].ID == "group-gasket" {
			// Beyond all else, so that it decides nothing by itself.
			k.catalogue.Tasks[i].Gauges = append(k.catalogue.Tasks[i].Gauges, care.Gauge{Name: "shots on the gasket", Driver: care.ByShots, Unit: "shots",
				Limits: []care.Limit{{Low: 1e6, Usual: 2e6, High: 4e6, Source: "invented"}}})
		}
	}
	after := k.forecast(t)
	if len(after) != len(before)+1 {
		t.Fatalf("%d tasks became %d, want one more", len(before), len(after))
	}
	for task, was := range before {
		if diff := cmp.Diff(was.Window, after[task].Window); diff != "" {
			t.Errorf("%s moved:\n%s", task, diff)
		}
		for i, g := range was.Gauges {
			if diff := cmp.Diff(g, after[task].Gauges[i]); diff != "" {
				t.Errorf("%s, %s moved:\n%s", task, g.Gauge.Name, diff)
			}
		}
	}
}

// The same household gives the same outcomes to the bit on one processor and on
// several, and whatever the zone of the machine it runs on.
func TestForecastIsTheSameSideBySide(t *testing.T) {
	k := newKitchen(t)
	k.served(100, record.Service{Task: "machine/descale/steam", Finding: record.Film})
	want := k.forecast(t)
	zone := time.Local
	processors := runtime.GOMAXPROCS(1)
	t.Cleanup(func() {
		runtime.GOMAXPROCS(processors)
		time.Local = zone
	})
	time.Local = time.FixedZone("far east", 14*3600)
	if diff := cmp.Diff(want, k.forecast(t)); diff != "" {
		t.Error(diff)
	}
}

// Hand-worked: a machine that a timer keeps hot for 3 hours a day, its seal at
// 95 °C, gathers 3 hours a day; the usual 2920 hours last 973 days. At 105 °C the rate
// doubles (rule of thumb of seal makers' handbooks) and they last 486.
func TestGasketHoursByHand(t *testing.T) {
	for _, tt := range []struct {
		celsius float64
		days    record.Date
	}{{95, 973}, {105, 486}} {
		k := newKitchen(t)
		k.machine().Groups[0].SealCelsius = tt.celsius
		k.machine().Habit.HotTimer = []record.Timer{{On: "0 7 * * *", Off: "0 10 * * *"}}
		gauge := k.forecast(t)["machine/group-gasket/group"].Gauges[0]
		fresh := k.equipment[1].Bought
		if got := gauge.Window.Likely - fresh; got < tt.days-20 || got > tt.days+20 {
			t.Errorf("at %v °C the gasket lasts %d days, want about %d", tt.celsius, got, tt.days)
		}
		// One in ten is gone after half of the usual life, the low limit.
		if got := gauge.Window.Early - fresh; got < tt.days/2-15 || got > tt.days/2+15 {
			t.Errorf("at %v °C the early date is after %d days, want about %d", tt.celsius, got, tt.days/2)
		}
	}
}

// Hand-worked: 3 shots on weekdays and 6 at weekends are 27 a week, 1408.7 a
// year; at 18 g that is 25.4 kg a year, so 300 kg last 11.8 years: beyond the
// horizon, so no date is given.
func TestBurrsOutlastTheHorizon(t *testing.T) {
	o := newKitchen(t).forecast(t)["grinder/burr-replacement"]
	if o.Window.Likely != 0 || o.Window.Late != 0 {
		t.Errorf("window %v, want none within the horizon", o.Window)
	}
	years := float64(today-record.NewDate(2023, time.March, 1)) / 365.25
	if want, got := 27*52.18*0.018*years, o.Gauges[0].Amount.Likely; math.Abs(got-want) > 0.03*want {
		t.Errorf("%.1f kg ground, want %.1f", got, want)
	}
}

// A cartridge that its maker rates at so many litres of a hardness is used up
// after so many litres of that water, and after half of them at twice the
// hardness.
func TestCartridgeCapacityByHand(t *testing.T) {
	step := care.Exchanged(record.Treatment{Kind: record.Softener, RatedLitres: 1000, RatedDegrees: 10})
	at := func(degrees float64) care.Exposure {
		meq := degrees * 0.35664 // 1 °dH is 0.17832 mmol/L
		return care.Exposure{Litres: 100, HardnessMeq: 100 * meq, CarbonMeq: 100 * meq}
	}
	if got := step(at(10)); math.Abs(got-0.1) > 1e-4 {
		t.Errorf("100 of 1000 rated litres use %.5f, want 0.1", got)
	}
	if got := step(at(20)); math.Abs(got-0.2) > 1e-4 {
		t.Errorf("100 litres at twice the hardness use %.5f, want 0.2", got)
	}
}

// A planned change of the cartridge counts from its own day on: with the change
// planned early, less hardness breaks through to the boiler.
func TestPlannedCartridgeChangeProtectsTheBoiler(t *testing.T) {
	window := func(planned record.Date) Window {
		k := newKitchen(t)
		fitCartridge(k, 0)
		k.equipment[2].Line.Treatment[0].RatedLitres = 60 // all but used up today
		k.planned["tap/cartridge/softener"] = planned
		return k.forecast(t)["machine/descale/steam"].Window
	}
	tomorrow, put := window(today+1), window(today+500)
	if put.Early == 0 || tomorrow.Early != 0 && tomorrow.Early <= put.Early {
		t.Errorf("changed tomorrow the boiler is due %v, changed in 500 days %v", tomorrow, put)
	}
}

// A forecast without a single water test still answers, and says that the test
// is what is due first.
func TestNoTestMeansTestNow(t *testing.T) {
	k := newKitchen(t)
	k.entries = nil
	o := k.forecast(t)
	if w := o["tap/water-test"].Window; w.Likely == 0 || w.Likely > today {
		t.Errorf("the water was never tested, and a test is due %v", w)
	}
	tested := newKitchen(t).forecast(t)["machine/descale/steam"].Gauges[1].Amount
	untested := o["machine/descale/steam"].Gauges[1].Amount
	if untested.High/untested.Likely <= tested.High/tested.Likely {
		t.Errorf("scale is no less certain untested (%v) than tested (%v)", untested, tested)
	}
}

func TestForecastRefusesNoWorlds(t *testing.T) {
	k := newKitchen(t)
	k.worlds = 0
	if _, err := Forecast(context.Background(), k.household()); err == nil {
		t.Error("a forecast over no worlds was made")
	}
}

// Made fresh later, a part falls due later by about as much; what it is told by
// in detail agrees with the window.
func TestAgainFollowsTheDayMadeFresh(t *testing.T) {
	k := newKitchen(t)
	k.served(10, record.Service{Task: "machine/backflush-detergent/group"})
	h := k.household()
	h.Again = []record.Date{today, today + 91, today + 182}
	outcomes, err := Forecast(context.Background(), h)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range outcomes {
		if o.Duty.ID != "machine/backflush-detergent/group" {
			continue
		}
		if len(o.Again) != 3 {
			t.Fatalf("%d answers to 3 days", len(o.Again))
		}
		middle := func(q Quantiles) record.Date { return q[QuantileCount/2] }
		if d := middle(o.Due) - o.Window.Likely; d < -3 || d > 3 {
			t.Errorf("in detail likely %v, by the window %v", middle(o.Due), o.Window.Likely)
		}
		for i := range 2 {
			if d := middle(o.Again[i+1]) - middle(o.Again[i]); d < 88 || d > 94 {
				t.Errorf("91 days later it falls due %d days later", d)
			}
		}
		if middle(o.Again[0]) <= middle(o.Due) {
			t.Errorf("made fresh today it is due %v, as it stands %v", middle(o.Again[0]), middle(o.Due))
		}
		return
	}
	t.Fatal("no detergent backflush")
}
