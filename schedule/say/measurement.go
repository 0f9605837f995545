package say

import (
	"fmt"

	"limekeep/schedule/record"
)

// measurementSays puts a check in a few words.
func Measurement(x record.Measurement) string {
	where := x.Equipment
	if x.Part != "" {
		where += ", " + x.Part
	}
	figures := ""
	switch x.Kind {
	case record.Flow:
		figures = fmt.Sprintf("%s g in %s s", AsWritten(x.Grams), AsWritten(x.Seconds))
	case record.WarmUpTime:
		figures = AsWritten(x.Minutes) + " minutes"
		if x.FromCelsius > 0 {
			figures += fmt.Sprintf(" from %s °C", AsWritten(x.FromCelsius))
		}
	case record.ShotTime:
		figures = fmt.Sprintf("%s s at setting %s, %s g to %s g", AsWritten(x.Seconds), AsWritten(x.Setting), AsWritten(x.DoseGrams), AsWritten(x.YieldGrams))
	case record.BrewTemperature:
		figures = AsWritten(x.Celsius) + " °C"
	case record.PumpPressure:
		figures = AsWritten(x.Bar) + " bar"
	case record.ReferenceMass:
		figures = fmt.Sprintf("%s g shown for %s g", AsWritten(x.ShownGrams), AsWritten(x.MassGrams))
	}
	return WithNote(fmt.Sprintf("%s of %s: %s", x.Kind, where, figures), x.Note)
}
