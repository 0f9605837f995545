package potential

import (
	"limekeep/water"
	"limekeep/water/equilibrium"
)

// Table holds the calcite precipitation potential of one water over
// temperature, concentration, the uncertainty of the thermodynamics and, with
// CO2 free to leave, its pressure, so that it can be looked up millions of
// times. Potentials are in mmol of calcite per kilogram of water as it stands,
// that is after concentrating; negative ones would dissolve, and are returned
// as such. Beyond the reach of the tables their edge is taken.
type Table struct {
	ClosedTable
	open [openT][openC][openG]float64
	// What the offset does beyond acting as a pressure, per unit of it.
	rest [restT][restC][restG]float64
}

// Points of each table on each of its axes: temperature T, concentration C,
// offset O, pressure of CO2 G. The fewest that keep the error under 0.02
// mmol/kg or 2 % (tested).
const (
	closedT, closedC, closedO = 3, 4, 3
	openT, openC, openG       = 3, 3, 6
	restT, restC, restG       = 3, 2, 4
)

// The reach of the tables.
const (
	LeastCelsius       = 60.0
	MostCelsius        = 140.0
	LeastConcentration = 0.5 // times the water tested
	MostConcentration  = 2.0
	MostSIOffset       = 0.4 // either way
	LeastLog10PCO2     = -4.5
	MostLog10PCO2      = -1.5
)

var (
	overCelsius       = interval{LeastCelsius, MostCelsius}
	overConcentration = interval{LeastConcentration, MostConcentration}
	overOffset        = interval{-MostSIOffset, MostSIOffset}
	overGas           = interval{LeastLog10PCO2, MostLog10PCO2}
	// The open table reaches further, to be looked up at a pressure moved by
	// the offset.
	overMovedGas = interval{LeastLog10PCO2 - MostSIOffset, MostLog10PCO2 + MostSIOffset}
)

// ClosedTable is the closed table alone, at a third of the cost: all that a
// brew circuit asks for. Seven digits are far more than it is good for, and take half the
// room where many are kept.
type ClosedTable struct {
	closed [closedT][closedC][closedO]float32
}

// NewClosed computes the closed table of a water with the solver. The
// error is the solver's.
func NewClosed(s *equilibrium.Solver, t water.Totals) (ClosedTable, error) {
	var p ClosedTable
	err := p.fillClosed(s, &t)
	return p, err
}

// New computes the tables with the solver. The error is the
// solver's: of an analysis no water can have.
func New(s *equilibrium.Solver, a water.Analysis) (Table, error) {
	cold, err := s.Speciate(a)
	if err != nil {
		return Table{}, err
	}
	var p Table
	t := cold.Totals
	for _, fill := range []func(*equilibrium.Solver, *water.Totals) error{p.fillClosed, p.fillOpen, p.fillRest} {
		if err := fill(s, &t); err != nil {
			return Table{}, err
		}
	}
	return p, nil
}

// Closed is the potential, mmol/kg, of the water concentrated (1 as tested)
// and heated to celsius with nothing escaping. siOffset is added to the
// saturation index of calcite, for worlds in which the constants are off.
func (p *ClosedTable) Closed(celsius, concentration, siOffset float64) float64 {
	x, y, z := overCelsius.unit(celsius), overConcentration.unit(concentration), overOffset.unit(siOffset)
	var sum float64
	for i := closedT - 1; i >= 0; i-- {
		var row float64
		for j := closedC - 1; j >= 0; j-- {
			c := &p.closed[i][j]
			row = row*y + (float64(c[2])*z+float64(c[1]))*z + float64(c[0])
		}
		sum = sum*x + row
	}
	return sum
}

// Open is the potential, mmol/kg, of the water concentrated and heated to
// celsius with CO2 held at 10^log10PCO2 atm; siOffset as for Closed.
//
// Calcite dissolves as CaCO3 + CO2 + H2O = Ca+2 + 2 HCO3-, so that an offset
// is nearly the same as a lower pressure, which is how it is looked up; what
// carbonate and hydroxide make of it is added.
func (p *Table) Open(celsius, concentration, log10PCO2, siOffset float64) float64 {
	siOffset = max(-MostSIOffset, min(MostSIOffset, siOffset))
	log10PCO2 = max(LeastLog10PCO2, min(MostLog10PCO2, log10PCO2))
	x, y := overCelsius.unit(celsius), overConcentration.unit(concentration)
	sum := p.openMoved(x, y, log10PCO2-siOffset)
	if siOffset == 0 {
		return sum
	}
	z := overGas.unit(log10PCO2)
	var rest float64
	for i := restT - 1; i >= 0; i-- {
		var row float64
		for j := restC - 1; j >= 0; j-- {
			c := &p.rest[i][j]
			row = row*y + ((c[3]*z+c[2])*z+c[1])*z + c[0]
		}
		rest = rest*x + row
	}
	return sum + siOffset*rest
}

