package inference

import (
	"math"
	"math/rand/v2"

	"limekeep/water"
)

// inventedWater draws a water from the prior without using the sampler: ions
// one by one from the table, thrown away until they happen to balance.
func inventedWater(r *rand.Rand) water.Analysis {
	kind, pick := 0, r.Float64()
	for kind < len(priorKinds)-1 && pick >= priorKinds[kind].share {
		pick -= priorKinds[kind].share
		kind++
	}
	k := priorKinds[kind]
	for {
		a := inventedIons(r, k)
		t := a.Totals()
		off := t.ChargeBalance()
		if math.Abs(off) > 1e-5 { // 0.01 meq/kg
			continue
		}
		// What is left is put where it changes least.
		if t.Sodium > 2*t.Sulfate {
			t.Sodium -= off
		} else {
			t.Sulfate += off / 2
		}
		ph := priorPH(&t) + k.phSpread*r.NormFloat64()
		if t.Sodium <= 0 || t.Sulfate <= 0 || ph < 5 || ph > 9.5 {
			continue
		}
		return t.Analysis(water.MainsCelsius, ph)
	}
}

// inventedIons draws every ion of a kind of water, balanced or not.
func inventedIons(r *rand.Rand, k priorKind) water.Analysis {
	lognormal := func(a priorAmount) float64 { return a.median * math.Exp(a.logSD*r.NormFloat64()) }
	hardness, ratio := lognormal(k.hardness), lognormal(k.calciumShare)
	a := water.Analysis{
		MeasuredCelsius:        water.MainsCelsius,
		CalciumMgPerKg:         hardness * ratio / (1 + ratio) / water.MolarMassCalcite * water.MolarMassCalcium,
		MagnesiumMgPerKg:       hardness / (1 + ratio) / water.MolarMassCalcite * water.MolarMassMagnesium,
		AlkalinityMgPerKgCaCO3: lognormal(k.alkalinity),
		ChlorideMgPerKg:        lognormal(k.chloride),
		SodiumMgPerKg:          lognormal(k.sodium),
		SulfateMgPerKg:         lognormal(k.sulfate),
		NitrateMgPerKg:         lognormal(k.nitrate),
		PotassiumMgPerKg:       lognormal(k.potassium),
		SilicaMgPerKg:          lognormal(k.silica),
	}
	if k.alkalinityPerHardness {
		a.AlkalinityMgPerKgCaCO3 *= hardness
	}
	if k.sodiumPerChloride {
		a.SodiumMgPerKg *= a.ChlorideMgPerKg / water.MolarMassChlorine * water.MolarMassSodium
	}
	return a
}

// measure simulates a measurement of a water with the error its method is
// said to have.
func measure(r *rand.Rand, a water.Analysis, q water.Quantity, m water.Method) water.Measured {
	t := a.Totals()
	truth := quantityOf(q, &t, a.PH)
	out := water.Measured{Quantity: q, Value: truth, Unit: q.Unit(), Method: m}
	o, err := water.NewObservation(out)
	if err != nil {
		panic(err) // the test asked for what the method does not measure
	}
	switch m {
	case water.MethodStrip:
		// The nearest pad, seen through a blur.
		scale, origin := truth, 0.2
		if o.Floor > 0 {
			scale, origin = math.Log(truth+o.Floor), math.Log(o.Floor)
		}
		scale += o.Blur * r.NormFloat64()
		pad := origin + 2*o.HalfWidth*math.Max(0, math.Round((scale-origin)/(2*o.HalfWidth)))
		out.Value = pad
		if o.Floor > 0 {
			out.Value = math.Max(0, math.Exp(pad)-o.Floor)
		}
	case water.MethodDrop:
		out.Unit = water.GermanDegree
		drop, _ := q.Canonical(1, water.GermanDegree)
		out.Value = (truth + o.HalfWidth*(2*r.Float64()-1) + o.Blur*r.NormFloat64()) / drop
	default:
		out.Value = truth + o.Blur*r.NormFloat64()
	}
	out.Value = math.Max(out.Value, 0)
	return out
}
