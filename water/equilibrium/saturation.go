package equilibrium

import "math"

// Mineral is a solid that hot water can lay down.
type Mineral int

// The minerals of the model, in the order of scale's importance.
const (
	Calcite         Mineral = iota // CaCO3, lime scale
	Aragonite                      // CaCO3, the other form
	Gypsum                         // CaSO4·2H2O, the cold form
	Anhydrite                      // CaSO4, the form above about 45 °C
	Brucite                        // Mg(OH)2
	AmorphousSilica                // SiO2
	minerals
)

var mineralNames = [minerals]string{"calcite", "aragonite", "gypsum", "anhydrite", "brucite", "amorphous silica"}

// String returns the mineral's name in lower case.
func (m Mineral) String() string {
	if m < 0 || m >= minerals {
		return "unknown mineral"
	}
	return mineralNames[m]
}

// Log10K returns the decimal logarithm of the mineral's solubility product at
// celsius, 0 to 140; for brucite the reaction takes up 2 H+, for the others it
// is dissolution into plain ions, or H4SiO4 for silica. NaN for no mineral.
func (m Mineral) Log10K(celsius float64) float64 {
	if m < 0 || m >= minerals {
		return math.NaN()
	}
	p := powersOf(celsius)
	return (reactionMineral + Reaction(m)).log10K(&p)
}

// SaturationIndex returns log10 of the ion activity product over the
// solubility product: 0 at saturation, positive where the mineral can form.
// It is -Inf where a constituent is missing and NaN for no mineral.
func (s Solution) SaturationIndex(m Mineral) float64 {
	return s.log10Product(m) - m.Log10K(s.Celsius)
}

// log10Product is log10 of the ion activity product of a mineral.
func (s *Solution) log10Product(m Mineral) float64 {
	switch m {
	case Calcite, Aragonite:
		return s.Log10Calcium + s.Log10Carbonate
	case Gypsum:
		return s.Log10Calcium + s.Log10Sulfate + 2*math.Log10(s.WaterActivity)
	case Anhydrite:
		return s.Log10Calcium + s.Log10Sulfate
	case Brucite:
		return s.Log10Magnesium + 2*math.Log10(s.WaterActivity) + 2*s.PH
	case AmorphousSilica:
		return s.Log10SilicicAcid - 2*math.Log10(s.WaterActivity)
	}
	return math.NaN()
}
