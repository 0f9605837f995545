package plan

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Machine is how long a machine takes to get hot and to get cold.
type Machine struct {
	HeatMinutes float64 // from cold until it can be worked with hot
	CoolMinutes float64 // from switching off until what is touched is 40 °C or less
}

// What a machine's heating and cooling are worked out from. A vessel is taken as
// a cylinder as high as it is wide, bare, in still air; what stands above 100 °C
// is brought down to that by letting the steam off, as making safe asks, and cools
// in the air from there (Newton's law of cooling).
const (
	roomCelsius     = 22.0   // assumption
	touchCelsius    = 40.0   // as the catalogue's lines ask
	steamOffCelsius = 100.0  // boiling at the room's pressure
	steamCelsius    = 125.0  // of a steam boiler in use; common practice
	brewCelsius     = 93.0   // common practice
	waterJoule      = 4186.0 // per litre and kelvin
	metalJoule      = 385.0  // per kilogram and kelvin: copper, brass nearly as much
	metalKg         = 1.2    // of a vessel of one litre; goes with its surface. Assumption
	surfaceM2       = 0.0554 // of a cylinder of one litre as high as it is wide
	airWattsPerM2   = 10.0   // per kelvin: free convection and radiation of bare metal. Common practice
	heaterShare     = 0.9    // of the heater's power that stays in the vessel. Assumption
	soakMinutes     = 10.0   // until the group has followed. Common practice
)

// MachineOf works out how long a machine takes to heat up and, switched off, to
// cool down to what can be touched, from the volumes and heaters of its vessels:
// the slowest counts.
func MachineOf(m *record.Machine) Machine {
	var out Machine
	for _, v := range m.Vessels {
		litres, watts := v.Litres, v.Watts
		if litres == 0 {
			litres = wear.UsualLitres(v.Kind, m.Setting)
		}
		if watts == 0 {
			watts = wear.UsualWatts(v.Kind, m.Setting)
		}
		celsius := brewCelsius
		if v.Kind == record.SteamBoiler {
			celsius = steamCelsius
		}
		if v.Celsius > 0 {
			celsius = v.Celsius
		}
		surface := math.Pow(litres, 2.0/3)
		joule := waterJoule*litres + metalJoule*metalKg*surface
		from := min(celsius, steamOffCelsius)
		cool := joule / (airWattsPerM2 * surfaceM2 * surface) * math.Log(max(1, (from-roomCelsius)/(touchCelsius-roomCelsius))) / 60
		heat := joule*(celsius-roomCelsius)/(watts*heaterShare)/60 + soakMinutes
		out.CoolMinutes = max(out.CoolMinutes, whole(cool))
		out.HeatMinutes = max(out.HeatMinutes, whole(heat))
	}
	return out
}

// whole rounds minutes up to fives: nobody's machine is known better.
func whole(minutes float64) float64 { return 5 * math.Ceil(minutes/5-1e-9) }
