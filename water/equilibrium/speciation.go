package equilibrium

import (
	"math"

	"limekeep/water"
)

// Solution is water at equilibrium with itself: what Solver finds. Activities
// are on the molal scale, as decimal logarithms; -Inf means there is none.
type Solution struct {
	Celsius       float64
	PH            float64      // -log10 of the activity of H+
	IonicStrength float64      // mol/kg, pairs counted as what they are
	WaterActivity float64      // 1 in pure water
	Totals        water.Totals // what is dissolved

	Log10Calcium     float64 // activity of free Ca+2
	Log10Magnesium   float64 // activity of free Mg+2
	Log10Carbonate   float64 // activity of free CO3-2
	Log10Bicarbonate float64 // activity of free HCO3-
	Log10CO2         float64 // activity of CO2(aq), hydrated or not
	Log10Sulfate     float64 // activity of free SO4-2
	Log10SilicicAcid float64 // activity of H4SiO4
	Log10PCO2        float64 // pressure of CO2 the water would be at rest with, atm
}

// Solver finds equilibria. It is a workspace to be used again and again
// without allocating, and not safe for use by several goroutines at once.
// Equal questions get equal answers, bit for bit, whatever was asked before; where the
// search is to begin is part of a question.
type Solver struct {
	cache temperatureCache
	th    *temperatureTable
	p     problem
	cond  conditional
	bal   balance

	ln   [3]float64    // natural logs of the activities of H+, CO3-2, SO4-2
	way  [3][3]float64 // directions they may move in
	ways int

	gas                         float64 // escaped CO2 at unit activities, mol/kg
	heldCa, heldMg              float64 // activities held by minerals, at unit activities
	goalH, goalC, goalS         float64 // what the balances must come to, mol/kg
	inertStrength, inertSolutes float64 // of chloride and nitrate, mol/kg
	slope                       float64 // as in Start
}

// NewSolver returns a workspace.
func NewSolver() *Solver { return &Solver{} }

// spareAlkalinity is how far, in eq/kg, a stated alkalinity may lie below the
// least that its pH allows before the analysis is refused: 0.5 mg/kg as
// CaCO3, less than a drop test can tell (assumption). Within it the least is
// taken, so that nearly pure water with a reading of zero is accepted.
const spareAlkalinity = 1e-5

// Speciate works out the solution that an analysis describes, from pH and
// alkalinity, at the temperature of measurement. Totals.Carbon of the result
// is what the two imply. A pH at which the alkalinity is impossible (more
// hydroxide than alkalinity, say) is a *ValueError.
func (s *Solver) Speciate(a water.Analysis) (Solution, error) {
	if err := a.Validate(); err != nil {
		return Solution{}, err
	}
	t := a.Totals()
	given := problem{name: "speciation from pH and alkalinity", celsius: a.MeasuredCelsius, totals: t, given: givenAlkalinityPH, ph: a.PH}
	if done, err := s.speciate(given, a); err != nil {
		return Solution{}, err
	} else if done {
		return s.speciated(t), nil
	}
	// No carbon fits at the ionic strength estimated. Without any, the pH alone
	// sets the alkalinity.
	s.p = problem{name: "speciation of water without carbonate", celsius: a.MeasuredCelsius, totals: t, given: givenCarbonPH, ph: a.PH}
	if err := s.solve(); err != nil {
		return Solution{}, err
	}
	least := 2*s.bal.carbon - s.bal.protons
	if t.Alkalinity < least-spareAlkalinity {
		return Solution{}, alkalinityError(a, least)
	}
	if t.Alkalinity > least+spareAlkalinity {
		given.strength = s.bal.strength
		if done, err := s.speciate(given, a); err != nil {
			return Solution{}, err
		} else if done {
			return s.speciated(t), nil
		}
		return Solution{}, &ConvergenceError{Problem: given.name, Celsius: given.celsius, IonicStrength: s.bal.strength}
	}
	t.Alkalinity = least
	return s.speciated(t), nil
}

// speciate tries a problem of pH and alkalinity. It is done if some carbon
// fits, and an error if only an absurd amount does.
func (s *Solver) speciate(p problem, a water.Analysis) (done bool, err error) {
	s.p = p
	err = s.solve()
	if s.bal.carbon > water.MaxTotalMol {
		return false, carbonError(a)
	}
	return err == nil && s.bal.carbon > 10*traceMol, nil
}

