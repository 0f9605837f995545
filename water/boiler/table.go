package boiler

import (
	"math"

	"limekeep/water"
	"limekeep/water/deposit"
	"limekeep/water/equilibrium"
)

// SteadyTable holds what one water does in a steam boiler at one temperature,
// over how far it is concentrated, over the share of the feed that leaves as
// steam and over the uncertainty of the thermodynamics, so that years of days
// can be looked up instead of solved. Between its knots it is within about 1 %
// of the calcium and 2 % of the magnesium fed of what Steady says.
//
// Whatever a boiler went through, its concentration says what its water would
// hold had nothing formed, and so how much must have formed for it to be at
// rest. Only the pressure of CO2 depends on more: it is taken as that of a
// boiler whose carbon goes up in proportion to its concentration.
type SteadyTable struct {
	feed    water.Totals
	factors [concentrations]float64 // knots of concentration, none beyond the model's reach
	cell    [offsets][concentrations][steamShares]steadyCell
}

// SteadyPoint is what a boiler does at one concentration.
type SteadyPoint struct {
	CalciteMmolPerKg   float64 // per kg fed
	AnhydriteMmolPerKg float64
	BruciteMmolPerKg   float64
	PH                 float64      // of the boiler water
	Water              water.Totals // in the boiler, mol/kg
}

// Tracer is a steam boiler of which only the concentration is followed,
// in multiples of the water that a SteadyTable was made for.
type Tracer struct {
	WaterKg       float64
	Concentration float64

	formed [3]float64 // mmol of each solid already formed out of a kg of this water
}

// steadyCell holds mmol of solids per kg fed, pH and mmol of carbon in a
// kilogram of the boiler water over its concentration. Where a solid does not
// form it holds, below zero, how much of it would dissolve: so the point from
// which it does form lies right between two knots, too.
type steadyCell [5]float64

const (
	offsets        = 3
	concentrations = len(knotFactors)
	steamShares    = len(knotShares)

	// SteadyMostSIOffset is the reach of a SteadyTable in the offset of the
	// saturation index of calcite, either way.
	SteadyMostSIOffset = 0.4
	// SteadyMostConcentration is its reach in concentration.
	SteadyMostConcentration = 40.0
)

// The knots. The solids per kg fed run nearly straight over 1/N, since what
// stays dissolved hardly changes; over the share of steam they bend where the
// first CO2 leaves, hence the logarithm. Choices of numerical method.
var (
	knotFactors = [...]float64{0.5, 1, 1.3, 1.8, 2.8, 5, 8.5, 16, SteadyMostConcentration}
	knotShares  = [...]float64{0, 0.01, 0.05, 0.2, 0.45, 0.9, 1.5}
)

const shareBend = 0.002

// NewSteadyTable works out the table of a feed at celsius, 100 to 140, with
// the solver, brucite forming or not. The error is the solver's.
func NewSteadyTable(s *equilibrium.Solver, feed water.Totals, celsius float64, brucite bool) (SteadyTable, error) {
	t := SteadyTable{feed: feed, factors: knotFactors}
	most := max(1, mostConcentration(&feed))
	for n := range t.factors {
		t.factors[n] = min(t.factors[n], most)
	}
	for o := range t.cell {
		offset := (float64(o) - 1) * SteadyMostSIOffset
		for n, factor := range t.factors {
			for g, share := range knotShares {
				if err := t.cell[o][n][g].fill(s, feed, celsius, factor, share, offset, brucite); err != nil {
					return t, err
				}
			}
		}
	}
	return t, nil
}

