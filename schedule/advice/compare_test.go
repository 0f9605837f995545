package advice_test

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
	"limekeep/water/corrosion"
)

// kept is what one place wrote down, as far as a forecast reads it. Anything
// else would panic.
type kept struct {
	schedule.Records
	entries []record.Entry
}

func (k *kept) Places(context.Context) ([]string, error) { return []string{"home"}, nil }

func (k *kept) Read(_ context.Context, _ string, until record.Date) (*record.Book, error) {
	return record.NewBook(until, k.entries, nil), nil
}

func (k *kept) Version(context.Context) (int64, error) { return int64(len(k.entries)), nil }

// add writes something down.
func (k *kept) add(on record.Date, body record.Body) {
	k.entries = append(k.entries, record.Entry{ID: int64(len(k.entries) + 1), Place: "home", Effective: on, Body: body})
}

var compareDay = record.NewDate(2026, time.March, 2)

// compareDesk is a kitchen with hard water, a brew and a steam boiler and, where
// given, cartridges. Invented.
func compareDesk(t testing.TB, stages ...record.Treatment) (*sample.Kitchen, *kept) {
	t.Helper()
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	k := &kept{}
	first := record.NewDate(2024, time.March, 1)
	k.add(first, record.Place{ID: "home", Zone: "Europe/Vienna"})
	k.add(first, record.Equipment{ID: "tap", Bought: first, Line: &record.WaterLine{Supply: record.Mains, Treatment: stages}})
	k.add(first, record.Equipment{ID: "machine", Bought: first, Machine: &record.Machine{
		Setting: record.Home, Line: "tap",
		Vessels: []record.Vessel{
			{ID: "brew", Kind: record.BrewBoiler, Material: record.Copper, Litres: 0.5, Watts: 1000, Celsius: 93},
			{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.5, Watts: 1400, Celsius: 124},
		},
		Groups: []record.Group{{ID: "group", ThreeWayValve: true}},
		Habit:  record.Habit{WeekdayShots: 6, WeekendShots: 8, SteamedShare: new(0.5), HotWaterLitres: new(0.4)},
	}})
	k.add(record.NewDate(2026, time.February, 1), record.WaterTest{Line: "tap", Test: compareTest(14, 11)})
	return sample.Over(&day.Opener{Records: k, Catalogue: catalogue, Worlds: 100, PlanEffort: 400_000}), k
}

// compareTest is a test by drops, in German degrees.
func compareTest(hardness, alkalinity float64) water.Test {
	return water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.PH, Value: 7.4, Unit: water.PHUnit, Method: water.MethodMeter},
	}}
}

func compared(t testing.TB, d *sample.Kitchen, query advice.CompareQuery) map[string]advice.ComparedWater {
	t.Helper()
	c, err := advice.CompareWaters(t.Context(), d.Day(t, schedule.Moment{Today: compareDay}), query)
	if err != nil {
		t.Fatal(err)
	}
	waters := map[string]advice.ComparedWater{}
	for i, w := range c.Waters {
		if w.Present != (i == 0) {
			t.Errorf("%s stands at %d and is present %v", w.Name, i, w.Present)
		}
		waters[w.Name] = w
	}
	return waters
}

// compareDays orders days of intervals; null lies beyond all.
func compareDays(n *int) int {
	if n == nil {
		return math.MaxInt
	}
	return *n
}

