package boiler

// WarmUp is the heating of a vessel with its water.
type WarmUp struct {
	WaterKg       float64
	MetalKg       float64
	MetalKJPerKgK float64 // specific heat, see below
	FromCelsius   float64
	ToCelsius     float64
	Watts         float64
}

// Specific heats in kJ/(kg·K). Water: the mean between 15 °C and a boiler's
// temperature by the steam tables (IAPWS), 0.3 % off at most to 130 °C. Metals:
// handbooks, near 60 °C.
const (
	WaterKJPerKgK     = 4.19
	CopperKJPerKgK    = 0.39
	BrassKJPerKgK     = 0.38
	StainlessKJPerKgK = 0.50
	AluminiumKJPerKgK = 0.90
)

// KJ is the heat that goes into water and metal. What is lost to the room
// meanwhile is not counted.
func (w WarmUp) KJ() float64 {
	return (w.WaterKg*WaterKJPerKgK + w.MetalKg*w.MetalKJPerKgK) * (w.ToCelsius - w.FromCelsius)
}

// Seconds is how long the heater takes at least. A boiler that takes much
// longer than it used to has a heater that no longer heats in full.
func (w WarmUp) Seconds() float64 { return 1000 * w.KJ() / w.Watts }
