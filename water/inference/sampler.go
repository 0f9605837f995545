package inference

import (
	"math"

	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/figure"
)

// sampler draws unknown waters in proportion to how well they agree with a
// test: importance sampling from a first proposal built of the observations and
// the prior, then, where that wastes too much, from a fit to what it found
// (population Monte Carlo: Cappé, Guillin, Marin and Robert 2004, J. Comput.
// Graph. Stat. 13, 907).
type sampler struct {
	observations []water.Observation
	domain       domain
	first        proposal
	size         int
	uniform      func(i, dim int) float64
}

// samplePool is a weighted sample in the latent dimensions.
type samplePool struct {
	z         []latent
	logWeight []float64
	agreement []float64 // logarithm of the likelihood of the observations alone
	round     int       // whose uniforms drew it
}

// Each round uses its own block of dimensions of the uniforms.
const (
	sampleDims   = 16
	sampleRounds = 10
	// A round is good enough when its effective size is this share of the
	// pool; the fit is made on weights flattened until they reach the other.
	sampleGoodShare = 0.15
	sampleFitShare  = 0.08
	// Share of later rounds still drawn from the first proposal, so that no
	// part of the prior is ever out of reach.
	sampleFirstShare = 0.10
)

// newSampler prepares to draw size waters agreeing with observations, whose pH
// holds at the temperature assumed of mains water.
func newSampler(observations []water.Observation, size int, u func(i, dim int) float64) *sampler {
	return &sampler{observations: observations, domain: newDomain(water.MainsCelsius), first: newProposal(observations), size: size, uniform: u}
}

// at sets the temperature the pH holds at.
func (s *sampler) at(celsius float64) *sampler {
	s.domain = newDomain(celsius)
	return s
}

// run draws rounds until one is good enough and returns the best.
func (s *sampler) run() samplePool {
	best := s.draw(0, nil)
	bestSize := best.effectiveSize()
	for round := 1; round < sampleRounds && bestSize < sampleGoodShare*float64(s.size); round++ {
		fit, ok := fitGaussian(best.z, best.flattened(sampleFitShare*float64(s.size)))
		if !ok {
			break
		}
		next := s.draw(round, fit)
		size := next.effectiveSize()
		// While weights are still flattened the fit is on its way, and a
		// later round is the better start even where it counts for less.
		if size > bestSize || bestSize < sampleFitShare*float64(s.size) {
			best, bestSize = next, size
		}
	}
	return best
}

// draw makes one round: from the first proposal alone when fit is nil, else
// from the mixture.
func (s *sampler) draw(round int, fit *gaussianFit) samplePool {
	p := samplePool{
		z:         make([]latent, s.size),
		logWeight: make([]float64, s.size),
		agreement: make([]float64, s.size),
		round:     round,
	}
	for i := range p.z {
		u := func(dim int) float64 { return openUniform(s.uniform(i, round*sampleDims+dim)) }
		z := &p.z[i]
		pick := u(0)
		if fit == nil {
			s.first.draw(pick, u, z)
		} else if pick < sampleFirstShare {
			s.first.draw(pick/sampleFirstShare, u, z)
		} else {
			fit.draw((pick-sampleFirstShare)/(1-sampleFirstShare), u, z)
		}
		p.logWeight[i], p.agreement[i] = math.Inf(-1), math.Inf(-1)
		var t water.Totals
		excess := z.totals(&t)
		if !s.domain.contains(&t, z[latentPH]) {
			continue
		}
		logQ := s.first.logDensity(z, &t, excess)
		if fit != nil {
			logs := [...]float64{math.Log(sampleFirstShare) + logQ, math.Log(1-sampleFirstShare) + fit.logDensity(z)}
			logQ = logSum(logs[:])
		}
		p.agreement[i] = logAgreement(s.observations, &t, z[latentPH])
		w := priorLogDensity(z, &t) + p.agreement[i] - logQ
		if !math.IsNaN(w) {
			p.logWeight[i] = w
		}
	}
	return p
}

// logAgreement is the logarithm of the likelihood of all observations.
func logAgreement(observations []water.Observation, t *water.Totals, ph float64) float64 {
	var sum float64
	for i := range observations {
		sum += observations[i].LogLikelihood(quantityOf(observations[i].Quantity, t, ph))
	}
	return sum
}

