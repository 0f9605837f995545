package equilibrium

import (
	"fmt"

	"limekeep/water"
)

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

// wantAtLeast words the least alkalinity, mg/kg as CaCO3, that a pH allows.
func wantAtLeast(mgPerKg, ph float64) string {
	return fmt.Sprintf("at least %.3g at pH %.4g, or another pH: hydroxide and silicate alone come to that", mgPerKg, ph)
}

// wantHigherPH words a pH too low for its alkalinity, mg/kg as CaCO3.
func wantHigherPH(mgPerKg float64) string {
	return fmt.Sprintf("a higher pH: with %.4g mg/kg of alkalinity as CaCO3 it would take more than %g mol/kg of carbon dioxide", mgPerKg, water.MaxTotalMol)
}
