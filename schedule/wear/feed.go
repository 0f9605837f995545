package wear

import (
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/treatment"
)

// membraneCelsius is the temperature at a membrane: cold mains. Assumption.
const membraneCelsius = 15

// spentShare is so much more than its capacity that a cartridge takes nothing
// any more.
const spentShare = 10

// feeder turns the water of a supply into that which a machine gets.
type feeder struct {
	solver *equilibrium.Solver
	stages []record.Treatment
	tank   bool
}

// changes tells whether the line changes the water at all.
func (f feeder) changes() bool {
	if f.tank {
		return true
	}
	for _, t := range f.stages {
		if t.Kind.Exchanges() || t.Kind == record.ReverseOsmosis {
			return true
		}
	}
	return false
}

// exchanges tells whether the line holds something that uses up.
func (f feeder) exchanges() bool {
	for _, t := range f.stages {
		if t.Kind.Exchanges() {
			return true
		}
	}
	return false
}

// feed gives the water a machine gets from a supply, with exchangers used up by
// a share of their capacity, and the share of its excess CO2 that a tank lost.
func (f feeder) feed(supply water.Totals, used, aired float64) (water.Totals, error) {
	t := supply
	for _, stage := range f.stages {
		if stage.Kind == record.ReverseOsmosis {
			permeate, _, err := treatment.Membrane{Passage: treatment.UsualPassage(), Recovery: treatment.UsualRecovery}.Permeate(f.solver, t, membraneCelsius)
			if err != nil {
				return t, err
			}
			if t, err = water.Mix(permeate, t, stage.BypassShare); err != nil {
				return t, err
			}
			continue
		}
		t = stage.Cartridge().Treat(t, used)
	}
	if !f.tank {
		return t, nil
	}
	return treatment.Aired(f.solver, t, membraneCelsius, aired)
}

// FreshFeed gives the water a machine gets from a supply behind fresh
// cartridges, and out of a tank, where there is one, that lost the middle of
// what tanks are taken to lose of their excess CO2.
func FreshFeed(s *equilibrium.Solver, supply water.Totals, stages []record.Treatment, tank bool) (water.Totals, error) {
	const middle = (treatment.TankLeastShare + treatment.TankMostShare) / 2
	return feeder{solver: s, stages: stages, tank: tank}.feed(supply, 0, middle)
}
