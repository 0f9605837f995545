package wear

import (
	"limekeep/schedule/record"
	"limekeep/water/boiler"
)

// WarmUpOf gives the heating of a vessel from a temperature in °C, that of a
// room where it is 0, by its heater and its water alone: no real warm-up can be
// much faster. False where the owner has not stated volume and heater.
func WarmUpOf(v record.Vessel, setting record.Setting, fromCelsius float64) (boiler.WarmUp, bool) {
	shape, err := shapeOf(v, setting)
	if v.Litres == 0 || v.Watts == 0 || err != nil {
		return boiler.WarmUp{}, false
	}
	if fromCelsius == 0 {
		fromCelsius = roomCelsius
	}
	kg := v.Litres
	if v.Kind == record.SteamBoiler {
		kg *= filledShare
	}
	return boiler.WarmUp{WaterKg: kg, FromCelsius: fromCelsius, ToCelsius: shape.celsius, Watts: v.Watts}, true
}
