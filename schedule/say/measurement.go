package say

import (
	"fmt"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Measurement puts a check in a few words.
func Measurement(x record.Measurement) string {
	where := x.Equipment
	if x.Part != "" {
		where += ", " + x.Part
	}
	figures := ""
	switch x.Kind {
	case record.Flow:
		figures = fmt.Sprintf("%s g in %s s", figure.Exact(x.Grams), figure.Exact(x.Seconds))
	case record.WarmUpTime:
		figures = figure.Exact(x.Minutes) + " minutes"
		if x.FromCelsius > 0 {
			figures += fmt.Sprintf(" from %s °C", figure.Exact(x.FromCelsius))
		}
	case record.ShotTime:
		figures = fmt.Sprintf("%s s at setting %s, %s g to %s g", figure.Exact(x.Seconds), figure.Exact(x.Setting), figure.Exact(x.DoseGrams), figure.Exact(x.YieldGrams))
	case record.BrewTemperature:
		figures = figure.Exact(x.Celsius) + " °C"
	case record.PumpPressure:
		figures = figure.Exact(x.Bar) + " bar"
	case record.ReferenceMass:
		figures = fmt.Sprintf("%s g shown for %s g", figure.Exact(x.ShownGrams), figure.Exact(x.MassGrams))
	}
	return WithNote(fmt.Sprintf("%s of %s: %s", x.Kind, where, figures), x.Note)
}
