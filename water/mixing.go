package water

// Mix returns the totals of two waters brought together, share of the second
// in the mixture by mass, 0 to 1. Alkalinity and carbon mix as salts do; pH
// does not, and is worked out from the mixed totals by Solver.Equilibrate.
// A share outside 0 to 1 is a *ValueError.
func Mix(first, second Totals, share float64) (Totals, error) {
	if err := checkRange("share of the second water", share, 0, 1); err != nil {
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
