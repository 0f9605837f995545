package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
)

// Household is all that a forecast of one place starts from.
type Household struct {
	Draws     Draws
	Today     record.Date
	Equipment []record.Equipment
	Duties    []care.Duty
	Courses   map[string]*use.Course                      // by machine
	Lines     map[string][]record.Dated[record.Equipment] // by line: what was said of it over time; may be empty
	Tests     map[string][]record.Dated[record.WaterTest]
	Services  map[string][]record.Dated[record.Service]     // by duty
	Planned   map[string]record.Date                        // by duty: the day it is planned for
	Again     []record.Date                                 // days to come for which to say when a part made fresh then falls due; nil for none
	Checks    map[string][]record.Dated[record.Measurement] // condition checks, by equipment, oldest first
	Absences  map[string][]Absence                          // by machine
	Memory    *Memory                                       // of water tests worked out before; nil for none
}

// Outcome is what the forecast says of one duty.
type Outcome struct {
	Duty    care.Duty
	Since   record.Date // last service, or the day the part was fresh
	Served  int64       // record of that service, 0 for none
	Window  Window
	Due     Quantiles   // of the crossing, in more detail than the window
	Again   []Quantiles // of the next crossing, for each day of Household.Again
	Gauges  []GaugeOutcome
	Scale   *ScaleFacts   // of a vessel
	Doubt   *DoubtFacts   // of a water test
	Absence *AbsenceFacts // of work that goes with a time away
	Taught  *Taught       // what findings changed; nil where nothing was found
}

// GaugeOutcome is where one gauge of a duty stands.
type GaugeOutcome struct {
	Gauge     care.BoundGauge
	Reading   Points     // today
	Amount    Points     // today, in the unit of the limit
	PerWeek   float64    // to come, in the unit of the limit, in the middle world
	Window    Window     // of this gauge alone
	Condition *Condition // of a trend: what the checks say of the part that is worst; nil where nothing was measured
}

// ScaleFacts is what a vessel's forecast rests on.
type ScaleFacts struct {
	WallCelsius      float64
	LitresPerWeek    float64     // to come
	MgPerLitre       Points      // what a litre could lay down today
	Multiplier       Points      // share of it that ends as scale
	Grams            Points      // in the vessel today
	MM               Points      // on the wall today
	ExcessKelvin     Points      // by which an immersed element runs hotter for it
	WarmUpSeconds    Points      // that each warm-up takes longer for it
	Watts            float64     // of the heater
	FlowLost         Points      // share of the flow lost at the smallest bore; zero where it is not known
	SilicaMgPerLitre Points      // in a steam boiler today; zero for others
	Concentrated     Points      // of a steam boiler: its water against its feed today; zero for others
	Treated          bool        // an exchanger stands before it
	LastTest         record.Date // zero where the water was never tested
	Drains           *DrainFacts // of a steam boiler
}

// DrainFacts is what drawing half of a steam boiler's water down each month
// would do over a year at today's pace, in the middle world.
type DrainFacts struct {
	ChlorideWithoutMgPerL, ChlorideWithMgPerL float64 // at the end
	ScaleWithoutGrams, ScaleWithGrams         float64 // over the year, with the vessel's own multiplier
}

// DoubtFacts is what a water test's forecast rests on.
type DoubtFacts struct {
	LastTest record.Date // zero where there is none
	LogSD    float64     // today's spread of what the water can lay down
}

// Taught is what findings changed about a block's unknown.
type Taught struct {
	Findings      int
	Before, After Points
}
