package water

// Potentials holds the calcite precipitation potential of one water over
// temperature, concentration, the uncertainty of the thermodynamics and, with
// CO2 free to leave, its pressure, so that it can be looked up millions of
// times. Potentials are in mmol of calcite per kilogram of water as it stands,
// that is after concentrating; negative ones would dissolve, and are returned
// as such. Beyond the reach of the tables their edge is taken.
type Potentials struct {
	ClosedPotentials
	open [potentialOpenT][potentialOpenC][potentialOpenG]float64
	// What the offset does beyond acting as a pressure, per unit of it.
	rest [potentialRestT][potentialRestC][potentialRestG]float64
}

// Points of each table on each of its axes: temperature T, concentration C,
// offset O, pressure of CO2 G. The fewest that keep the error under 0.02
// mmol/kg or 2 % (tested).
const (
	potentialClosedT, potentialClosedC, potentialClosedO = 3, 4, 3
	potentialOpenT, potentialOpenC, potentialOpenG       = 3, 3, 6
	potentialRestT, potentialRestC, potentialRestG       = 3, 2, 4
)

// The reach of the tables.
const (
	PotentialLeastCelsius       = 60.0
	PotentialMostCelsius        = 140.0
	PotentialLeastConcentration = 0.5 // times the water tested
	PotentialMostConcentration  = 2.0
	PotentialMostSIOffset       = 0.4 // either way
	PotentialLeastLog10PCO2     = -4.5
	PotentialMostLog10PCO2      = -1.5
)

var (
	potentialCelsius = interval{PotentialLeastCelsius, PotentialMostCelsius}
	potentialTimes   = interval{PotentialLeastConcentration, PotentialMostConcentration}
	potentialOffset  = interval{-PotentialMostSIOffset, PotentialMostSIOffset}
	potentialGas     = interval{PotentialLeastLog10PCO2, PotentialMostLog10PCO2}
	// The open table reaches further, to be looked up at a pressure moved by
	// the offset.
	potentialGasMoved = interval{PotentialLeastLog10PCO2 - PotentialMostSIOffset, PotentialMostLog10PCO2 + PotentialMostSIOffset}
)

// ClosedPotentials is the closed table alone, at a third of the cost: all that a
// brew circuit asks for.
type ClosedPotentials struct {
	closed [potentialClosedT][potentialClosedC][potentialClosedO]float64
}

// NewClosedPotentials computes the closed table of a water with the solver. The
// error is the solver's.
func NewClosedPotentials(s *Solver, t Totals) (ClosedPotentials, error) {
	var p ClosedPotentials
	err := p.fillClosed(s, &t)
	return p, err
}

// NewPotentials computes the tables with the solver. The error is the
// solver's: of an analysis no water can have.
func NewPotentials(s *Solver, a Analysis) (Potentials, error) {
	cold, err := s.Speciate(a)
	if err != nil {
		return Potentials{}, err
	}
	var p Potentials
	t := cold.Totals
	for _, fill := range []func(*Solver, *Totals) error{p.fillClosed, p.fillOpen, p.fillRest} {
		if err := fill(s, &t); err != nil {
			return Potentials{}, err
		}
	}
	return p, nil
}