// openMoved looks the open table up.
func (p *Table) openMoved(x, y, log10PCO2 float64) float64 {
	z := overMovedGas.unit(log10PCO2)
	var sum float64
	for i := openT - 1; i >= 0; i-- {
		var row float64
		for j := openC - 1; j >= 0; j-- {
			c := &p.open[i][j]
			row = row*y + ((((c[5]*z+c[4])*z+c[3])*z+c[2])*z+c[1])*z + c[0]
		}
		sum = sum*x + row
	}
	return sum
}

// fillClosed computes the closed table.
func (p *ClosedTable) fillClosed(s *equilibrium.Solver, t *water.Totals) error {
	var closed [closedT][closedC][closedO]float64
	var ended closedStarts
	for i, x := range potentialAxes[closedT].points {
		for j, y := range potentialAxes[closedC].points {
			for k, z := range potentialAxes[closedO].points {
				mmol, err := s.ClosedPotential(ended.of(i, j, k), t.Times(overConcentration.at(y)), overCelsius.at(x), overOffset.at(z))
				if err != nil {
					return err
				}
				closed[i][j][k], ended[i][j][k] = mmol, s.Ended()
			}
		}
	}
	toPowers(closedT, closedC, closedO, func(i, j, k int) *float64 { return &closed[i][j][k] })
	for i := range closed {
		for j := range closed[i] {
			for k, x := range closed[i][j] {
				p.closed[i][j][k] = float32(x)
			}
		}
	}
	return nil
}

// fillOpen computes the open table.
func (p *Table) fillOpen(s *equilibrium.Solver, t *water.Totals) error {
	for i, x := range potentialAxes[openT].points {
		for j, y := range potentialAxes[openC].points {
			for k, z := range potentialAxes[openG].points {
				r, err := s.OpenPrecipitation(t.Times(overConcentration.at(y)), overCelsius.at(x), overMovedGas.at(z), 0)
				if err != nil {
					return err
				}
				p.open[i][j][k] = r.CalciteMmolPerKg
			}
		}
	}
	toPowers(openT, openC, openG, func(i, j, k int) *float64 { return &p.open[i][j][k] })
	return nil
}

// fillRest computes what the open table leaves out of an offset. It needs the
// open table.
func (p *Table) fillRest(s *equilibrium.Solver, t *water.Totals) error {
	const offset = MostSIOffset / 2
	for i, x := range potentialAxes[restT].points {
		for j, y := range potentialAxes[restC].points {
			for k, z := range potentialAxes[restG].points {
				r, err := s.OpenPrecipitation(t.Times(overConcentration.at(y)), overCelsius.at(x), overGas.at(z), offset)
				if err != nil {
					return err
				}
				p.rest[i][j][k] = (r.CalciteMmolPerKg - p.openMoved(x, y, overGas.at(z)-offset)) / offset
			}
		}
	}
	toPowers(restT, restC, restG, func(i, j, k int) *float64 { return &p.rest[i][j][k] })
	return nil
}

// closedStarts is where the searches of a closed table ended.
type closedStarts [closedT][closedC][closedO]equilibrium.Start

// of returns where the search of a point may begin: by how the points before it, on two
// of the axes, lie to each other.
func (e *closedStarts) of(i, j, k int) equilibrium.Start {
	switch {
	case k > 0 && j > 0:
		return e[i][j][k-1].Along(e[i][j-1][k-1], e[i][j-1][k], 1)
	case k > 0 && i > 0:
		return e[i][j][k-1].Along(e[i-1][j][k-1], e[i-1][j][k], 1)
	case j > 0 && i > 0:
		return e[i][j-1][k].Along(e[i-1][j-1][k], e[i-1][j][k], 1)
	case k > 0:
		return e[i][j][k-1]
	case j > 0:
		return e[i][j-1][k]
	}
	return equilibrium.Start{}
}
