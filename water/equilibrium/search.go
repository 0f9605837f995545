package equilibrium

import (
	"math"

	"limekeep/water"
)

// problem is one equilibrium to find, per kilogram of water.
type problem struct {
	name    string
	celsius float64
	totals  water.Totals

	given     given   // what stands in for the unknown carbon or pH
	ph        float64 // where the pH is given
	log10PCO2 float64 // where the gas is given, atm

	from      Start   // where to begin, where that is about the same solids
	strength  float64 // ionic strength to start from else, mol/kg; 0 as if no ions paired
	headspace float64 // CO2 that leaves in gas, mol per kg of water and atm
	calcite   bool    // calcite is in equilibrium, to form or to dissolve
	anhydrite bool
	brucite   bool
	siOffset  float64 // added to the saturation index of calcite
}

// given says what of the carbonate system is known besides the salts.
type given int

const (
	givenAlkalinityCarbon given = iota
	givenAlkalinityPH
	givenCarbonPH
	givenAlkalinityGas
)

// Numbers of the search. They are choices of numerical method, not of water.
const (
	outerLimit      = 60    // trials of the ionic strength
	innerLimit      = 80    // Newton steps at one ionic strength
	strengthGoal    = 1e-8  // relative change of ionic strength to stop at
	stepGoal        = 3e-5  // change of a logarithm after which one more evaluation suffices
	firstStepGoal   = 1e-2  // the same while the ionic strength is an estimate
	stepMost        = 3.0   // longest step of a logarithm
	traceMol        = 1e-13 // mol/kg put in place of nothing, to keep logarithms finite
	lineSearchGoal  = 0.5   // share of the slope that may be left after a step
	lineSearchLimit = 20
)

// solve finds the equilibrium of s.p. The state of the solver then holds the
// answer.
func (s *Solver) solve() error {
	if s.p.from.known && s.p.from.solids == s.p.solids() && s.solveFrom(&s.p.from) == nil {
		return nil
	}
	return s.solveFrom(nil)
}

// solveFrom looks for the equilibrium from a start; from an estimate where there is none.
func (s *Solver) solveFrom(from *Start) error {
	p := &s.p
	s.th = s.cache.at(p.celsius)
	p.totals.Carbon = math.Max(p.totals.Carbon, traceMol)
	p.totals.Sulfate = math.Max(p.totals.Sulfate, traceMol)
	if math.Abs(p.totals.Alkalinity) < traceMol {
		p.totals.Alkalinity = 0
	}
	s.inertStrength = (p.totals.Chloride + p.totals.Nitrate) / 2
	s.inertSolutes = p.totals.Chloride + p.totals.Nitrate

	strength := p.strength
	if from != nil {
		strength, s.ln, s.slope = from.strength, from.ln, from.slope
		s.cond.set(s.th, strength, from.solutes)
	} else {
		if strength == 0 {
			strength = p.totals.FreeIonicStrength()
		}
		s.slope = -1
		solutes := s.inertSolutes + p.totals.Sodium + p.totals.Potassium + p.totals.Calcium +
			p.totals.Magnesium + p.totals.Sulfate + math.Abs(p.totals.Alkalinity)
		s.cond.set(s.th, strength, solutes)
		s.estimate()
	}
	if p.calcite {
		s.heldCa = math.Exp(s.th.lnK[Calcite] - math.Ln10*p.siOffset)
	}
	goal := firstStepGoal
	var last, lastMiss float64
	var lastLn [3]float64
	for outer := range outerLimit {
		s.prepare()
		step, err := s.newton(goal)
		if err != nil {
			return err
		}
		miss := s.bal.strength - strength
		if goal == stepGoal && math.Abs(miss) <= strengthGoal*strength {
			return nil
		}
		if math.IsNaN(miss) || outer == outerLimit-1 {
			return &ConvergenceError{Problem: p.name, Celsius: p.celsius, IonicStrength: strength, Step: step}
		}
		goal = stepGoal
		if outer > 0 && strength != last {
			// Secant on miss(strength) = 0, kept to a falling line.
			s.slope = math.Max(math.Min((miss-lastMiss)/(strength-last), -0.2), -4)
		}
		next := strength - miss/s.slope
		next = math.Min(math.Max(next, strength/5), strength*5+1e-9)
		ln := s.ln
		if outer > 0 && strength != last {
			// The logarithms follow the ionic strength nearly in a line.
			ahead := math.Max(math.Min((next-strength)/(strength-last), 1), -1)
			for i := range s.ln {
				s.ln[i] += ahead * (s.ln[i] - lastLn[i])
			}
		}
		last, lastMiss, lastLn = strength, miss, ln
		strength = next
		s.cond.set(s.th, strength, s.bal.solutes)
	}
	return nil
}