// Closed is the potential, mmol/kg, of the water concentrated (1 as tested)
// and heated to celsius with nothing escaping. siOffset is added to the
// saturation index of calcite, for worlds in which the constants are off.
func (p *ClosedPotentials) Closed(celsius, concentration, siOffset float64) float64 {
	x, y, z := potentialCelsius.unit(celsius), potentialTimes.unit(concentration), potentialOffset.unit(siOffset)
	var sum float64
	for i := potentialClosedT - 1; i >= 0; i-- {
		var row float64
		for j := potentialClosedC - 1; j >= 0; j-- {
			c := &p.closed[i][j]
			row = row*y + (c[2]*z+c[1])*z + c[0]
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
func (p *Potentials) Open(celsius, concentration, log10PCO2, siOffset float64) float64 {
	siOffset = max(-PotentialMostSIOffset, min(PotentialMostSIOffset, siOffset))
	log10PCO2 = max(PotentialLeastLog10PCO2, min(PotentialMostLog10PCO2, log10PCO2))
	x, y := potentialCelsius.unit(celsius), potentialTimes.unit(concentration)
	sum := p.openMoved(x, y, log10PCO2-siOffset)
	if siOffset == 0 {
		return sum
	}
	z := potentialGas.unit(log10PCO2)
	var rest float64
	for i := potentialRestT - 1; i >= 0; i-- {
		var row float64
		for j := potentialRestC - 1; j >= 0; j-- {
			c := &p.rest[i][j]
			row = row*y + ((c[3]*z+c[2])*z+c[1])*z + c[0]
		}
		rest = rest*x + row
	}
	return sum + siOffset*rest
}

// openMoved looks the open table up.
func (p *Potentials) openMoved(x, y, log10PCO2 float64) float64 {
	z := potentialGasMoved.unit(log10PCO2)
	var sum float64
	for i := potentialOpenT - 1; i >= 0; i-- {
		var row float64
		for j := potentialOpenC - 1; j >= 0; j-- {
			c := &p.open[i][j]
			row = row*y + ((((c[5]*z+c[4])*z+c[3])*z+c[2])*z+c[1])*z + c[0]
		}
		sum = sum*x + row
	}
	return sum
}

// fillClosed computes the closed table.
func (p *ClosedPotentials) fillClosed(s *Solver, t *Totals) error {
	for i, x := range potentialAxes[potentialClosedT].points {
		for j, y := range potentialAxes[potentialClosedC].points {
			for k, z := range potentialAxes[potentialClosedO].points {
				r, err := s.ClosedPrecipitation(t.Times(potentialTimes.at(y)), potentialCelsius.at(x), potentialOffset.at(z))
				if err != nil {
					return err
				}
				p.closed[i][j][k] = r.CalciteMmolPerKg
			}
		}
	}
	toPowers(potentialClosedT, potentialClosedC, potentialClosedO, func(i, j, k int) *float64 { return &p.closed[i][j][k] })
	return nil
}

// fillOpen computes the open table.
func (p *Potentials) fillOpen(s *Solver, t *Totals) error {
	for i, x := range potentialAxes[potentialOpenT].points {
		for j, y := range potentialAxes[potentialOpenC].points {
			for k, z := range potentialAxes[potentialOpenG].points {
				r, err := s.OpenPrecipitation(t.Times(potentialTimes.at(y)), potentialCelsius.at(x), potentialGasMoved.at(z), 0)
				if err != nil {
					return err
				}
				p.open[i][j][k] = r.CalciteMmolPerKg
			}
		}
	}
	toPowers(potentialOpenT, potentialOpenC, potentialOpenG, func(i, j, k int) *float64 { return &p.open[i][j][k] })
	return nil
}

// fillRest computes what the open table leaves out of an offset. It needs the
// open table.
func (p *Potentials) fillRest(s *Solver, t *Totals) error {
	const offset = PotentialMostSIOffset / 2
	for i, x := range potentialAxes[potentialRestT].points {
		for j, y := range potentialAxes[potentialRestC].points {
			for k, z := range potentialAxes[potentialRestG].points {
				r, err := s.OpenPrecipitation(t.Times(potentialTimes.at(y)), potentialCelsius.at(x), potentialGas.at(z), offset)
				if err != nil {
					return err
				}
				p.rest[i][j][k] = (r.CalciteMmolPerKg - p.openMoved(x, y, potentialGas.at(z)-offset)) / offset
			}
		}
	}
	toPowers(potentialRestT, potentialRestC, potentialRestG, func(i, j, k int) *float64 { return &p.rest[i][j][k] })
	return nil
}
