package inference

import (
	"math"
	"testing"

	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/watertest"
)

// scaleOf is how much calcite the waters that explain a test lay down at 105 °C, mmol/kg.
func scaleOf(t *testing.T, hardness, alkalinity float64, seed uint64) (Set, []float64) {
	t.Helper()
	set, err := FromTest(water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.PH, Value: 7.5, Unit: water.PHUnit, Method: water.MethodMeter},
	}}, SetSize, watertest.Uniform(seed))
	if err != nil {
		t.Fatal(err)
	}
	solver := equilibrium.NewSolver()
	var scale []float64
	for _, a := range set.Analyses {
		s, err := solver.Speciate(a)
		if err != nil {
			t.Fatal(err)
		}
		p, err := solver.ClosedPrecipitation(s.Totals, 105, 0)
		if err != nil {
			t.Fatal(err)
		}
		scale = append(scale, p.CalciteMmolPerKg)
	}
	return set, scale
}

// Where a tenth of a degree more is measured, a uniform picks about the same water as
// before: five in six of those picked scale within a twentieth of what they did. Drawn in
// order of what limits scale, half of them do not.
func TestTenthOfADegreeDrawsTheSameWaters(t *testing.T) {
	const picks = 500
	for seed := range uint64(3) {
		before, was := scaleOf(t, 12, 9, seed)
		for _, more := range [][2]float64{{12.1, 9}, {12, 9.1}} {
			after, is := scaleOf(t, more[0], more[1], seed)
			others := 0
			for k := range picks {
				u := (float64(k) + 0.5) / picks
				if a, b := was[before.Pick(u)], is[after.Pick(u)]; math.Abs(a-b) > 0.05*math.Abs(a) {
					others++
				}
			}
			t.Logf("seed %d, %v: %d of %d are other waters", seed, more, others, picks)
			if others > picks/6 {
				t.Errorf("seed %d, %v: %d of %d are other waters", seed, more, others, picks)
			}
		}
	}
}

// A set is drawn in proportion to the weights of its pool: shares of its waters are those
// of the pool, in the mean over many draws, and off by no more than chance in each.
func TestSteadyThinningKeepsShares(t *testing.T) {
	const draws, n = 30, 50
	test := water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 12, Unit: water.GermanDegree, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: 9, Unit: water.GermanDegree, Method: water.MethodDrop},
	}}
	for _, c := range []struct {
		quantity water.Quantity
		below    float64
	}{{water.Calcium, 65}, {water.Calcium, 75}, {water.Alkalinity, 160}, {water.PH, 7.4}, {water.Chloride, 20}, {water.Sulfate, 60}} {
		sum, squares := 0.0, 0.0
		for seed := range uint64(draws) {
			u := watertest.Uniform(seed)
			pool, err := explain(test, n, u)
			if err != nil {
				t.Fatal(err)
			}
			whole := 0.0
			for i, w := range pool.weights(1) {
				var totals water.Totals
				if pool.z[i].totals(&totals); quantityOf(c.quantity, &totals, pool.z[i][latentPH]) < c.below {
					whole += w
				}
			}
			off := pool.thinSteadily(n, u, 15).Share(func(a water.Analysis) bool {
				totals := a.Totals()
				return quantityOf(c.quantity, &totals, a.PH) < c.below
			}) - whole
			sum, squares = sum+off, squares+off*off
		}
		mean, sd := sum/draws, math.Sqrt(squares/draws)
		t.Logf("%s below %g: off by %.4f in the mean, %.4f a draw", c.quantity, c.below, mean, sd)
		if chance := math.Sqrt(0.25 / n); math.Abs(mean) > 3.5*chance/math.Sqrt(draws) || sd > 1.25*chance {
			t.Errorf("%s below %g: off by %.4f in the mean, %.4f a draw; chance would be %.4f a draw", c.quantity, c.below, mean, sd, chance)
		}
	}
}