// fill works out a cell.
func (c *steadyCell) fill(s *equilibrium.Solver, feed water.Totals, celsius, factor, share, offset float64, brucite bool) error {
	p, err := s.SteamPrecipitation(feed, celsius, factor, factor*share, offset, brucite)
	if err != nil {
		return err
	}
	*c = steadyCell{
		p.CalciteMmolPerKg, p.AnhydriteMmolPerKg, p.BruciteMmolPerKg,
		p.Solution.PH, 1000 * p.Solution.Totals.Carbon / factor,
	}
	w := &p.Solution.Totals
	scale := -1000 / factor
	if c[0] == 0 {
		c[0] = scale * wanting(w.Calcium, w.Alkalinity, 2, p.Solution.SaturationIndex(equilibrium.Calcite)+offset)
	}
	if c[1] == 0 {
		c[1] = scale * wanting(w.Calcium, w.Sulfate, 1, p.Solution.SaturationIndex(equilibrium.Anhydrite))
	}
	if c[2] == 0 && brucite {
		c[2] = scale * wanting(w.Magnesium, w.Alkalinity, 2, p.Solution.SaturationIndex(equilibrium.Brucite))
	}
	return nil
}

// Most is the greatest concentration the table holds: SteadyMostConcentration,
// or less where the water becomes too salty for the model before.
func (t *SteadyTable) Most() float64 { return t.factors[len(t.factors)-1] }

// wanting estimates how many mol/kg of a solid would dissolve into undersaturated
// water until (cation + x)·(anion + times·x)^times has grown to what saturates
// it, times being 2 where the anion is made from alkalinity under a given
// pressure of CO2. It is exact at saturation, where it matters.
func wanting(cation, anion, times, index float64) float64 {
	if !(cation > 0 && anion > 0 && index < 0 && index > -20) {
		return 0
	}
	x := 0.0
	for range 40 { // of a concave function, so Newton's method comes from below
		f := math.Log1p(x/cation) + times*math.Log1p(times*x/anion) + index*math.Ln10
		step := -f / (1/(cation+x) + times*times/(anion+times*x))
		x += step
		if step < 1e-6*x {
			break
		}
	}
	return x
}

// Steady is the state a boiler settles in when it is concentrated n fold, 1 to
// Most: 1/n of the feed leaves as liquid.
func (t *SteadyTable) Steady(n, siOffset float64) SteadyPoint {
	n = min(max(n, 1), t.Most())
	return t.At(n, 1-1/n, siOffset)
}

// At is what a boiler does at concentration n while a share of its feed leaves
// as steam. Beyond the reach of the table its edge is taken.
func (t *SteadyTable) At(n, steamShare, siOffset float64) SteadyPoint {
	n = min(max(n, t.factors[0]), t.Most())
	return steadyPoint(t.feed, n, t.look(n, steamShare, siOffset))
}

// steadyPoint states what a cell says of a feed concentrated n fold.
func steadyPoint(feed water.Totals, n float64, c steadyCell) SteadyPoint {
	p := SteadyPoint{CalciteMmolPerKg: c[0], AnhydriteMmolPerKg: c[1], BruciteMmolPerKg: c[2], PH: c[3], Water: feed.Times(n)}
	p.Water.Calcium = max(0, p.Water.Calcium-n*(c[0]+c[1])/1000)
	p.Water.Sulfate = max(0, p.Water.Sulfate-n*c[1]/1000)
	p.Water.Magnesium = max(0, p.Water.Magnesium-n*c[2]/1000)
	p.Water.Alkalinity -= 2 * n * (c[0] + c[2]) / 1000
	p.Water.Carbon = n * c[4] / 1000
	return p
}

// look interpolates: straight over 1/n and the logarithm of the share of
// steam, by a parabola over the offset.
func (t *SteadyTable) look(n, steamShare, siOffset float64) steadyCell {
	i, x := knot(t.factors[:], n, func(n float64) float64 { return -1 / n })
	j, y := knot(knotShares[:], steamShare, func(g float64) float64 { return math.Log(g + shareBend) })
	z := min(max(siOffset/SteadyMostSIOffset, -1), 1)
	weights := [offsets]float64{z * (z - 1) / 2, 1 - z*z, z * (z + 1) / 2}
	var sum steadyCell
	for o, w := range weights {
		if w == 0 {
			continue
		}
		a, b := &t.cell[o][i], &t.cell[o][i+1]
		for k := range sum {
			low := a[j][k] + y*(a[j+1][k]-a[j][k])
			high := b[j][k] + y*(b[j+1][k]-b[j][k])
			sum[k] += w * (low + x*(high-low))
		}
	}
	for k := range 3 {
		sum[k] = max(0, sum[k])
	}
	return sum
}

