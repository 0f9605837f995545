package water

import "fmt"

// ValueError says that one number cannot belong to any real water. Find it
// with errors.As.
type ValueError struct {
	Quantity string  // which number, with its unit
	Value    float64 // what was given
	Want     string  // what would be right
}

// Error names the quantity, the value and what would be right.
func (e *ValueError) Error() string {
	return fmt.Sprintf("%s: %g cannot be right: want %s", e.Quantity, e.Value, e.Want)
}

// ConvergenceError says that an equilibrium was not found within the allowed
// number of steps. It is not expected for water that passes Validate.
type ConvergenceError struct {
	Problem       string  // which equilibrium was sought
	Celsius       float64 // at what temperature, °C
	IonicStrength float64 // the last estimate, mol/kg
	Step          float64 // the last change of the logarithm of an activity
}

// Error names the equilibrium and how far the search had come.
func (e *ConvergenceError) Error() string {
	return fmt.Sprintf("%s at %g °C was not found (ionic strength %.4g mol/kg, last step %.2g): check the analysis for a misplaced decimal point",
		e.Problem, e.Celsius, e.IonicStrength, e.Step)
}

// checkRange returns a *ValueError unless low <= value <= high.
func checkRange(quantity string, value, low, high float64) error {
	if value >= low && value <= high { // false for NaN
		return nil
	}
	return &ValueError{Quantity: quantity, Value: value, Want: fmt.Sprintf("%g to %g", low, high)}
}

// wantAtLeast words the least alkalinity, mg/kg as CaCO3, that a pH allows.
func wantAtLeast(mgPerKg, ph float64) string {
	return fmt.Sprintf("at least %.3g at pH %.4g, or another pH: hydroxide and silicate alone come to that", mgPerKg, ph)
}

// wantHigherPH words a pH too low for its alkalinity, mg/kg as CaCO3.
func wantHigherPH(mgPerKg float64) string {
	return fmt.Sprintf("a higher pH: with %.4g mg/kg of alkalinity as CaCO3 it would take more than %g mol/kg of carbon dioxide", mgPerKg, maxTotalMol)
}
