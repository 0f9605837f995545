package web

import (
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// hardnessTold is the unit in which a place's owner has hardness and alkalinity told, and
// how many of it a milligram of CaCO₃ a litre is.
type hardnessTold struct {
	unit string
	per  float64
}

// hardnessFor returns it; mg/L as CaCO₃ where nothing was said.
func hardnessFor(p record.Place) hardnessTold {
	if p.HardnessUnit != "" && p.HardnessUnit != water.MgPerLCaCO3 {
		if per, err := water.Hardness.Convert(1, water.MgPerLCaCO3, p.HardnessUnit); err == nil {
			return hardnessTold{shortUnit(p.HardnessUnit), per}
		}
	}
	return hardnessTold{wording.MgPerLAsCaCO3, 1}
}

// says writes a hardness in mg/L as CaCO₃ with its unit.
func (h hardnessTold) says(mgPerL float64) string {
	x := h.per * mgPerL
	return figure.AtMost(x, min(figure.RoughDecimals(x), 1)) + " " + h.unit
}
