package care

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/conductivity"
)

// Driver is what moves a gauge, as the catalogue names it.
type Driver string

// Drivers that code speaks of; the register below holds all of them.
const (
	ByShots            Driver = "shots"
	ByKilograms        Driver = "kilograms"
	ByDays             Driver = "days"
	ByHotHours         Driver = "hot hours"
	BySealHours        Driver = "seal hours"
	ByExchange         Driver = "exchange"
	ByLitres           Driver = "litres"
	ByScaleThickness   Driver = "scale thickness"
	ByScaleMass        Driver = "scale mass"
	ByOrificeLoss      Driver = "orifice loss"
	ByBoilerChloride   Driver = "boiler chloride"
	ByBoilerAlkalinity Driver = "boiler alkalinity"
	ByBoilerSolids     Driver = "boiler solids"
	ByWaterDoubt       Driver = "water doubt"
	ByTrend            Driver = "trend"
	BeforeAbsence      Driver = "before absence"
	BeforeFrost        Driver = "before frost"
	AfterAbsence       Driver = "after absence"
)

// Kind tells what sort of gauge a driver moves.
type Kind int

// Kinds of gauges. The zero Kind is that of a driver nobody knows.
const (
	Counted   Kind = iota + 1 // what the part is exposed to adds up
	Deposited                 // scale that stays in a vessel
	Dissolved                 // what steam leaves behind in a boiler's water
	Doubted                   // how little is known of the water
	Checked                   // what condition checks read
	Away                      // a time away, which is no wear
)

// driverEntry is all there is to know of a driver.
type driverEntry struct {
	driver Driver
	kind   Kind

	// Of a Counted one: how much of its exposure a part counts. The count is nil
	// where the part has nothing of the sort.
	count func(Duty) func(Exposure) float64
	// The one amount that it counts of; nil where it counts several.
	only *Amount
	// Of a Dissolved one: what of the boiler's water counts, mg/kg.
	dissolved func(water.Analysis) float64
	// The usual limit up to which a task counts as done at least once a year, in a
	// home. Common practice. 0 where it wears on whoever looked.
	yearly float64
	// Unit of the limit of an owner's own task.
	unit string
}

// drivers is the register of drivers: whatever counts in a new way has its entry
// here and nowhere else.
var drivers = []driverEntry{
	{driver: ByDays, kind: Counted, only: new(OfDays), yearly: 400, unit: "days", count: each(func(e Exposure) float64 { return e.Days })},
	{driver: ByShots, kind: Counted, only: new(OfShots), yearly: 1500, unit: "shots", count: perGroup(func(e Exposure) float64 { return e.Shots })},
	{driver: ByKilograms, kind: Counted, only: new(OfKilograms), yearly: 50, unit: "kg", count: each(func(e Exposure) float64 { return e.Kilograms })},
	{driver: ByHotHours, kind: Counted, only: new(OfHotHours), unit: "h", count: each(func(e Exposure) float64 { return e.HotHours })},
	{driver: BySealHours, kind: Counted, only: new(OfHotHours), count: sealHours},
	{driver: ByExchange, kind: Counted, count: perCartridge(Exchanged)},
	{driver: ByLitres, kind: Counted, only: new(OfLitres), count: perCartridge(ratedLitres)},
	{driver: ByScaleThickness, kind: Deposited},
	{driver: ByScaleMass, kind: Deposited},
	{driver: ByOrificeLoss, kind: Deposited}, // in the smallest bore on the way to the cup
	{driver: ByBoilerChloride, kind: Dissolved, dissolved: func(a water.Analysis) float64 { return a.ChlorideMgPerKg }},
	{driver: ByBoilerAlkalinity, kind: Dissolved, dissolved: func(a water.Analysis) float64 { return a.AlkalinityMgPerKgCaCO3 }},
	{driver: ByBoilerSolids, kind: Dissolved, dissolved: conductivity.DissolvedSolids},
	{driver: ByWaterDoubt, kind: Doubted},
	{driver: ByTrend, kind: Checked},
	{driver: BeforeAbsence, kind: Away}, // days away, from the day before it
	{driver: BeforeFrost, kind: Away},   // days away in frost, from the day before it
	{driver: AfterAbsence, kind: Away},  // days stood, from the day after it
}