// knot finds the interval of a value among rising knots and how far it lies in
// it on a bent scale, 0 to 1.
func knot(knots []float64, value float64, bend func(float64) float64) (int, float64) {
	value = min(max(value, knots[0]), knots[len(knots)-1])
	i := 0
	for i < len(knots)-2 && value > knots[i+1] {
		i++
	}
	low, high := bend(knots[i]), bend(knots[i+1])
	return i, (bend(value) - low) / (high - low)
}

// Advance takes a boiler through a day. feedConcentration is how concentrated
// the feed is against the water of the table, above 0, for a supply that
// drifts. The concentration is exact; solids form as far as the table says that
// the water is not at rest. The error is a *ValueError, as of Step.
func (t *SteadyTable) Advance(b Tracer, day Day, feedConcentration, siOffset float64) (Tracer, deposit.Solids, error) {
	var made deposit.Solids
	if err := day.check(b.WaterKg); err != nil {
		return b, made, err
	}
	if err := water.CheckRange("concentration of the feed", feedConcentration, 0.01, 100); err != nil {
		return b, made, err
	}
	even := min(day.FeedKg, day.HotWaterKg+day.SteamKg)
	if b.WaterKg > 0 {
		steps := day.steps(b.WaterKg)
		part := 1 / float64(steps)
		share := knotShares[len(knotShares)-1] // without a feed steam takes all CO2 there is
		if even > 0 {
			share = day.SteamKg / even / feedConcentration
		}
		left := b.WaterKg
		for range steps {
			from := left
			left += part * (even - day.HotWaterKg - day.SteamKg)
			kept, gained := dilution(from, left, day.HotWaterKg*part)
			b.blend(kept*from/left, feedConcentration*even*part*gained/left)
			b.lay(t, &made, share, siOffset, left/gained)
		}
		b.WaterKg = left
	}
	b.WaterKg = max(0, b.WaterKg-day.DrainKg)
	if refill := day.FeedKg - even; refill > 0 {
		full := b.WaterKg + refill
		b.blend(b.WaterKg/full, feedConcentration*refill/full)
		b.WaterKg = full
		b.lay(t, &made, 0, siOffset, full)
	}
	return b, made, nil
}

// blend keeps a share of what is in the water and adds to its concentration.
func (b *Tracer) blend(kept, added float64) {
	b.Concentration = b.Concentration*kept + added
	for k := range b.formed {
		b.formed[k] *= kept
	}
}

// lay lets form what the water at its present concentration must have lost. kg
// is the water that the solids count for.
func (b *Tracer) lay(t *SteadyTable, made *deposit.Solids, steamShare, siOffset, kg float64) {
	n := min(b.Concentration, t.Most())
	c := t.look(n, steamShare, siOffset)
	var mol [3]float64
	for k := range mol {
		lost := c[k] * n
		mol[k] = max(0, lost-b.formed[k]) * kg / 1000
		b.formed[k] = max(b.formed[k], lost)
	}
	*made = made.Plus(deposit.Solids{CalciteMol: mol[0], AnhydriteMol: mol[1], BruciteMol: mol[2]})
}

// mostConcentration is how far a water can be concentrated before it leaves the model.
func mostConcentration(t *water.Totals) float64 {
	const spare = 0.999
	most := water.MaxStrengthMol / t.FreeIonicStrength()
	for _, c := range [...]float64{t.Calcium, t.Magnesium, t.Sodium, t.Potassium, t.Chloride, t.Sulfate, t.Nitrate, t.Silica, t.Carbon, t.Alkalinity} {
		most = min(most, water.MaxTotalMol/math.Abs(c))
	}
	if t.Alkalinity < 0 {
		most = min(most, water.MinAlkalinityMol/t.Alkalinity)
	}
	return most * spare
}
