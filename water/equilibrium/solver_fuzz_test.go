package equilibrium

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/water"
)

// FuzzAnalysis asks everything of waters of any kind: each answer is finite or
// a typed error, and what passes validation is always solved.
func FuzzAnalysis(f *testing.F) {
	f.Add(15.0, 7.6, 60.0, 10.0, 12.0, 2.0, 150.0, 20.0, 33.0, 9.0, 8.0, 120.0, 3.0)
	f.Add(25.0, 7.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0)
	f.Add(140.0, 12.5, 1e4, 1e4, 1e4, 1e4, 4e4, 1e4, 1e4, 1e4, 1e4, 140.0, 40.0)
	f.Add(0.0, 2.0, 1e-300, 1e-12, 1.0, 0.0, -500.0, 500.0, 1e-30, 0.0, 0.0, 101.0, 1000.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, math.NaN(), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 93.0, 1.0)
	s := NewSolver()
	f.Fuzz(func(t *testing.T, measured, ph, ca, mg, na, k, alk, cl, so4, no3, sio2, celsius, factor float64) {
		a := water.Analysis{
			MeasuredCelsius: measured, PH: ph, CalciumMgPerKg: ca, MagnesiumMgPerKg: mg,
			SodiumMgPerKg: na, PotassiumMgPerKg: k, AlkalinityMgPerKgCaCO3: alk,
			ChlorideMgPerKg: cl, SulfateMgPerKg: so4, NitrateMgPerKg: no3, SilicaMgPerKg: sio2,
		}
		askEverything(t, s, a, celsius, factor)
	})
}

// TestWideWaters asks everything of waters from distilled to brackish, any of
// their salts missing, drawn evenly by order of magnitude.
func TestWideWaters(t *testing.T) {
	s := NewSolver()
	random := rand.New(rand.NewPCG(7, 140)) // fixed, so that every run is the same
	salt := func(most float64) float64 {
		if random.Float64() < 0.15 {
			return 0
		}
		return most * math.Pow(10, -5*random.Float64())
	}
	solved := 0
	for range 3000 {
		a := water.Analysis{
			MeasuredCelsius: 140 * random.Float64(), PH: 3 + 9*random.Float64(),
			CalciumMgPerKg: salt(3000), MagnesiumMgPerKg: salt(2000), SodiumMgPerKg: salt(8000),
			PotassiumMgPerKg: salt(3000), AlkalinityMgPerKgCaCO3: salt(10000), ChlorideMgPerKg: salt(8000),
			SulfateMgPerKg: salt(9000), NitrateMgPerKg: salt(1000), SilicaMgPerKg: salt(400),
		}
		if askEverything(t, s, a, 140*random.Float64(), math.Pow(40, random.Float64())) {
			solved++
		}
	}
	if solved < 1000 {
		t.Errorf("only %d waters of 3000 were possible: the draw tests too little", solved)
	}
}

// askEverything puts every question to one water, and reports whether it was
// a possible one.
func askEverything(t *testing.T, s *Solver, a water.Analysis, celsius, factor float64) bool {
	t.Helper()
	sol, err := s.Speciate(a)
	if !answered(t, "speciation", sol, err) {
		return false
	}
	hot, err := s.Equilibrate(sol.Totals, celsius)
	answered(t, "closed", hot, err)
	for name, ask := range map[string]func() (Precipitation, error){
		"closed potential": func() (Precipitation, error) { return s.ClosedPrecipitation(sol.Totals, celsius, 0.1) },
		"open potential":   func() (Precipitation, error) { return s.OpenPrecipitation(sol.Totals, celsius, -3.5, -0.1) },
		"evaporation":      func() (Precipitation, error) { return s.Evaporate(sol.Totals, celsius, factor, -3, 0, true) },
		"steam boiler": func() (Precipitation, error) {
			return s.SteamPrecipitation(sol.Totals, celsius, factor, factor-1, 0, true)
		},
	} {
		p, err := ask()
		if !answered(t, name, p.Solution, err) {
			continue
		}
		if sum := p.CalciteMmolPerKg + p.AnhydriteMmolPerKg + p.BruciteMmolPerKg; math.IsNaN(sum) || math.IsInf(sum, 0) {
			t.Errorf("%s: solids %+v", name, p)
		}
	}
	return true
}

// answered reports whether there was an answer, and fails the test for one
// that is not finite and for errors other than of values.
func answered(t *testing.T, name string, sol Solution, err error) bool {
	t.Helper()
	if err != nil {
		var v *water.ValueError
		if !errors.As(err, &v) {
			t.Errorf("%s: %v", name, err)
		}
		return false
	}
	for _, v := range []float64{sol.PH, sol.IonicStrength, sol.WaterActivity, sol.Log10Carbonate, sol.Log10PCO2, sol.Totals.Carbon, sol.Totals.Alkalinity} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%s: %+v", name, sol)
		}
	}
	return true
}
