package wear

import (
	"math"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/deposit"
)

// firstFlow is the first flow test of a machine whose past nobody wrote down, as a
// witness of the scale in the one vessel that brews: where its smallest bore is known,
// so is about what that would let through clean. Later tests are held against the first
// one, by the trend of their own.
type firstFlow struct {
	FlowSeen
	on     record.Date
	pump   record.Pump
	boreMM float64
	shell  []float64 // mm in the bore for each gram, one a world
}

// FlowSeen is what a first flow test gave, and what a clean bore would.
type FlowSeen struct {
	GramsPerSecond, CleanGramsPerSecond float64
}

const (
	// openFlowLogSD is how far a machine's flow through a clean bore lies from what its
	// bore and its pump suggest, as a log standard deviation. Assumption: jets let
	// through 0.6 to 0.85 of what their bore would, pumps of a kind differ by a tenth.
	openFlowLogSD = 0.2
	// jetShare is the share of its bore's ideal flow that a jet lets through, from
	// memory of tables of short orifices: 0.6 sharp to 0.85 rounded.
	jetShare = 0.7
	// rotaryBar is what a rotary pump holds before the jet. Common practice.
	rotaryBar = 9.0
	// A vibration pump gives so many grams a second against nothing and none against
	// so many bar, about in a straight line. From memory of makers' curves.
	vibrationGramsPerSecond = 10.8
	vibrationMostBar        = 15.0
)

// newFirstFlow finds the flow test that speaks of a vessel; nil where none does: the
// bore must be known, the vessel the only one that brews, the past unknown.
func newFirstFlow(r *run, d *dutyRun) *firstFlow {
	m, v := d.Equipment.Machine, d.vessel
	if m == nil || v == nil || !d.unknown() || v.shape.boreMM == 0 || !v.shape.brews() || len(d.Gauges) == 0 || d.Gauges[0].Driver.Kind() != care.Deposited {
		return nil
	}
	for _, other := range v.machine.vessels {
		if other != v && other.shape.brews() {
			return nil
		}
	}
	f := &firstFlow{pump: care.PumpOf(m, v.machine.line.Line.Supply), boreMM: v.shape.boreMM}
	for _, c := range d.checks {
		if c.Body.Kind != record.Flow || c.On < d.past.until || !f.on.IsZero() && c.On > f.on {
			continue
		}
		f.on, f.GramsPerSecond = c.On, max(f.GramsPerSecond, raw(c.Body, 0)) // of several groups the freest
	}
	f.CleanGramsPerSecond = jetFlow(f.pump, f.boreMM)
	if f.on.IsZero() || f.CleanGramsPerSecond == 0 {
		return nil
	}
	_, f.shell = v.shape.layers(r.house.Draws, d.block())
	return f
}

// jetFlow returns about what a pump drives through a bore of so many mm, g/s; 0 where
// there is no pump.
func jetFlow(pump record.Pump, boreMM float64) float64 {
	const mm2, pascalOfBar, waterKgPerM3 = 1e-6, 1e5, 1000.0
	// Q = C·A·√(2p/ρ), in g/s for each √bar.
	perRoot := jetShare * math.Pi / 4 * boreMM * boreMM * mm2 * math.Sqrt(2*pascalOfBar/waterKgPerM3) * waterKgPerM3 * 1000
	switch pump {
	case record.RotaryPump:
		return perRoot * math.Sqrt(rotaryBar)
	case record.VibrationPump: // where its curve meets that of the jet: a quadratic in √p
		a, b := vibrationGramsPerSecond/vibrationMostBar, perRoot
		root := (-b + math.Sqrt(b*b+4*a*vibrationGramsPerSecond)) / (2 * a)
		return perRoot * root
	}
	return 0
}

// likelihood is how well so many grams of scale in the vessel explain the flow.
func (f *firstFlow) likelihood(world int, grams float64) float64 {
	open := f.boreMM * math.Sqrt(deposit.OrificeFlowShare(f.boreMM, min(grams*f.shell[world], f.boreMM/2)))
	z := math.Log(max(f.GramsPerSecond, leastForLogged)/max(jetFlow(f.pump, open), leastForLogged)) / openFlowLogSD
	return (1-mistakenShare)*math.Exp(-z*z/2) + mistakenShare
}
