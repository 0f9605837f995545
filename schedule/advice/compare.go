package advice

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water"
	"limekeep/water/figure"
)

// WaterComparison puts the present water of a line beside others, everything
// fresh from today on, so that their intervals can be compared.
type WaterComparison struct {
	Line     string          `json:"line"`
	Today    record.Date     `json:"today"`
	Currency string          `json:"currency,omitempty"`
	Waters   []ComparedWater `json:"waters"` // the present one first
	Notes    []string        `json:"notes"`  // what the comparison takes for granted
}

// ComparedWater is one water with what it comes to.
type ComparedWater struct {
	Name      string             `json:"name"`
	Present   bool               `json:"present"`
	Source    string             `json:"source"`    // which water test it starts from
	Treatment []record.Treatment `json:"treatment"` // in the order the water meets it
	Reaches   *ReachingWater     `json:"reaches"`   // null where the line was never tested
	Vessels   []ComparedVessel   `json:"vessels"`
	Cartridge *ComparedCartridge `json:"cartridge"` // null without an exchanger or a membrane
	Warnings  []MaterialWarning  `json:"warnings"`
}

// ReachingWater is what gets to the machines behind a fresh cartridge.
type ReachingWater struct {
	Hardness     figure.Percentiles `json:"hardness_mg_l_caco3"`
	Alkalinity   figure.Percentiles `json:"alkalinity_mg_l_caco3"`
	Chloride     figure.Percentiles `json:"chloride_mg_l"`
	PH           figure.Percentiles `json:"ph"`
	Conductivity figure.Percentiles `json:"conductivity_us_cm"`
}

// ComparedVessel is how long a vessel that is clean today lasts.
type ComparedVessel struct {
	Task    string            `json:"task"`
	Vessel  string            `json:"vessel"`
	Kind    record.VesselKind `json:"kind"`
	Descale Interval          `json:"descale_days"`
	// Scale to come in the first four weeks, in the middle world: on the heated
	// wall, and in all. Zero where no gauge counts it.
	MMPerWeek    float64 `json:"mm_per_week"`
	GramsPerWeek float64 `json:"grams_per_week"`
	// Chloride in a steam boiler after a year, mg/L, without refreshing its water
	// and with half of it replaced each month; null for other vessels.
	ChlorideAfterYear  *float64 `json:"chloride_after_a_year_mg_l"`
	ChlorideWithDrains *float64 `json:"chloride_with_monthly_drains_mg_l"`
}

// ComparedCartridge is how long a fresh cartridge or membrane lasts.
type ComparedCartridge struct {
	Stage  string              `json:"stage"`
	Days   Interval            `json:"days"`
	Yearly *figure.Percentiles `json:"cost_a_year"` // in the currency; null without a price
}

// Interval is the days from being fresh to being due: the 10, 50 and 90 %
// points. Null lies beyond the horizon of five years.
type Interval struct {
	Early  *int `json:"early"`
	Likely *int `json:"likely"`
	Late   *int `json:"late"`
}

// CompareQuery says which waters to put beside the present one. With nothing
// asked for, every kind of treatment is.
type CompareQuery struct {
	Line     string          // id; may be left empty where there is just one
	Kinds    []string        // of treatment: what record.TreatmentKind knows, or NoTreatment
	Bypasses []float64       // shares that go round an exchanger, 0 to 0.9
	Blends   []float64       // shares of raw water blended in behind a membrane, 0 to 0.9
	Sources  []CompareSource // other waters, each with the present treatment and those asked for

	Hydrogen     float64 // share on hydrogen of a mixed exchanger; a half where 0
	RatedLitres  float64 // of the cartridges compared; the present one's where 0
	RatedDegrees float64 // at which hardness, German degrees; the present one's where 0

	CartridgePrice float64 // 0 where unknown
	Currency       string
}

// CompareSource is another water that could be had.
type CompareSource struct {
	Name string
	Test water.Test
}

// NoTreatment is the kind that stands for a line without exchanger or membrane.
const NoTreatment = "none"

// mostCompared is how many waters are compared at most: each is a forecast.
const mostCompared = 24

// comparedWorlds is how many worlds a water is drawn in at most: each is a forecast of
// its own, and costs as much. All waters meet the same worlds, so that their order
// needs few; a likely interval is settled to about a twentieth of it.
const comparedWorlds = 250