// The trade's ranking: near nothing behind a fresh softener, about half with half
// of the water round it, most of the raw; what lasts follows. Behind a bypassed
// exchanger on hydrogen a closed brew circuit, where the carbonic acid stays, does
// even better than a steam boiler, which breathes it out.
func TestCompareRanksAsTheTradeDoes(t *testing.T) {
	desk, _ := compareDesk(t)
	waters := compared(t, desk, advice.CompareQuery{Kinds: []string{"softener", "decarboniser"}, Bypasses: []float64{0, 0.5}})
	rising := []string{"softener, bypass shut", "softener, bypass 50 %", "no treatment"}
	for _, names := range [][]string{rising, {"decarboniser, bypass shut", "decarboniser, bypass 50 %", "no treatment"}} {
		for i := 1; i < len(names); i++ {
			less, more := waters[names[i-1]], waters[names[i]]
			for v := range less.Vessels {
				if less.Vessels[v].GramsPerWeek > more.Vessels[v].GramsPerWeek || i == 2 && less.Vessels[v].GramsPerWeek > 0.75*more.Vessels[v].GramsPerWeek {
					t.Errorf("%s: %s lays down %.4f g a week, %s %.4f", less.Vessels[v].Vessel, names[i-1], less.Vessels[v].GramsPerWeek, names[i], more.Vessels[v].GramsPerWeek)
				}
				if a, b := compareDays(less.Vessels[v].Descale.Likely), compareDays(more.Vessels[v].Descale.Likely); a < b {
					t.Errorf("%s: %s lasts %d days, %s %d", less.Vessels[v].Vessel, names[i-1], a, names[i], b)
				}
			}
		}
	}
	const steam = 1
	raw := waters["no treatment"].Vessels
	for _, name := range []string{"softener", "decarboniser"} {
		if got := waters[name+", bypass shut"].Vessels[steam].GramsPerWeek; got > 0.02*raw[steam].GramsPerWeek {
			t.Errorf("%s: %.5f g a week in the steam boiler, want next to nothing of %.5f", name, got, raw[steam].GramsPerWeek)
		}
		if share := waters[name+", bypass 50 %"].Vessels[steam].GramsPerWeek / raw[steam].GramsPerWeek; share < 0.35 || share > 0.65 {
			t.Errorf("half of the water round the %s lays down %.2f of the raw, want about half", name, share)
		}
	}
	// Carbonic acid stays behind hydrogen, and copper feels it.
	acid := waters["decarboniser, bypass shut"]
	if acid.Reaches.PH.Likely > 6 || len(acid.Warnings) == 0 || acid.Warnings[0].Code != corrosion.WarnCopperAcid {
		t.Errorf("pH %.1f with warnings %v, want below 6 and a warning for copper", acid.Reaches.PH.Likely, acid.Warnings)
	}
}

// The present water, all of it made fresh today, must forecast what the list of
// what is due does once somebody writes just that down.
func TestComparePresentIsTheForecast(t *testing.T) {
	filter := record.Treatment{ID: "filter", Kind: record.Softener, Fitted: record.NewDate(2025, time.August, 1), RatedLitres: 150, RatedDegrees: 10, BypassShare: 0.4, Months: 12}
	desk, k := compareDesk(t, filter)
	k.add(record.NewDate(2025, time.June, 1), record.Service{Task: "machine/descale/brew", Finding: record.Film, Grams: 2})
	present := compared(t, desk, advice.CompareQuery{Bypasses: []float64{0.2}})["softener, bypass 40 %"]
	for _, task := range []string{"machine/descale/brew", "machine/descale/steam", "machine/refresh/steam", "tap/cartridge/filter"} {
		k.add(compareDay, record.Service{Task: task})
	}
	dues := desk.Forecast(t, schedule.Moment{Today: compareDay}).Due()
	days := func(on *record.Date) *int {
		if on == nil {
			return nil
		}
		n := int(*on - compareDay)
		return &n
	}
	want := map[string]advice.Interval{}
	for _, due := range dues {
		want[due.Task] = advice.Interval{Early: days(due.Early), Likely: days(due.Likely), Late: days(due.Late)}
	}
	for _, v := range present.Vessels {
		if diff := cmp.Diff(want[v.Task], v.Descale); diff != "" {
			t.Errorf("%s:\n%s", v.Task, diff)
		}
	}
	if len(present.Vessels) != 2 || present.Cartridge == nil {
		t.Fatalf("%d vessels and cartridge %v", len(present.Vessels), present.Cartridge)
	}
	if diff := cmp.Diff(want["tap/cartridge/filter"], present.Cartridge.Days); diff != "" {
		t.Errorf("the cartridge:\n%s", diff)
	}
}

