package care

import (
	"slices"

	"limekeep/schedule/record"
)

// What equipment has where its owner does not say. All of it is common practice
// of the trade; an owner who says otherwise is right.

// supplyOf finds the supply of a machine's water line; mains where there is no
// such line.
func supplyOf(m *record.Machine, all []record.Equipment) record.Supply {
	for _, e := range all {
		if e.ID == m.Line && e.Line != nil {
			return e.Line.Supply
		}
	}
	return record.Mains
}

// FittingsOf returns what a machine has beside its vessels and groups: what its
// owner says, and what such machines usually have.
func FittingsOf(m *record.Machine, supply record.Supply) []record.Fitting {
	return fitted(usualMachine(m, supply, PumpOf(m, supply)), m.Has, m.Lacks)
}

// machineWords lists what is true of a whole machine.
func machineWords(m *record.Machine, supply record.Supply) []string {
	pump := PumpOf(m, supply)
	words := []string{string(m.Setting), string(supply), pumpWord(pump), string(controlOf(m))}
	if pump != record.NoPump {
		words = append(words, wordPump)
	}
	for _, f := range fitted(usualMachine(m, supply, pump), m.Has, m.Lacks) {
		words = append(words, string(f))
	}
	return words
}

// PumpOf gives a machine's pump: as its owner says, or none where every group is
// a lever, a rotary one on the mains, a vibration pump at a tank.
func PumpOf(m *record.Machine, supply record.Supply) record.Pump {
	switch {
	case m.Pump != "":
		return m.Pump
	case !slices.ContainsFunc(m.Groups, func(g record.Group) bool { return !g.Lever }):
		return record.NoPump
	case supply == record.Mains:
		return record.RotaryPump
	}
	return record.VibrationPump
}

// controlOf gives what holds the boilers at temperature: a pressure switch where
// steam is made around exchangers or in a lever machine or a bar, an electronic
// controller beside a brew boiler of its own, a thermostat in the rest.
func controlOf(m *record.Machine) record.Control {
	steam := hasVessel(m, record.SteamBoiler)
	switch {
	case m.Control != "":
		return m.Control
	case steam && hasVessel(m, record.BrewBoiler):
		return record.Controller
	case steam:
		return record.PressureSwitch
	}
	return record.Thermostat
}

func hasVessel(m *record.Machine, kind record.VesselKind) bool {
	return slices.ContainsFunc(m.Vessels, func(v record.Vessel) bool { return v.Kind == kind })
}

// usualMachine lists the fittings that a machine of its sort usually has.
func usualMachine(m *record.Machine, supply record.Supply, pump record.Pump) []record.Fitting {
	has := []record.Fitting{record.ResidualCurrent}
	steam := hasVessel(m, record.SteamBoiler)
	pumped, bar := pump != record.NoPump, m.Setting == record.Bar
	for _, f := range []struct {
		fitting record.Fitting
		usual   bool
	}{
		{record.SteamWand, m.MaySteam()},
		{record.HotWaterTap, m.MayDrawHotWater()},
		{record.VacuumBreaker, steam},
		{record.SafetyValve, steam || slices.ContainsFunc(m.Groups, func(g record.Group) bool { return g.Lever })},
		{record.ExpansionValve, pumped},
		{record.NonReturnValve, pumped && supply == record.Mains},
		{record.AntiSuction, steam && bar},
		{record.Autofill, steam && pumped},
		{record.LevelProbe, steam && pumped},
		{record.FlowMeter, bar && pumped},
		{record.PumpStrainer, pumped},
		{record.PressureGauge, steam},
		{record.Drain, bar && supply == record.Mains},
	} {
		if f.usual {
			has = append(has, f.fitting)
		}
	}
	return has
}

// grinderFittings lists the fittings of a grinder: a motor grinder usually has a
// hopper.
func grinderFittings(g *record.Grinder) []string {
	var usual []record.Fitting
	if g.Drive == record.MotorDriven {
		usual = append(usual, record.Hopper)
	}
	return words(fitted(usual, g.Has, g.Lacks))
}

// lineFittings lists the fittings of a water line: one on the mains has a valve
// to shut it off and a braided hose; a pressure regulator and a backflow
// preventer are usual where a bar's machine hangs on it.
func lineFittings(id string, l *record.WaterLine, all []record.Equipment) []string {
	var usual []record.Fitting
	if l.Supply == record.Mains {
		usual = append(usual, record.ShutOffValve, record.BraidedHose)
		if slices.ContainsFunc(all, func(e record.Equipment) bool {
			return e.Machine != nil && e.Machine.Line == id && e.Machine.Setting == record.Bar
		}) {
			usual = append(usual, record.PressureRegulator, record.BackflowPreventer)
		}
	}
	return words(fitted(usual, l.Has, l.Lacks))
}

// fitted is what is usual, what the owner says is there beside it, and not what
// the owner says is lacking.
func fitted(usual, has, lacks []record.Fitting) []record.Fitting {
	all := slices.Clone(usual)
	for _, f := range has {
		if !slices.Contains(all, f) {
			all = append(all, f)
		}
	}
	return slices.DeleteFunc(all, func(f record.Fitting) bool { return slices.Contains(lacks, f) })
}

func words(fittings []record.Fitting) []string {
	all := make([]string, len(fittings))
	for i, f := range fittings {
		all[i] = string(f)
	}
	return all
}
