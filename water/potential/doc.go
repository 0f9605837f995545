// Package potential is the chapter on how much scale a water can lay down, made
// quick: a Table holds the calcite precipitation potential of one water over
// temperature, concentration, the uncertainty of the thermodynamics and the
// pressure of CO2, worked out once with the solver of package equilibrium at
// Chebyshev points and looked up from then on.
//
// Its tests hold each look-up to the solver, over the reference waters and
// drawn ones, within 0.02 mmol/kg or 2 %.
package potential