// quantityOf is the value of a quantity, in its canonical unit, of a water.
func quantityOf(q water.Quantity, t *water.Totals, ph float64) float64 {
	switch q {
	case water.Hardness:
		return 1000 * water.MolarMassCalcite * (t.Calcium + t.Magnesium)
	case water.Calcium:
		return 1000 * water.MolarMassCalcium * t.Calcium
	case water.Magnesium:
		return 1000 * water.MolarMassMagnesium * t.Magnesium
	case water.Alkalinity:
		return 1000 * water.EquivalentMassCaCO3 * t.Alkalinity
	case water.PH:
		return ph
	case water.Conductivity:
		return conductivity.TotalsAt25(t, ph)
	case water.TDS:
		return conductivity.TotalsDissolvedSolids(t)
	case water.Sodium:
		return 1000 * water.MolarMassSodium * t.Sodium
	case water.Potassium:
		return 1000 * water.MolarMassPotassium * t.Potassium
	case water.Chloride:
		return 1000 * water.MolarMassChlorine * t.Chloride
	case water.Sulfate:
		return 1000 * water.MolarMassSulfate * t.Sulfate
	case water.Nitrate:
		return 1000 * water.MolarMassNitrate * t.Nitrate
	case water.Silica:
		return 1000 * water.MolarMassSilica * t.Silica
	}
	return math.NaN()
}

// weights turns logarithms into weights of sum 1, raised to power beta first;
// nil when no member counts.
func (p *samplePool) weights(beta float64) []float64 {
	top := math.Inf(-1)
	for _, l := range p.logWeight {
		top = math.Max(top, l)
	}
	if math.IsInf(top, 0) {
		return nil
	}
	ws := make([]float64, len(p.logWeight))
	var sum float64
	for i, l := range p.logWeight {
		ws[i] = math.Exp(beta * (l - top))
		sum += ws[i]
	}
	for i := range ws {
		ws[i] /= sum
	}
	return ws
}

// logEvidence is the logarithm of the mean weight: how probable the observations
// are before any is known, but for a factor common to all pools.
func (p *samplePool) logEvidence() float64 {
	return logSum(p.logWeight) - math.Log(float64(len(p.logWeight)))
}

// effectiveSize is Kish's: how many equally weighted draws it is worth.
func (p *samplePool) effectiveSize() float64 { return kish(p.weights(1)) }

// flattened is the weights raised to the highest power, at most 1, that keeps
// the effective size at least at least.
func (p *samplePool) flattened(least float64) []float64 {
	beta, step := 1.0, 0.5
	if p.effectiveSize() >= least {
		return p.weights(1)
	}
	for range 30 {
		if kish(p.weights(beta)) >= least {
			beta += step
		} else {
			beta -= step
		}
		step /= 2
	}
	return p.weights(beta)
}

// closest is the highest agreement any member of the pool reaches, and that
// member.
func (p *samplePool) closest() (agreement float64, z latent) {
	agreement = math.Inf(-1)
	for i, a := range p.agreement {
		if a > agreement {
			agreement, z = a, p.z[i]
		}
	}
	return agreement, z
}

// quantile is the p-quantile of a quantity over the pool.
func (p *samplePool) quantile(share float64, q water.Quantity) float64 {
	ws := p.weights(1)
	values := make([]float64, len(p.z))
	for i := range p.z {
		var t water.Totals
		p.z[i].totals(&t)
		values[i] = quantityOf(q, &t, p.z[i][latentPH])
	}
	return figure.NewWeighted(values, ws).Quantile(share)
}

// kish is (Σw)²/Σw² for weights of sum 1 (Kish 1965, Survey Sampling).
func kish(ws []float64) float64 {
	var squares float64
	for _, w := range ws {
		squares += w * w
	}
	if squares == 0 {
		return 0
	}
	return 1 / squares
}

// openUniform keeps a uniform strictly inside (0, 1).
func openUniform(u float64) float64 {
	const edge = 1e-9
	if !(u > edge) { // also NaN
		return edge
	}
	return math.Min(u, 1-edge)
}
