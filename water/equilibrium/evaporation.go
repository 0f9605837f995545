package equilibrium

import (
	"math"

	"limekeep/water"
)

// Evaporate finds what is left of water of these totals when it is boiled down
// to 1/factor of its mass at celsius, the pressure of CO2 held at 10^log10PCO2
// atm: calcite and anhydrite form as far as they are supersaturated, and with
// brucite set so does that; none dissolves, since there is none to begin with.
// Amounts are per kilogram of the water fed. The factor is 0.01 to 1000 (below
// 1 it is dilution), siOffset as in ClosedPrecipitation.
func (s *Solver) Evaporate(t water.Totals, celsius, factor, log10PCO2, siOffset float64, brucite bool) (Precipitation, error) {
	if err := water.CheckRange("concentration factor", factor, 0.01, 1000); err != nil {
		return Precipitation{}, err
	}
	left := t.Times(factor)
	if err := CheckPotential(&left, celsius, siOffset); err != nil {
		return Precipitation{}, err
	}
	if err := checkGas(log10PCO2); err != nil {
		return Precipitation{}, err
	}
	s.p = problem{name: "evaporation", celsius: celsius, totals: left, given: givenAlkalinityGas, log10PCO2: log10PCO2, siOffset: siOffset}
	return s.findSolids(left, factor, brucite, calciteAlone)
}

// solidsLimit bounds the changes of the set of solids; the set is found in as
// many changes as there are solids unless one makes way for another.
const solidsLimit = 24

// solidsTolerance is the supersaturation, as a decimal logarithm, and the
// amount, mol/kg, too small to bring in or take out a solid.
const solidsTolerance = 1e-9

// Solids says which solids are there.
type Solids struct{ Calcite, Anhydrite, Brucite bool }

// calciteAlone is what nearly all waters form.
var calciteAlone = Solids{Calcite: true}

// findSolids finds which solids form: each either is there and at saturation, or
// is not and at most saturated. It starts with those that are likely, and brings
// in the most supersaturated or takes out the most
// negative until neither is left. The Gibbs energy is convex in the amounts,
// so the answer is the only one, and since each set is solved from an estimate of its
// own, or from a start that is about the very set, it is the same to the bit whatever was
// likely.
func (s *Solver) findSolids(t water.Totals, feed float64, brucite bool, likely Solids) (Precipitation, error) {
	s.p.calcite = likely.Calcite && t.Calcium > 0 && t.Alkalinity > 0
	s.p.anhydrite = likely.Anhydrite && t.Calcium > 0 && t.Sulfate > 0
	s.p.brucite = likely.Brucite && brucite && t.Magnesium > 0
	for range solidsLimit {
		if err := s.solve(); err != nil {
			return Precipitation{}, err
		}
		found := s.precipitation(t, feed)
		there := [...]struct {
			in      *bool
			allowed bool
			amount  float64 // mmol per kg fed
			index   float64
		}{
			{&s.p.calcite, t.Calcium > 0, found.CalciteMmolPerKg, s.saturation(&found.Solution, Calcite) + s.p.siOffset},
			{&s.p.anhydrite, t.Calcium > 0 && t.Sulfate > 0, found.AnhydriteMmolPerKg, s.saturation(&found.Solution, Anhydrite)},
			{&s.p.brucite, brucite && t.Magnesium > 0, found.BruciteMmolPerKg, s.saturation(&found.Solution, Brucite)},
		}
		out, in := -1, -1
		least, most := -solidsTolerance*1000/feed, solidsTolerance
		for i := range there {
			c := &there[i]
			if *c.in && c.amount < least {
				out, least = i, c.amount
			}
			if !*c.in && c.allowed && c.index > most {
				in, most = i, c.index
			}
		}
		switch {
		case out >= 0:
			*there[out].in = false
		case in >= 0:
			*there[in].in = true
		default:
			found.CalciteMmolPerKg = math.Max(found.CalciteMmolPerKg, 0)
			found.AnhydriteMmolPerKg = math.Max(found.AnhydriteMmolPerKg, 0)
			found.BruciteMmolPerKg = math.Max(found.BruciteMmolPerKg, 0)
			return found, nil
		}
	}
	return Precipitation{}, &ConvergenceError{Problem: s.p.name + ": the set of solids", Celsius: s.p.celsius, IonicStrength: s.bal.strength}
}

// saturation is SaturationIndex of the solution that was just found, whose constants are
// at hand.
func (s *Solver) saturation(found *Solution, m Mineral) float64 {
	return found.log10Product(m) - s.th.log10K[m]
}
