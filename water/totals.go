package water

import "math"

// Totals is what a closed vessel conserves whatever its temperature: moles of
// each constituent per kilogram of water, in all its forms together.
type Totals struct {
	Calcium    float64 // mol/kg
	Magnesium  float64 // mol/kg
	Sodium     float64 // mol/kg
	Potassium  float64 // mol/kg
	Alkalinity float64 // eq/kg to the carbonic acid end point; negative is free mineral acid
	Carbon     float64 // mol/kg, total inorganic carbon
	Chloride   float64 // mol/kg
	Sulfate    float64 // mol/kg
	Nitrate    float64 // mol/kg
	Silica     float64 // mol/kg
}

// Times returns the totals multiplied by factor: the same salts in 1/factor of
// the water. A factor below 1 is dilution with pure water.
func (t Totals) Times(factor float64) Totals {
	return Totals{
		Calcium: t.Calcium * factor, Magnesium: t.Magnesium * factor,
		Sodium: t.Sodium * factor, Potassium: t.Potassium * factor,
		Alkalinity: t.Alkalinity * factor, Carbon: t.Carbon * factor,
		Chloride: t.Chloride * factor, Sulfate: t.Sulfate * factor,
		Nitrate: t.Nitrate * factor, Silica: t.Silica * factor,
	}
}

// ChargeBalance returns cations minus anions in eq/kg with alkalinity counted
// as an anion: zero in a perfect analysis, since every form of every
// constituent is already in its total.
func (t Totals) ChargeBalance() float64 {
	return 2*t.Calcium + 2*t.Magnesium + t.Sodium + t.Potassium -
		t.Alkalinity - t.Chloride - 2*t.Sulfate - t.Nitrate
}

// Validate returns a *ValueError for the first total the model cannot take:
// negative (alkalinity alone may be), not a number, or beyond 1 mol/kg.
func (t Totals) Validate() error {
	if err := t.ValidateSalts(); err != nil {
		return err
	}
	return CheckRange("total inorganic carbon, mol/kg", t.Carbon, 0, MaxTotalMol)
}

// ValidateSalts checks everything but carbon, which may not be known yet. It is
// written out because it runs before every solution.
func (t *Totals) ValidateSalts() error {
	for _, c := range [...]struct {
		name  string
		value float64
	}{
		{"calcium, mol/kg", t.Calcium}, {"magnesium, mol/kg", t.Magnesium},
		{"sodium, mol/kg", t.Sodium}, {"potassium, mol/kg", t.Potassium},
		{"chloride, mol/kg", t.Chloride}, {"sulfate, mol/kg", t.Sulfate},
		{"nitrate, mol/kg", t.Nitrate}, {"silica, mol/kg", t.Silica},
	} {
		if !(c.value >= 0 && c.value <= MaxTotalMol) {
			return CheckRange(c.name, c.value, 0, MaxTotalMol)
		}
	}
	if err := CheckRange("alkalinity, eq/kg", t.Alkalinity, MinAlkalinityMol, MaxTotalMol); err != nil {
		return err
	}
	return CheckRange("ionic strength if every ion were free, mol/kg", t.FreeIonicStrength(), 0, MaxStrengthMol)
}

// FreeIonicStrength is the ionic strength in mol/kg if no ions paired.
func (t *Totals) FreeIonicStrength() float64 {
	return 2*(t.Calcium+t.Magnesium+t.Sulfate) +
		(t.Sodium+t.Potassium+t.Chloride+t.Nitrate+math.Abs(t.Alkalinity))/2
}

// Plus adds two sums constituent by constituent.
func (t Totals) Plus(o Totals) Totals {
	return Totals{
		Calcium: t.Calcium + o.Calcium, Magnesium: t.Magnesium + o.Magnesium,
		Sodium: t.Sodium + o.Sodium, Potassium: t.Potassium + o.Potassium,
		Alkalinity: t.Alkalinity + o.Alkalinity, Carbon: t.Carbon + o.Carbon,
		Chloride: t.Chloride + o.Chloride, Sulfate: t.Sulfate + o.Sulfate,
		Nitrate: t.Nitrate + o.Nitrate, Silica: t.Silica + o.Silica,
	}
}

// CarbonateHardness is the hardness that goes with alkalinity, eq/kg: the
// smaller of the two.
func (t Totals) CarbonateHardness() float64 {
	return max(0, min(2*(t.Calcium+t.Magnesium), t.Alkalinity))
}

// Mix returns the totals of two waters brought together, share of the second
// in the mixture by mass, 0 to 1. Alkalinity and carbon mix as salts do; pH
// does not, and is worked out from the mixed totals by Solver.Equilibrate.
// A share outside 0 to 1 is a *ValueError.
func Mix(first, second Totals, share float64) (Totals, error) {
	if err := CheckRange("share of the second water", share, 0, 1); err != nil {
		return Totals{}, err
	}
	a, b := first.Times(1-share), second.Times(share)
	return Totals{
		Calcium: a.Calcium + b.Calcium, Magnesium: a.Magnesium + b.Magnesium,
		Sodium: a.Sodium + b.Sodium, Potassium: a.Potassium + b.Potassium,
		Alkalinity: a.Alkalinity + b.Alkalinity, Carbon: a.Carbon + b.Carbon,
		Chloride: a.Chloride + b.Chloride, Sulfate: a.Sulfate + b.Sulfate,
		Nitrate: a.Nitrate + b.Nitrate, Silica: a.Silica + b.Silica,
	}, nil
}
