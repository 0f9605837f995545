package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/water/figure"
)

// Household is all that a forecast of one place starts from.
type Household struct {
	Draws     Draws
	Today     record.Date
	Equipment []record.Equipment
	Duties    []care.Duty
	Timelines map[string]*use.Timeline                    // by machine
	Lines     map[string][]record.Dated[record.Equipment] // by line: what was said of it over time; may be empty
	Tests     map[string][]record.Dated[record.WaterTest]
	Services  map[string][]record.Dated[record.Service]     // by duty
	Planned   map[string]record.Date                        // by duty: the day it is planned for
	Again     []record.Date                                 // days to come for which to say when a part made fresh then falls due; nil for none
	Checks    map[string][]record.Dated[record.Measurement] // condition checks, by equipment, oldest first
	Absences  map[string][]Absence                          // by machine
	Bags      map[string]float64                            // by grinder: kilograms a day that its bags say it ground; none where nobody writes them down
	// ModelLogSD is the place's own error of the model, as its score has it; 0 for
	// what is assumed of any place.
	ModelLogSD float64

	Courses bool       // whether outcomes tell how gauges go over time, which takes a sixth longer
	Workers int        // on how many processors worlds are played at most; on all where 0
	Memory  *Memory    // of water tests worked out before; nil for none
	Mains   *Memory    // of those of districts, for the forecasts of several places; nil where that is Memory
	Kept    KeptWaters // of those that earlier runs of the program worked out; nil for none
}

// Outcome is what the forecast says of one duty.
type Outcome struct {
	Duty     care.Duty
	Since    record.Date // last service, or the day the part was fresh
	Served   int64       // record of that service, 0 for none
	Window   Window
	Due      Quantiles   // of the crossing, in more detail than the window
	Again    []Quantiles // of the next crossing, for each day of Household.Again
	Gauges   []GaugeOutcome
	Scale    *VesselScale    // of a vessel
	Doubt    *WaterDoubt     // of a water test
	NearsEnd record.Date     // of a test behind a cartridge that comes sooner for it: when that is likely used up; zero for none
	Absence  *AwaitedAbsence // of work that goes with a time away
	Learned  *Learned        // what findings changed; nil where nothing was found

	Expected []Expected   // what a service or check to come is likely to find
	Checked  record.Date  // the day from which checks speak of it
	Grinding []Grinding   // of a grinder: the machines whose shots it shares with others
	Past     *UnknownPast // of a part that nobody wrote down when it was last cared for; nil where all is known
}

// GaugeOutcome is where one gauge of a duty stands.
type GaugeOutcome struct {
	Gauge     care.BoundGauge
	Reading   figure.Percentiles // today
	Amount    figure.Percentiles // today, in the unit of the limit
	Fresh     figure.Percentiles // right after a service, in the unit of the limit: what its water brings to a steam boiler, else 0
	PerWeek   float64            // to come, in the unit of the limit, in the middle world
	Window    Window             // of this gauge alone
	Condition *Condition         // of a trend: what the checks say of the part that is worst; nil where nothing was measured
	Course    []CoursePoint      // over time, the oldest first: since when all is known of it, and to come if nothing is done; none where the household asks for none
}

// Learned is what findings changed about a block's unknown.
type Learned struct {
	Findings      int
	Before, After figure.Percentiles
	Own           float64    // of a limit: share of its variance that each part has of its own, as it now stands, 0 to 1
	Observed      []Observed // each finding with what had gathered by then, oldest first
}

// Observed is what a service found, and how much had gathered by then, as it is
// known now.
type Observed struct {
	Service int64 // record
	On      record.Date
	Part    int // how many parts came before the one that it was found of
	Found   record.Service

	// Amount is what of the first gauge had gathered: in the unit of its limit; of
	// scale, the grams that the water could have laid down.
	Amount figure.Percentiles

	// Chance is how likely it was beforehand that as much, or as little, would be found;
	// below Unexpected nobody expected it. More tells that it was more than expected.
	Chance float64
	More   bool
}
