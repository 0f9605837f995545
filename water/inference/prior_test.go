package inference

import (
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/watertest"
)

// neutralDensity estimates, from draws of everything but sodium, the density
// of a kind's charge imbalance at zero, per eq/kg: the density of sodium at
// what would balance the rest.
func neutralDensity(r *rand.Rand, k priorKind, draws int) float64 {
	var sum float64
	for range draws {
		a := inventedIons(r, k)
		t := a.Totals()
		need := t.Sodium - t.ChargeBalance() // eq/kg of sodium that would close the balance
		if need <= 0 {
			continue
		}
		median := k.sodium.median / (1000 * water.MolarMassSodium)
		if k.sodiumPerChloride {
			median = k.sodium.median * t.Chloride
		}
		d := math.Log(need/median) / k.sodium.logSD
		sum += math.Exp(-d*d/2) / (need * k.sodium.logSD * math.Sqrt(2*math.Pi))
	}
	return sum / float64(draws)
}

func TestNeutralDensities(t *testing.T) {
	for i, k := range priorKinds {
		got := neutralDensity(rand.New(rand.NewPCG(1, uint64(i))), k, 100000)
		t.Logf("kind %d: %.4g", i, got)
		if math.Abs(got/k.neutral-1) > 0.05 {
			t.Errorf("kind %d is neutral with density %.4g per eq/kg, table says %.4g", i, got, k.neutral)
		}
	}
}

func TestPriorSharesSumToOne(t *testing.T) {
	var sum float64
	for _, k := range priorKinds {
		sum += k.share
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("shares sum to %g", sum)
	}
}

// With next to nothing measured, the set must agree with waters drawn from
// the same table another way, ion by ion.
func TestSamplerAgreesWithInventedWaters(t *testing.T) {
	const waters = 3000
	r := rand.New(rand.NewPCG(3, 4))
	invented := Set{}
	for range waters {
		invented.Analyses = append(invented.Analyses, inventedWater(r))
		invented.Weights = append(invented.Weights, 1.0/waters)
	}
	set, err := FromTest(water.Test{Values: []water.Measured{{Quantity: water.FreeChlorine, Value: 0, Unit: water.MgPerL, Spread: 1}}}, 1000, watertest.Uniform(1))
	if err != nil {
		t.Fatal(err)
	}
	for name, f := range map[string]func(water.Analysis) float64{
		"calcium":      func(a water.Analysis) float64 { return math.Log(a.CalciumMgPerKg) },
		"magnesium":    func(a water.Analysis) float64 { return math.Log(a.MagnesiumMgPerKg) },
		"alkalinity":   func(a water.Analysis) float64 { return math.Log(a.AlkalinityMgPerKgCaCO3) },
		"sodium":       func(a water.Analysis) float64 { return math.Log(a.SodiumMgPerKg) },
		"sulfate":      func(a water.Analysis) float64 { return math.Log(a.SulfateMgPerKg) },
		"chloride":     func(a water.Analysis) float64 { return math.Log(a.ChlorideMgPerKg) },
		"silica":       func(a water.Analysis) float64 { return math.Log(a.SilicaMgPerKg) },
		"pH":           func(a water.Analysis) float64 { return a.PH },
		"conductivity": func(a water.Analysis) float64 { return math.Log(conductivity.At25(a)) },
	} {
		spread := invented.Quantile(0.9, f) - invented.Quantile(0.1, f)
		for _, p := range []float64{0.1, 0.25, 0.5, 0.75, 0.9} {
			a, b := set.Quantile(p, f), invented.Quantile(p, f)
			if math.Abs(a-b) > 0.1*spread {
				t.Errorf("%s: the %g point is %.3f by the sampler, %.3f ion by ion (10 to 90 %%: %.3f)", name, p, a, b, spread)
			}
		}
	}
}

func TestPriorPH(t *testing.T) {
	water := func(ca, alkalinity float64) *water.Totals {
		return &water.Totals{Calcium: ca / 1000, Alkalinity: alkalinity / 1000} // mmol, meq
	}
	for _, c := range []struct {
		name           string
		ca, alkalinity float64
		low, high      float64
	}{
		{"hard ground water", 3, 5, 7.19, 7.35},
		{"middling", 1.2, 2, 7.5, 8.01},
		{"soft, treated", 0.4, 0.8, 7.6, 8.0},
		{"purified", 0.005, 0.01, 5.5, 6.2},
	} {
		if ph := priorPH(water(c.ca, c.alkalinity)); ph < c.low || ph > c.high {
			t.Errorf("%s: pH %.2f, want %g to %g", c.name, ph, c.low, c.high)
		}
	}
}
