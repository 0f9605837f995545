package advice

import (
	"math"

	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/corrosion"
	"limekeep/water/equilibrium"
	"limekeep/water/figure"
	"limekeep/water/inference"
	"limekeep/water/potential"
)

// offsetDraws is how many values of the uncertain saturation index each
// analysis is looked up with: the middles of as many equal slices of its
// distribution.
const offsetDraws = 9

// potentialRange gives the range of a potential in mg/L as CaCO3 over a set and
// over what is not known of the saturation index, an offset of the given
// standard deviation. A litre is taken to weigh a kilogram.
func potentialRange(set inference.Set, tables []potential.Table, offsetSD float64, look func(p *potential.Table, offset float64) float64) figure.Percentiles {
	var values, weights []float64
	for i := range tables {
		for k := range offsetDraws {
			z := figure.NormalQuantile((float64(k) + 0.5) / offsetDraws)
			values = append(values, look(&tables[i], offsetSD*z)*water.MolarMassCalcite)
			weights = append(weights, set.Weights[i]/offsetDraws)
		}
	}
	return figure.OverWeighted(values, weights)
}

// tradeIndices works the indices out for every analysis that allows it.
func tradeIndices(set inference.Set) TradeIndices {
	over := func(f func(water.Analysis) (float64, error)) *figure.Percentiles {
		var values, weights []float64
		for i, a := range set.Analyses {
			if v, err := f(a); err == nil {
				values, weights = append(values, v), append(weights, set.Weights[i])
			}
		}
		if len(values) == 0 {
			return nil
		}
		r := figure.OverWeighted(values, weights)
		return &r
	}
	return TradeIndices{
		Celsius: judgeBrewCelsius,
		Langelier: over(func(a water.Analysis) (float64, error) {
			return equilibrium.LangelierIndex(a.PH, judgeBrewCelsius, conductivity.DissolvedSolids(a), calciumHardness(a), a.AlkalinityMgPerKgCaCO3)
		}),
		Ryznar: over(func(a water.Analysis) (float64, error) {
			return equilibrium.RyznarIndex(a.PH, judgeBrewCelsius, conductivity.DissolvedSolids(a), calciumHardness(a), a.AlkalinityMgPerKgCaCO3)
		}),
		LarsonSkold: over(corrosion.LarsonSkoldIndex),
	}
}

// calciumHardness is calcium in mg/L as CaCO3.
func calciumHardness(a water.Analysis) float64 {
	return asCaCO3(water.Calcium, a.CalciumMgPerKg)
}

// hardnessMgPerL is calcium and magnesium in mg/L as CaCO3.
func hardnessMgPerL(a water.Analysis) float64 {
	return calciumHardness(a) + asCaCO3(water.Magnesium, a.MagnesiumMgPerKg)
}

// asCaCO3 turns mg/L of an ion of hardness into mg/L as CaCO3.
func asCaCO3(q water.Quantity, mgPerL float64) float64 {
	value, err := q.In(mgPerL, water.MgPerLCaCO3)
	if err != nil {
		return math.NaN() // calcium and magnesium both know the unit
	}
	return value
}

// chlorideLimitFactor is how often over an analysis may be concentrated before
// its chloride reaches the limit of common stainless steel; at most 1000, the
// most that package water concentrates.
func chlorideLimitFactor(a water.Analysis) float64 {
	const most = 1000
	return min(most, corrosion.StainlessChlorideMgPerL/max(a.ChlorideMgPerKg, corrosion.StainlessChlorideMgPerL/most))
}