// CompareWaters works out how the present water of a line does beside others.
// Errors: a *record.FieldError for an order that cannot be, one of inference.FromTest
// for a source that no water is, and those of every answer.
func CompareWaters(ctx context.Context, d *day.Day, query CompareQuery) (WaterComparison, error) {
	line, err := day.Pick(d.Book, query.Line, "water line", func(e record.Equipment) bool { return e.Line != nil })
	if err != nil {
		return WaterComparison{}, err
	}
	if err := query.check(); err != nil {
		return WaterComparison{}, err
	}
	c := WaterComparison{Line: line.ID, Today: d.Today, Currency: query.Currency, Waters: []ComparedWater{}, Notes: []string{}}
	layouts := query.layouts(line, d.Today, &c)
	sources := append([]CompareSource{{}}, query.Sources...)
	if n := len(layouts) * len(sources); n > mostCompared {
		return WaterComparison{}, &record.FieldError{Field: "alternatives", Value: fmt.Sprint(n), Want: fmt.Sprintf("at most %d waters side by side", mostCompared)}
	}
	for _, source := range sources {
		for i, layout := range layouts {
			house := d.Household()
			house.Draws.Worlds = min(house.Draws.Worlds, comparedWorlds)
			test, err := refit(house, d.Catalogue(), line, layout, source)
			if err != nil {
				return WaterComparison{}, err
			}
			outcomes, err := wear.Forecast(ctx, house)
			if err != nil {
				return WaterComparison{}, err
			}
			w := ComparedWater{Name: layout.name, Present: source.Name == "" && i == 0, Source: sourceText(source, test), Treatment: layout.stages, Vessels: []ComparedVessel{}, Warnings: []MaterialWarning{}}
			if source.Name != "" {
				w.Name = source.Name + ", " + w.Name
			}
			w.intervals(outcomes, d.Today, line.ID, layout, query.CartridgePrice)
			if err := w.reach(house, line.ID, test); err != nil {
				return WaterComparison{}, err
			}
			c.Waters = append(c.Waters, w)
		}
	}
	c.note(d.Book, line.ID)
	return c, nil
}

// refit makes a household in which a line is laid out another way from today
// on, or fed from another source, and in which all that scales, uses up or
// gathers behind it was made fresh today. What was found before still counts. It
// gives the test that says most of the water; nil where there is none.
func refit(house *wear.Household, c *care.Catalogue, line record.Equipment, layout layout, source CompareSource) (*record.Dated[record.WaterTest], error) {
	today := house.Today
	changed := line
	changed.Line = &record.WaterLine{}
	*changed.Line = *line.Line
	changed.Line.Treatment = layout.stages
	house.Equipment = slices.Clone(house.Equipment)
	for i := range house.Equipment {
		if house.Equipment[i].ID == line.ID {
			house.Equipment[i] = changed
		}
	}
	house.Lines[line.ID] = append(slices.Clone(house.Lines[line.ID]), record.Dated[record.Equipment]{On: today, Body: changed})
	house.Duties = behind(house.Duties, changed, c)
	house.Planned = map[string]record.Date{}
	learned := false
	for _, duty := range house.Duties {
		services := house.Services[duty.ID]
		learned = learned || slices.ContainsFunc(services, func(s record.Dated[record.Service]) bool { return s.Body.Finding != "" || s.Body.Grams > 0 })
		house.Services[duty.ID] = append(slices.Clone(services), record.Dated[record.Service]{On: today, Body: record.Service{Task: duty.ID}})
	}
	tests := slices.Clone(house.Tests[line.ID])
	if source.Name != "" {
		// The past was drunk of the old water, which what was found is about.
		if n := len(tests); n > 0 && learned && tests[n-1].On < today {
			last := tests[n-1]
			last.On = today - 1
			tests = append(tests, last)
		} else if !learned {
			tests = nil
		}
		test := record.Dated[record.WaterTest]{On: today, Body: record.WaterTest{Line: line.ID, Test: source.Test}}
		if err := test.Body.Validate(); err != nil {
			return nil, fmt.Errorf("%s: %w", source.Name, err)
		}
		tests = append(tests, test)
	}
	house.Tests[line.ID] = tests
	for _, t := range slices.Backward(tests) {
		if t.Body.After == "" {
			return &t, nil
		}
	}
	if n := len(tests); n > 0 {
		return &tests[n-1], nil
	}
	return nil, nil
}

// behind gives the duties that are about what a line's water does: its
// cartridges, those of a changed line anew, and the vessels of the machines that
// it feeds.
func behind(duties []care.Duty, changed record.Equipment, c *care.Catalogue) []care.Duty {
	var kept []care.Duty
	for _, duty := range duties {
		machine := duty.Equipment.Machine
		if duty.Task.Per == care.PerVessel && machine != nil && machine.Line == changed.ID {
			kept = append(kept, duty)
		}
	}
	for _, duty := range c.Duties([]record.Equipment{changed}) {
		if duty.Changes() == nil {
			continue
		}
		// Of a cartridge that stays, the limits that its owner set stay too.
		for _, known := range duties {
			if known.ID == duty.ID {
				duty.Gauges = known.Gauges
			}
		}
		kept = append(kept, duty)
	}
	return kept
}