// entry returns what the register says of a driver; the zero entry of one that
// nobody knows.
func (d Driver) entry() driverEntry {
	for _, e := range drivers {
		if e.driver == d {
			return e
		}
	}
	return driverEntry{}
}

func (d Driver) known() bool { return d.Kind() != 0 }

// Kind returns the kind of gauge the driver moves; 0 of a driver that the
// register does not know.
func (d Driver) Kind() Kind { return d.entry().kind }

// OfAbsence reports whether the driver is a time away and not wear.
func (d Driver) OfAbsence() bool { return d.Kind() == Away }

// Count returns how much an exposure adds to a Counted gauge of a duty, in the
// unit of its limit. It reports false where the duty's part has nothing that
// counts so.
func (d Driver) Count(duty Duty) (count func(Exposure) float64, ok bool) {
	entry := d.entry()
	if entry.count == nil {
		return nil, false
	}
	count = entry.count(duty)
	return count, count != nil
}

// CountsOnly returns the one amount of an exposure that a Counted gauge counts. It
// reports false where it counts several, and of a gauge of another kind.
func (d Driver) CountsOnly() (amount Amount, ok bool) {
	only := d.entry().only
	if only == nil {
		return 0, false
	}
	return *only, true
}

// InBoiler returns what a Dissolved gauge reads off a boiler's water, mg/kg; nil
// for a driver of another kind.
func (d Driver) InBoiler() func(water.Analysis) float64 { return d.entry().dissolved }

// each counts an amount alike for every part.
func each(amount func(Exposure) float64) func(Duty) func(Exposure) float64 {
	return func(Duty) func(Exposure) float64 { return amount }
}

// perGroup shares a machine's amount among its groups.
func perGroup(amount func(Exposure) float64) func(Duty) func(Exposure) float64 {
	return func(d Duty) func(Exposure) float64 {
		groups := 1.0
		if m := d.Equipment.Machine; m != nil && d.Task.Per == PerGroup {
			groups = float64(len(m.Groups))
		}
		return func(e Exposure) float64 { return amount(e) / groups }
	}
}

// perCartridge counts for cartridges alone.
func perCartridge(of func(record.Treatment) func(Exposure) float64) func(Duty) func(Exposure) float64 {
	return func(d Duty) func(Exposure) float64 {
		if stage := d.Cartridge(); stage != nil {
			return of(*stage)
		}
		return nil
	}
}

// sealReferenceCelsius is the seal temperature that gasket lives are stated at.
const sealReferenceCelsius = 95

// sealHours counts hours hot as hours at 95 °C: the ageing of rubber by heat
// doubles per 10 °C (rule of thumb of seal makers' handbooks). The temperature at
// the gasket is the owner's figure, or that which gasket lives are stated at.
func sealHours(d Duty) func(Exposure) float64 {
	celsius := float64(sealReferenceCelsius)
	if m := d.Equipment.Machine; m != nil {
		for _, g := range m.Groups {
			if g.ID == d.Part && g.SealCelsius > 0 {
				celsius = g.SealCelsius
			}
		}
	}
	rate := math.Exp2((celsius - sealReferenceCelsius) / 10)
	return func(e Exposure) float64 { return e.HotHours * rate }
}

// Exchanged counts the share of an exchanger's capacity that is used. The
// capacity is what the maker states: so many litres at so much hardness. A
// softener takes all hardness, a decarboniser what goes with alkalinity.
func Exchanged(t record.Treatment) func(Exposure) float64 {
	perMeq := (1 - t.BypassShare) / t.Cartridge().CapacityMeq()
	onHydrogen := t.HydrogenShare()
	return func(e Exposure) float64 {
		// As Cartridge.LoadMeqPerLitre has it, on sums of days.
		return (min(onHydrogen*e.HardnessMeq, e.CarbonMeq) + (1-onHydrogen)*e.HardnessMeq) * perMeq
	}
}

// ratedLitres counts the share of the rated litres that is used.
func ratedLitres(t record.Treatment) func(Exposure) float64 {
	return func(e Exposure) float64 { return e.Litres * (1 - t.BypassShare) / t.RatedLitres }
}
