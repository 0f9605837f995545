package schedule

import (
	"fmt"
	"strings"

	"limekeep/schedule/record"
)

// measurementSays puts a check in a few words.
func measurementSays(x record.Measurement) string {
	where := x.Equipment
	if x.Part != "" {
		where += ", " + x.Part
	}
	figures := ""
	switch x.Kind {
	case record.Flow:
		figures = fmt.Sprintf("%s g in %s s", asWritten(x.Grams), asWritten(x.Seconds))
	case record.WarmUpTime:
		figures = asWritten(x.Minutes) + " minutes"
		if x.FromCelsius > 0 {
			figures += fmt.Sprintf(" from %s °C", asWritten(x.FromCelsius))
		}
	case record.ShotTime:
		figures = fmt.Sprintf("%s s at setting %s, %s g to %s g", asWritten(x.Seconds), asWritten(x.Setting), asWritten(x.DoseGrams), asWritten(x.YieldGrams))
	case record.BrewTemperature:
		figures = asWritten(x.Celsius) + " °C"
	case record.PumpPressure:
		figures = asWritten(x.Bar) + " bar"
	case record.ReferenceMass:
		figures = fmt.Sprintf("%s g shown for %s g", asWritten(x.ShownGrams), asWritten(x.MassGrams))
	}
	return withNote(fmt.Sprintf("%s of %s: %s", x.Kind, where, figures), x.Note)
}

// KindWord is a kind of check as the command line writes it: shot-time.
func KindWord(kind record.MeasurementKind) string {
	return strings.ReplaceAll(string(kind), " ", "-")
}
