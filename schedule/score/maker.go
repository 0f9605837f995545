package score

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// interval is what a manual says: every so many days.
type interval struct {
	Days float64
	Own  bool // the owner wrote down what the maker says
}

// What a manual has in mind where it names days for what wears by use, a day.
// Assumptions. Hours are those that gasket lives are stated at.
var manualUse = map[record.Setting]map[care.Driver]float64{
	record.Home: {care.ByShots: 6, care.ByKilograms: 6 * 0.018, care.ByHotHours: 8, care.BySealHours: 8},
	record.Bar:  {care.ByShots: 110, care.ByKilograms: 110 * 0.018, care.ByHotHours: 14, care.BySealHours: 14},
}

// How often manuals ask for a descaling, days. From memory: every two to three
// months at home, twice a year where water is treated for a bar.
var manualDescaling = map[record.Setting]float64{record.Home: 90, record.Bar: 180}

// fixedInterval returns what a fixed interval would be for a duty: the maker's own
// where the owner wrote it down, else the usual limit of its first gauge at the use
// that a manual has in mind. It reports false where nothing of the sort is said.
func fixedInterval(d care.Duty) (interval, bool) {
	setting := settingOf(d.Equipment)
	for _, g := range d.Gauges {
		if g.Driver == care.ByDays && g.Instead != "" {
			return interval{Days: g.Limit.Usual, Own: true}, g.Limit.Usual > 0
		}
	}
	if d.Has(care.Deposited) {
		return interval{Days: manualDescaling[setting]}, true
	}
	least := 0.0
	for _, g := range d.Gauges { // whichever comes first
		days := 0.0
		if g.Driver == care.ByDays {
			days = g.Limit.Usual
		} else if a := manualUse[setting][g.Driver]; a > 0 {
			days = g.Limit.Usual / a
		}
		if days > 0 && (least == 0 || days < least) {
			least = days
		}
	}
	return interval{Days: least}, least > 0
}

// promisedGrams returns the scale that a fixed interval between descalings promises to
// find at its end: as much as is worth descaling by the catalogue, of a vessel in which
// the eye takes a gram for so many mm; 0 where the catalogue names no such amount. By
// the eye it is the thickness, that of grams weighed the mass, where both are named.
func promisedGrams(d care.Duty, eyeMM float64) float64 {
	grams := 0.0
	for _, g := range d.Gauges {
		switch {
		case g.Driver == care.ByScaleThickness && eyeMM > 0:
			return g.Limit.Usual / eyeMM
		case g.Driver == care.ByScaleMass && grams == 0:
			grams = g.Limit.Usual
		}
	}
	return grams
}

// settingOf returns whether a piece of equipment stands at home or in a bar; home
// where nothing says so.
func settingOf(e record.Equipment) record.Setting {
	switch {
	case e.Machine != nil && e.Machine.Setting == record.Bar, e.Grinder != nil && e.Grinder.Setting == record.Bar,
		e.Tools != nil && e.Tools.Setting == record.Bar:
		return record.Bar
	}
	return record.Home
}
