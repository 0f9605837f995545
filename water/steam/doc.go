// Package steam is the chapter on boiling: the pressure of steam over pure
// water at a temperature, and the temperature at a pressure, from the equation
// of the saturation line (region 4) of the IAPWS Industrial Formulation 1997.
// Its tests hold it to the formulation's own check values, tables 35 and 36.
package steam
