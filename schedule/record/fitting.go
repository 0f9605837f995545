package record

import "slices"

// Fitting is a part that a machine, a grinder or a water line may have or lack.
// What an owner does not mention is taken to be there where such equipment
// usually has it.
type Fitting string

// Fittings of machines.
const (
	SteamWand       Fitting = "steam wand"
	HotWaterTap     Fitting = "hot water tap"
	VacuumBreaker   Fitting = "vacuum breaker"
	SafetyValve     Fitting = "safety valve"
	ExpansionValve  Fitting = "expansion valve"
	NonReturnValve  Fitting = "non-return valve"
	AntiSuction     Fitting = "anti-suction valve"
	Autofill        Fitting = "autofill"
	LevelProbe      Fitting = "level probe"
	FlowMeter       Fitting = "flow meter"
	PumpStrainer    Fitting = "pump strainer"
	PressureGauge   Fitting = "pressure gauge"
	ResidualCurrent Fitting = "residual-current device"
	Drain           Fitting = "drain"
)

// Fittings of grinders.
const (
	Hopper  Fitting = "hopper"
	Bellows Fitting = "bellows"
)

// Fittings of water lines.
const (
	PressureRegulator Fitting = "pressure regulator"
	ShutOffValve      Fitting = "shut-off valve"
	LeakSensor        Fitting = "leak sensor"
	BraidedHose       Fitting = "braided hose"
	BackflowPreventer Fitting = "backflow preventer"
)

// MachineFittings lists what a machine can have.
func MachineFittings() []Fitting {
	return []Fitting{SteamWand, HotWaterTap, VacuumBreaker, SafetyValve, ExpansionValve, NonReturnValve, AntiSuction,
		Autofill, LevelProbe, FlowMeter, PumpStrainer, PressureGauge, ResidualCurrent, Drain}
}

// GrinderFittings lists what a grinder can have.
func GrinderFittings() []Fitting { return []Fitting{Hopper, Bellows} }

// LineFittings lists what a water line can have.
func LineFittings() []Fitting {
	return []Fitting{PressureRegulator, ShutOffValve, LeakSensor, BraidedHose, BackflowPreventer}
}

// validateFittings checks that both lists hold only known parts, and none of
// them twice.
func validateFittings(has, lacks, known []Fitting) error {
	words := make([]string, len(known))
	for i, f := range known {
		words[i] = string(f)
	}
	return AllOf(
		eachWord("has", has, func(name string, f Fitting, before []Fitting) error {
			return AllOf(choice(name, string(f), words), refuse(slices.Contains(before, f), name, f, "each part once"))
		}),
		eachWord("lacks", lacks, func(name string, f Fitting, before []Fitting) error {
			return AllOf(choice(name, string(f), words),
				refuse(slices.Contains(has, f) || slices.Contains(before, f), name, f, "each part once, either as had or as lacking"))
		}),
	)
}
