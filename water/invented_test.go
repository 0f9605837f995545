package water

import (
	"math"
	"math/rand/v2"
)

// inventedWater draws a water from the prior without using the sampler: ions
// one by one from the table, thrown away until they happen to balance.
func inventedWater(r *rand.Rand) Analysis {
	kind, pick := 0, r.Float64()
	for kind < len(priorKinds)-1 && pick >= priorKinds[kind].share {
		pick -= priorKinds[kind].share
		kind++
	}
	k := priorKinds[kind]
	for {
		a := inventedIons(r, k)
		t := a.totals()
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
		return t.Analysis(testDefaultCelsius, ph)
	}
}

// inventedIons draws every ion of a kind of water, balanced or not.
func inventedIons(r *rand.Rand, k priorKind) Analysis {
	lognormal := func(a priorAmount) float64 { return a.median * math.Exp(a.logSD*r.NormFloat64()) }
	hardness, ratio := lognormal(k.hardness), lognormal(k.calciumShare)
	a := Analysis{
		MeasuredCelsius:        testDefaultCelsius,
		CalciumMgPerKg:         hardness * ratio / (1 + ratio) / MolarMassCalcite * molarMassCalcium,
		MagnesiumMgPerKg:       hardness / (1 + ratio) / MolarMassCalcite * molarMassMagnesium,
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
		a.SodiumMgPerKg *= a.ChlorideMgPerKg / molarMassChlorine * molarMassSodium
	}
	return a
}

// measure simulates a measurement of a water with the error its method is
// said to have.
func measure(r *rand.Rand, a Analysis, q Quantity, m Method) Measured {
	t := a.totals()
	truth := quantityOf(q, &t, a.PH)
	out := Measured{Quantity: q, Value: truth, Unit: q.Unit(), Method: m}
	o, err := newReading(out)
	if err != nil {
		panic(err) // the test asked for what the method does not measure
	}
	switch m {
	case MethodStrip:
		// The nearest pad, seen through a blur.
		scale, origin := truth, 0.2
		if o.floor > 0 {
			scale, origin = math.Log(truth+o.floor), math.Log(o.floor)
		}
		scale += o.blur * r.NormFloat64()
		pad := origin + 2*o.half*math.Max(0, math.Round((scale-origin)/(2*o.half)))
		out.Value = pad
		if o.floor > 0 {
			out.Value = math.Max(0, math.Exp(pad)-o.floor)
		}
	case MethodDrop:
		out.Unit = GermanDegree
		drop, _ := q.Canonical(1, GermanDegree)
		out.Value = (truth + o.half*(2*r.Float64()-1) + o.blur*r.NormFloat64()) / drop
	default:
		out.Value = truth + o.blur*r.NormFloat64()
	}
	out.Value = math.Max(out.Value, 0)
	return out
}
