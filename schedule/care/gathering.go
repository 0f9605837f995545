package care

// Drivers of what gathers in a steam boiler, whose steam leaves it behind.
const (
	ByBoilerChloride   Driver = "boiler chloride"
	ByBoilerAlkalinity Driver = "boiler alkalinity"
	ByBoilerSolids     Driver = "boiler solids"
)

// ByOrificeLoss is driven by scale in the smallest bore on the way to the cup.
const ByOrificeLoss Driver = "orifice loss"
