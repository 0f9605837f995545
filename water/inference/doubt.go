package inference

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"limekeep/water"
	"limekeep/water/conductivity"
)

// Doubt is a remark on a water test: something in it is possible, but
// unlikely enough to measure again or to be worth knowing.
type Doubt struct {
	Code     DoubtCode
	Quantity water.Quantity // which value to measure again
	Sentence string         // plain English, with the numbers
}

// DoubtCode says what kind of doubt it is.
type DoubtCode string

// The kinds of doubt.
const (
	DoubtChargeBalance DoubtCode = "charge balance"          // cations and anions do not add up
	DoubtConductivity  DoubtCode = "conductivity"            // too low for the ions measured
	DoubtAlkalinity    DoubtCode = "alkalinity and hardness" // alkalinity above hardness
	DoubtDrinking      DoubtCode = "drinking water"          // unusual or not allowed in drinking water
	DoubtFit           DoubtCode = "fit"                     // the values agree badly as a whole
)

const (
	// A balance off by more than this share of the sum of ions is remarked
	// on: Standard Methods for the Examination of Water and Wastewater, 1030
	// E, allows 5 % above 10 meq/L of anions and less below (from memory).
	balanceShare = 0.05
	// Differences count when they exceed so many standard deviations
	// (assumption).
	doubtSpreads = 2.5
	// Alkalinity this far above hardness is rare without treatment
	// (assumption; rain on limestone gives less than hardness).
	alkalinityRatio = 1.2
	// Minus twice the log-likelihood of the best water of a set beyond which
	// the values fit badly: three standard deviations (assumption).
	fitDeviance = 9.0
)

// Judge looks for values that contradict each other or are out of the
// ordinary. The test must have passed Validate and the set be the one inferred
// from it; an empty set leaves the fit unjudged. Doubts come sorted by code
// and quantity, at most one of a code for a quantity.
func Judge(t water.Test, set Set) []Doubt {
	observations, err := t.Observations()
	if err != nil {
		return nil
	}
	j := judge{test: t, set: set, by: map[water.Quantity]water.Observation{}}
	for _, r := range observations {
		j.by[r.Quantity] = r
	}
	j.drinking()
	j.chargeBalance()
	j.conductivity()
	j.alkalinity()
	j.fit(observations)
	sort.SliceStable(j.doubts, func(a, b int) bool {
		x, y := j.doubts[a], j.doubts[b]
		if x.Code != y.Code {
			return x.Code < y.Code
		}
		return x.Quantity < y.Quantity
	})
	return j.doubts
}

// judge gathers doubts.
type judge struct {
	test   water.Test
	set    Set
	by     map[water.Quantity]water.Observation
	doubts []Doubt
}

// add records a doubt.
func (j *judge) add(code DoubtCode, q water.Quantity, format string, args ...any) {
	j.doubts = append(j.doubts, Doubt{code, q, fmt.Sprintf(format, args...)})
}

// drinking remarks on values out of the range of drinking water.
func (j *judge) drinking() {
	for _, m := range j.test.Values {
		v, err := m.Quantity.Canonical(m.Value, m.Unit)
		if err != nil {
			continue
		}
		low, high, source := m.Quantity.Drinking()
		side, limit := "above", high
		switch {
		case v < low:
			side, limit = "below", low
		case v <= high:
			continue
		}
		limit, _ = m.Quantity.In(limit, m.Unit) // the unit was validated
		j.add(DoubtDrinking, m.Quantity, "%s of %.4g %s is %s %.4g %s (%s): measure it again, and if it holds, treat the water or ask the supplier",
			m.Quantity, m.Value, m.Unit, side, limit, m.Unit, source)
	}
}

// balanceIon is an ion of the charge balance.
type balanceIon struct {
	quantity   water.Quantity
	mgPerMeq   float64
	cation     bool
	unmeasured float64 // mg/L where it may be left out: the median of the prior
	optional   bool
}

// balanceIons: hardness stands for calcium and magnesium where it was measured.
var balanceIons = [...]balanceIon{
	{water.Hardness, water.EquivalentMassCaCO3, true, 0, false},
	{water.Sodium, water.MolarMassSodium, true, 0, false},
	{water.Potassium, water.MolarMassPotassium, true, priorKinds[0].potassium.median, true},
	{water.Alkalinity, water.EquivalentMassCaCO3, false, 0, false},
	{water.Chloride, water.MolarMassChlorine, false, 0, false},
	{water.Sulfate, water.MolarMassSulfate / 2, false, 0, false},
	{water.Nitrate, water.MolarMassNitrate, false, priorKinds[0].nitrate.median, true},
}

// chargeBalance compares cations with anions once all the main ions were
// measured.
func (j *judge) chargeBalance() {
	var cations, anions, variance, widest float64
	var vaguest water.Quantity
	for _, ion := range balanceIons {
		value, sd, ok := j.measured(ion.quantity)
		if !ok {
			if !ion.optional {
				return
			}
			value, sd = ion.unmeasured, ion.unmeasured
		}
		meq, spread := value/ion.mgPerMeq, sd/ion.mgPerMeq
		if ion.cation {
			cations += meq
		} else {
			anions += meq
		}
		variance += spread * spread
		if ok && spread > widest {
			widest, vaguest = spread, ion.quantity
		}
	}
	off := cations - anions
	if math.Abs(off) <= max(doubtSpreads*math.Sqrt(variance), balanceShare*(cations+anions)) {
		return
	}
	j.add(DoubtChargeBalance, vaguest,
		"cations come to %.2f meq/L and anions to %.2f: %.0f %% apart, where a good analysis balances within %.0f %%; measure %s again first, the vaguest of them",
		cations, anions, 100*math.Abs(off)/(cations+anions), 100*balanceShare, vaguest)
}