// intervals fills in how long vessels and cartridge last.
func (w *ComparedWater) intervals(outcomes []wear.Outcome, today record.Date, line string, l layout, price float64) {
	for _, x := range outcomes {
		interval := intervalOf(x.Window, today)
		switch {
		case x.Scale != nil && x.Duty.Task.Findings == care.FindsScale:
			v := ComparedVessel{Task: x.Duty.ID, Vessel: x.Duty.Part, Descale: interval}
			for _, g := range x.Gauges {
				switch g.Gauge.Driver {
				case care.ByScaleThickness:
					v.MMPerWeek = g.PerWeek
				case care.ByScaleMass:
					v.GramsPerWeek = g.PerWeek
				}
			}
			for _, vessel := range x.Duty.Equipment.Machine.Vessels {
				if vessel.ID == x.Duty.Part {
					v.Kind = vessel.Kind
				}
			}
			if drains := x.Scale.Drains; drains != nil {
				v.ChlorideAfterYear, v.ChlorideWithDrains = &drains.ChlorideWithoutMgPerL, &drains.ChlorideWithMgPerL
			}
			w.Vessels = append(w.Vessels, v)
		case x.Duty.Changes() != nil && x.Duty.Equipment.ID == line && x.Duty.Part == l.main:
			w.Cartridge = &ComparedCartridge{Stage: x.Duty.Part, Days: interval}
			if price > 0 {
				w.Cartridge.Yearly = &figure.Percentiles{Low: yearly(price, interval.Late), Likely: yearly(price, interval.Likely), High: yearly(price, interval.Early)}
			}
		}
	}
}

// intervalOf counts a window's days from today.
func intervalOf(window wear.Window, today record.Date) Interval {
	days := func(on record.Date) *int {
		if on.IsZero() {
			return nil
		}
		n := int(on - today)
		return &n
	}
	return Interval{Early: days(window.Early), Likely: days(window.Likely), Late: days(window.Late)}
}

// yearly is what a year costs when something lasts so many days; one that lasts
// beyond the horizon costs as if it lasted just so long.
func yearly(price float64, days *int) float64 {
	const daysPerYear = 365.2425 // mean of the Gregorian calendar
	if days == nil {
		return price / wear.HorizonYears
	}
	return price * daysPerYear / float64(max(1, *days))
}

func sourceText(source CompareSource, test *record.Dated[record.WaterTest]) string {
	switch {
	case source.Name != "":
		return source.Name
	case test == nil:
		return "never tested: all drinking waters are possible"
	case test.Body.After != "":
		return fmt.Sprintf("test of %s, behind %s", test.On.Long(), test.Body.After)
	}
	return "test of " + test.On.Long()
}

// note says what the comparison takes for granted.
func (c *WaterComparison) note(book *record.Book, line string) {
	supply := slices.ContainsFunc(book.WaterTests(line), func(t record.Dated[record.WaterTest]) bool { return t.Body.After == "" })
	switch tests := book.WaterTests(line); {
	case len(tests) == 0:
		c.Notes = append(c.Notes, "The water was never tested, so the windows are as wide as drinking waters differ: test it first.")
	case !supply:
		c.Notes = append(c.Notes, "The supply itself was never tested, only what comes out of the treatment: what other treatments would make of it is a guess.")
	}
	c.Notes = append(c.Notes, "Every vessel and cartridge is taken to be fresh today, and cartridges to be changed when they are likely due. What was found at earlier services counts.")
	for _, w := range c.Waters {
		if slices.ContainsFunc(w.Treatment, func(t record.Treatment) bool { return t.Kind == record.ReverseOsmosis }) {
			c.Notes = append(c.Notes, "A membrane's own water is acid and nearly free of salts, which copper, brass and level probes do not stand: blend some raw water in.")
			break
		}
	}
}

// check looks at every number of an query.
func (o *CompareQuery) check() error {
	shares := func(field string, values []float64) error {
		for _, v := range values {
			if !(v >= 0 && v <= 0.9) { // nor NaN
				return &record.FieldError{Field: field, Value: fmt.Sprint(v), Want: "a share of 0 to 0.9"}
			}
		}
		return nil
	}
	if err := shares("bypass", o.Bypasses); err != nil {
		return err
	}
	if err := shares("blend", o.Blends); err != nil {
		return err
	}
	known := append((record.TreatmentKind)("").Choices(), NoTreatment)
	for _, kind := range o.Kinds {
		if !slices.Contains(known, kind) {
			return &record.FieldError{Field: "kind", Value: kind, Want: "one of " + strings.Join(known, ", ")}
		}
	}
	for _, c := range []struct {
		field     string
		value     float64
		low, high float64
		want      string
	}{
		{"hydrogen share", o.Hydrogen, 0.01, 0.99, "0.01 to 0.99 of a mixed exchanger"},
		{"rated litres", o.RatedLitres, 1, 1e6, "1 litre or more, from the maker's table"},
		{"rated hardness", o.RatedDegrees, 1, 50, "1 to 50 German degrees"},
		{"cost per cartridge", o.CartridgePrice, 1e-6, 1e9, "more than 0"},
	} {
		if c.value != 0 && !(c.value >= c.low && c.value <= c.high) { // nor NaN
			return &record.FieldError{Field: c.field, Value: fmt.Sprint(c.value), Want: c.want}
		}
	}
	return nil
}