// A price for a cartridge is one for a year: by hand, days of the year over days
// it lasts.
func TestCompareCost(t *testing.T) {
	desk, _ := compareDesk(t)
	w := compared(t, desk, advice.CompareQuery{Kinds: []string{"softener"}, CartridgePrice: 20, RatedLitres: 60, RatedDegrees: 10})["softener, bypass shut"]
	if w.Cartridge == nil || w.Cartridge.Yearly == nil || w.Cartridge.Days.Likely == nil {
		t.Fatalf("cartridge %+v", w.Cartridge)
	}
	// 60 L at 10 °dH are 43 L at 14 °dH; the machine takes 6.6 x 84 g and 100 g
	// through the group, 0.08 kg as steam and 0.4 L as hot water, 1.1 L a day.
	if days := *w.Cartridge.Days.Likely; days < 30 || days > 50 {
		t.Errorf("it lasts %d days, want about 39", days)
	}
	if got, want := w.Cartridge.Yearly.Likely, 20*365.2425/float64(*w.Cartridge.Days.Likely); math.Abs(got-want) > 1e-9 {
		t.Errorf("a year costs %.2f, want %.2f", got, want)
	}
	if w.Cartridge.Yearly.Low > w.Cartridge.Yearly.Likely || w.Cartridge.Yearly.Likely > w.Cartridge.Yearly.High {
		t.Errorf("costs %+v do not rise", *w.Cartridge.Yearly)
	}
}

// Another source replaces the water, not what was learned of the vessels, and
// comparing changes nothing that was written down.
func TestCompareSource(t *testing.T) {
	desk, k := compareDesk(t)
	k.add(record.NewDate(2025, time.June, 1), record.Service{Task: "machine/descale/brew", Finding: record.Crust})
	before := desk.Forecast(t, schedule.Moment{Today: compareDay}).Due()
	waters := compared(t, desk, advice.CompareQuery{Sources: []advice.CompareSource{{Name: "spring", Test: compareTest(5, 4)}, {Name: "the same", Test: compareTest(14, 11)}}})
	here, spring, same := waters["no treatment"].Vessels[0], waters["spring, no treatment"].Vessels[0], waters["the same, no treatment"].Vessels[0]
	if compareDays(spring.Descale.Likely) <= compareDays(here.Descale.Likely) {
		t.Errorf("softer water lasts %d days, this %d", compareDays(spring.Descale.Likely), compareDays(here.Descale.Likely))
	}
	a, b := float64(compareDays(here.Descale.Likely)), float64(compareDays(same.Descale.Likely))
	if math.Abs(math.Log(a/b)) > 0.1 {
		t.Errorf("the same water from elsewhere lasts %g days, here %g", b, a)
	}
	after := desk.Forecast(t, schedule.Moment{Today: compareDay}).Due()
	if diff := cmp.Diff(before, after); diff != "" {
		t.Errorf("comparing moved what is due:\n%s", diff)
	}
}

func TestCompareOrders(t *testing.T) {
	desk, _ := compareDesk(t)
	many := make([]float64, 30)
	for i := range many {
		many[i] = 0.03 * float64(i)
	}
	tests := []struct {
		name  string
		query advice.CompareQuery
		field string
	}{
		{"bypass beyond what a head can", advice.CompareQuery{Bypasses: []float64{0.95}}, "bypass"},
		{"bypass not a number", advice.CompareQuery{Bypasses: []float64{math.NaN()}}, "bypass"},
		{"blend below none", advice.CompareQuery{Blends: []float64{-0.1}}, "blend"},
		{"unknown kind", advice.CompareQuery{Kinds: []string{"magnet"}}, "kind"},
		{"more than fit side by side", advice.CompareQuery{Bypasses: many}, "alternatives"},
		{"free cartridges", advice.CompareQuery{CartridgePrice: -3}, "cost per cartridge"},
		{"cartridge of no litres", advice.CompareQuery{RatedLitres: 0.1}, "rated litres"},
		{"all on hydrogen", advice.CompareQuery{Hydrogen: 2}, "hydrogen share"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := advice.CompareWaters(t.Context(), desk.Day(t, schedule.Moment{Today: compareDay}), tt.query)
			var wrong *record.FieldError
			if !errors.As(err, &wrong) || wrong.Field != tt.field {
				t.Errorf("%v, want a field error of %q", err, tt.field)
			}
		})
	}
	if _, err := advice.CompareWaters(t.Context(), desk.Day(t, schedule.Moment{Today: compareDay}), advice.CompareQuery{Line: "well"}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("%v, want one that matches ErrUnknown", err)
	}
}