// measured is a value and its spread, hardness put together from calcium and
// magnesium where only those were measured.
func (j *judge) measured(q water.Quantity) (value, sd float64, ok bool) {
	if r, ok := j.by[q]; ok {
		return r.Value, r.SD(), true
	}
	ca, okCa := j.by[water.Calcium]
	mg, okMg := j.by[water.Magnesium]
	if q != water.Hardness || !okCa || !okMg {
		return 0, 0, false
	}
	const perCa, perMg = water.MolarMassCalcite / water.MolarMassCalcium, water.MolarMassCalcite / water.MolarMassMagnesium
	return ca.Value*perCa + mg.Value*perMg, math.Hypot(ca.SD()*perCa, mg.SD()*perMg), true
}

// conductivity asks whether what was measured would conduct more than was
// measured: the least that hardness and alkalinity can come with is sulfate
// or sodium to balance them.
func (j *judge) conductivity() {
	r, ok := j.by[water.Conductivity]
	if !ok {
		return
	}
	hardness, hardnessSD, _ := j.measured(water.Hardness)
	alkalinity, alkalinitySD, _ := j.measured(water.Alkalinity)
	least := leastConductivity(hardness, alkalinity)
	slack := leastConductivity(hardness+hardnessSD, alkalinity+alkalinitySD) - least
	if r.Value+doubtSpreads*math.Hypot(r.SD(), slack) >= least {
		return
	}
	j.add(DoubtConductivity, water.Conductivity,
		"a conductivity of %.4g µS/cm is too low: hardness of %.4g and alkalinity of %.4g mg/L CaCO3 alone conduct about %.3g; measure the conductivity again, at 25 °C or with compensation, then the hardness",
		r.Value, hardness, alkalinity, least)
}

// leastConductivity is the conductivity, µS/cm, of hardness and
// alkalinity, mg/L CaCO3, with nothing but what balances them.
func leastConductivity(hardness, alkalinity float64) float64 {
	t := water.Totals{Calcium: hardness / (1000 * water.MolarMassCalcite), Alkalinity: alkalinity / (1000 * water.EquivalentMassCaCO3)}
	if excess := t.ChargeBalance(); excess > 0 {
		t.Sulfate = excess / 2
	} else {
		t.Sodium = -excess
	}
	return conductivity.TotalsAt25(&t, 7.5)
}

// alkalinity asks about alkalinity above hardness.
func (j *judge) alkalinity() {
	hardness, hardnessSD, okH := j.measured(water.Hardness)
	alkalinity, alkalinitySD, okA := j.measured(water.Alkalinity)
	if !okH || !okA || alkalinity <= alkalinityRatio*hardness ||
		alkalinity-hardness <= doubtSpreads*math.Hypot(hardnessSD, alkalinitySD) {
		return
	}
	if sodium, _, ok := j.measured(water.Sodium); ok && sodium/water.MolarMassSodium >= 0.8*(alkalinity-hardness)/water.EquivalentMassCaCO3 {
		return // explained
	}
	j.add(DoubtAlkalinity, water.Hardness,
		"alkalinity of %.4g is above hardness of %.4g mg/L CaCO3: usual only behind a softener or in water rich in sodium; if neither is so, the two may have been swapped: measure the hardness again",
		alkalinity, hardness)
}

// fit asks how well the best water of the set explains all values together,
// and names the vaguest of the values that the waters of the set explain badly, on the
// average, unless that has been named already.
func (j *judge) fit(observations []water.Observation) {
	best, nearest := math.Inf(1), make([]float64, len(observations))
	off := make([]float64, len(observations)) // over all waters
	truth := make([]float64, len(observations))
	for i, a := range j.set.Analyses {
		t := a.Totals()
		var sum float64
		for k := range observations {
			truth[k] = quantityOf(observations[k].Quantity, &t, a.PH)
			d := -2 * observations[k].LogLikelihood(truth[k])
			sum += d
			off[k] += j.set.Weights[i] * d
		}
		if sum < best {
			best = sum
			copy(nearest, truth)
		}
	}
	if math.IsInf(best, 1) || best <= fitDeviance+float64(len(observations)-1) {
		return
	}
	const badly = 0.5 // of the worst
	most := slices.Max(off)
	worst, vague := 0, -1.0
	for k, o := range observations {
		if v := o.SD() / math.Max(math.Abs(o.Value), o.SD()); off[k] >= badly*most && v > vague {
			worst, vague = k, v
		}
	}
	r := observations[worst]
	for _, d := range j.doubts {
		if d.Quantity == r.Quantity && d.Code != DoubtDrinking {
			return
		}
	}
	m := j.test.Value(r.Quantity)
	found, _ := r.Quantity.In(nearest[worst], m.Unit) // the unit was validated
	j.add(DoubtFit, r.Quantity, "%s of %.4g %s fits the other values badly: the nearest water that has them all would read %.4g %s; measure it again",
		r.Quantity, m.Value, m.Unit, found, m.Unit)
}