// speciated is the solution of totals t with the carbon that was found.
func (s *Solver) speciated(t water.Totals) Solution {
	t.Carbon = s.bal.carbon
	return s.solution(t)
}

// SpeciateCarbon works out the solution that an analysis describes from pH and
// total inorganic carbon in mol/kg; the alkalinity of the analysis is not
// looked at, that of the result is what the two imply.
func (s *Solver) SpeciateCarbon(a water.Analysis, carbon float64) (Solution, error) {
	a.AlkalinityMgPerKgCaCO3 = 0
	if err := a.Validate(); err != nil {
		return Solution{}, err
	}
	t := a.Totals()
	t.Carbon = carbon
	if err := t.Validate(); err != nil {
		return Solution{}, err
	}
	s.p = problem{name: "speciation from pH and total carbon", celsius: a.MeasuredCelsius, totals: t, given: givenCarbonPH, ph: a.PH}
	if err := s.solve(); err != nil {
		return Solution{}, err
	}
	t.Alkalinity = 2*s.bal.carbon - s.bal.protons
	return s.solution(t), nil
}

// Equilibrate works out the solution of known alkalinity and total carbon at
// celsius, 0 to 140. Heating in a closed vessel is this with the totals of the
// cold water.
func (s *Solver) Equilibrate(t water.Totals, celsius float64) (Solution, error) {
	if err := checkProblem(&t, celsius); err != nil {
		return Solution{}, err
	}
	s.p = problem{name: "closed equilibrium", celsius: celsius, totals: t, given: givenAlkalinityCarbon}
	if err := s.solve(); err != nil {
		return Solution{}, err
	}
	return s.solution(t), nil
}

// checkProblem checks totals and temperature.
func checkProblem(t *water.Totals, celsius float64) error {
	if err := water.CheckRange("temperature, °C", celsius, water.MinCelsius, water.MaxCelsius); err != nil {
		return err
	}
	return t.Validate()
}

// alkalinityError tells the owner of an impossible pair of numbers what the
// pH alone requires.
func alkalinityError(a water.Analysis, least float64) error {
	mg := least * 1000 * water.EquivalentMassCaCO3
	return &water.ValueError{
		Quantity: "alkalinity, mg/kg as CaCO3",
		Value:    a.AlkalinityMgPerKgCaCO3,
		Want:     wantAtLeast(mg, a.PH),
	}
}

// carbonError tells the owner of a pH and alkalinity that would need more CO2
// than water holds at any pressure met here.
func carbonError(a water.Analysis) error {
	return &water.ValueError{
		Quantity: "pH",
		Value:    a.PH,
		Want:     wantHigherPH(a.AlkalinityMgPerKgCaCO3),
	}
}

// solution reads the answer off the workspace; t is what is dissolved.
func (s *Solver) solution(t water.Totals) Solution {
	k := &s.th.k
	bicarbonate := math.Log(k[ReactionHCO3]) + s.ln[0] + s.ln[1]
	co2 := math.Log(k[ReactionCO2]/s.cond.waterActivity) + 2*s.ln[0] + s.ln[1]
	sulfate := s.ln[2]
	if t.Sulfate == 0 {
		sulfate = math.Inf(-1)
	}
	return Solution{
		Celsius:          s.p.celsius,
		PH:               -s.ln[0] / math.Ln10,
		IonicStrength:    s.bal.strength,
		WaterActivity:    s.cond.waterActivity,
		Totals:           t,
		Log10Calcium:     math.Log10(s.bal.freeCa),
		Log10Magnesium:   math.Log10(s.bal.freeMg),
		Log10Carbonate:   s.ln[1] / math.Ln10,
		Log10Bicarbonate: bicarbonate / math.Ln10,
		Log10CO2:         co2 / math.Ln10,
		Log10Sulfate:     sulfate / math.Ln10,
		Log10SilicicAcid: math.Log10(s.bal.freeSi),
		Log10PCO2:        (co2 - s.th.lnGas) / math.Ln10,
	}
}

// Analysis states a solution as an analysis at its own temperature and pH.
func (s Solution) Analysis() water.Analysis { return s.Totals.Analysis(s.Celsius, s.PH) }

// DissolvedCO2 is the CO2 in solution, hydrated or not, mol/kg.
func (s Solution) DissolvedCO2() float64 {
	return math.Pow(10, s.Log10CO2-linearCO2*s.IonicStrength)
}