// prepare works out, at the present ionic strength, how the three logarithms
// are tied, along which directions they may move, and what the balances must
// come to.
func (s *Solver) prepare() {
	p, t := &s.p, &s.p.totals
	s.gas = 0
	if p.headspace > 0 {
		s.gas = p.headspace * s.cond.co2ByGas(s.th)
	}
	lnCalcite := s.th.lnK[Calcite] - math.Ln10*p.siOffset
	lnAnhydrite := s.th.lnK[Anhydrite]
	if p.anhydrite && !p.calcite {
		s.heldCa = s.th.held[Anhydrite]
	}
	if p.brucite {
		w := s.cond.waterActivity
		s.heldMg = s.th.held[Brucite] / (w * w)
	}

	s.goalH = 2*t.Carbon - t.Alkalinity
	s.goalC = t.Carbon
	s.goalS = t.Sulfate
	if p.calcite {
		s.goalC -= t.Calcium
	} else if p.anhydrite {
		s.goalS -= t.Calcium
	}
	if p.brucite {
		s.goalH += 2 * t.Magnesium
	}

	// Directions: each unknown moves one logarithm and those tied to it.
	n := 0
	bound := p.calcite && p.anhydrite // sulfate follows carbonate
	along := 0.0
	if bound {
		along = 1
		s.ln[2] = lnAnhydrite - lnCalcite + s.ln[1]
	}
	switch p.given {
	case givenAlkalinityGas:
		s.ln[1] = p.log10PCO2*math.Ln10 - math.Log(s.cond.co2ByGas(s.th)) - 2*s.ln[0]
		if bound {
			s.ln[2] = lnAnhydrite - lnCalcite + s.ln[1]
		}
		s.way[n] = [3]float64{1, -2, -2 * along}
		n++
	case givenAlkalinityCarbon:
		s.way[n] = [3]float64{1, 0, 0}
		n++
		fallthrough
	default:
		s.way[n] = [3]float64{0, 1, along}
		n++
	}
	if !bound {
		s.way[n] = [3]float64{0, 0, 1}
		n++
	}
	s.ways = n
}

// co2ByGas is the pressure of CO2 in atm at unit activities of H+ and CO3-2.
func (c *conditional) co2ByGas(th *temperatureTable) float64 {
	return th.k[ReactionCO2] / c.waterActivity / th.gas
}

// evaluate fills s.bal for the present logarithms.
func (s *Solver) evaluate() {
	p, t, k, b := &s.p, &s.p.totals, &s.cond, &s.bal
	h, c, so := math.Exp(s.ln[0]), math.Exp(s.ln[1]), math.Exp(s.ln[2])
	b.bare(k, h, c, so, s.gas)
	b.strength += s.inertStrength
	b.solutes += s.inertSolutes
	var f family
	switch {
	case p.calcite:
		f.calcium(k, h, c, so)
		b.freeCa = s.heldCa / c
		b.calcium = b.hold(&f, b.freeCa, 0, -1, 0)
	case p.anhydrite:
		f.calcium(k, h, c, so)
		b.freeCa = s.heldCa / so
		b.calcium = b.hold(&f, b.freeCa, 0, 0, -1)
	case t.Calcium > 0:
		f.calcium(k, h, c, so)
		b.freeCa = b.share(&f, t.Calcium)
		b.calcium = t.Calcium
	}
	switch {
	case p.brucite:
		f.magnesium(k, h, c, so)
		b.freeMg = s.heldMg * h * h
		b.magnesium = b.hold(&f, b.freeMg, 2, 0, 0)
	case t.Magnesium > 0:
		f.magnesium(k, h, c, so)
		b.freeMg = b.share(&f, t.Magnesium)
		b.magnesium = t.Magnesium
	}
	if t.Sodium > 0 {
		b.alkali(t.Sodium, k.na, k.naHCO3*h*c, k.naSO4*so, k.na2SO4*so)
	}
	if t.Potassium > 0 {
		b.alkali(t.Potassium, k.k, k.kHCO3*h*c, k.kSO4*so, 0)
	}
	if t.Silica > 0 {
		f.silica(k, h)
		b.freeSi = b.share(&f, t.Silica)
	}
	b.h -= s.goalH
	b.c -= s.goalC
	b.s -= s.goalS
}
