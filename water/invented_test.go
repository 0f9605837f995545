package water

import (
	"math"
	"math/rand/v2"
)

// keyedUniform gives uniforms in (0, 1) that depend on nothing but seed and
// key: two rounds of the finaliser of MurmurHash3.
func keyedUniform(seed uint64) func(i, dim int) float64 {
	mix := func(x uint64) uint64 {
		x ^= x >> 33
		x *= 0xff51afd7ed558ccd
		x ^= x >> 33
		x *= 0xc4ceb9fe1a85ec53
		return x ^ x>>33
	}
	return func(i, dim int) float64 {
		x := mix(mix(seed+uint64(i)*0x9e3779b97f4a7c15) + uint64(dim))
		return (float64(x>>11) + 0.5) / (1 << 53)
	}
}

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
		return analysisOf(&t, testDefaultCelsius, ph)
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
	switch q {
	case Conductivity:
		truth *= 1 + readingConductivityModel*r.NormFloat64()
	case TDS:
		truth *= 1 + readingSolidsModel*r.NormFloat64()
	}
	out := Measured{Quantity: q, Unit: q.Unit(), Method: m}
	switch m {
	case MethodStrip:
		// The nearest pad, seen through a blur.
		s := methodStrips[q]
		scale, origin := truth, 0.2
		if s.floor > 0 {
			scale, origin = math.Log(truth+s.floor), math.Log(s.floor)
		}
		scale += s.half * methodStripBlur * r.NormFloat64()
		pad := origin + 2*s.half*math.Max(0, math.Round((scale-origin)/(2*s.half)))
		out.Value = pad
		if s.floor > 0 {
			out.Value = math.Max(0, math.Exp(pad)-s.floor)
		}
	case MethodDrop:
		out.Unit = GermanDegree
		drop, _ := q.Canonical(1, GermanDegree)
		out.Value = truth/drop*(1+methodDropSizeBlur*r.NormFloat64()) + 2*r.Float64() - 1 + methodDropBlur*r.NormFloat64()
	default:
		table := methodMeters
		if m == MethodLaboratory {
			table = methodLaboratories
		}
		out.Value = truth + math.Hypot(table[q].share*truth, table[q].floor)*r.NormFloat64()
	}
	out.Value = math.Max(out.Value, 0)
	return out
}
