package inference

import (
	"math"

	"limekeep/water"
)

// proposal draws waters around the observations, dimension by dimension, and from
// the prior where nothing was read. It is a mixture over the kinds of prior.
type proposal struct {
	read    [latentCount]*normal // what observations say of a dimension; nil: nothing
	sodium  *normal              // what they say of sodium and of 2·sulfate
	sulfate *normal
}

// The uniforms of one round are used for: dimension 0, which proposal; 1 to 9,
// the latent dimensions.
const proposalFirstDim = 1

// newProposal looks at what the observations say of each dimension alone.
func newProposal(observations []water.Observation) proposal {
	by := map[water.Quantity]*water.Observation{}
	for i := range observations {
		by[observations[i].Quantity] = &observations[i]
	}
	amount := func(q water.Quantity, gramPerMol float64) *normal {
		r := by[q]
		if r == nil {
			return nil
		}
		mean, sd := r.Lognormal()
		return proposed(mean-math.Log(1000*gramPerMol), sd)
	}
	var p proposal
	p.read[latentAlkalinity] = amount(water.Alkalinity, water.EquivalentMassCaCO3)
	p.read[latentChloride] = amount(water.Chloride, water.MolarMassChlorine)
	p.read[latentNitrate] = amount(water.Nitrate, water.MolarMassNitrate)
	p.read[latentPotassium] = amount(water.Potassium, water.MolarMassPotassium)
	p.read[latentSilica] = amount(water.Silica, water.MolarMassSilica)
	p.sodium = amount(water.Sodium, water.MolarMassSodium)
	p.sulfate = amount(water.Sulfate, water.MolarMassSulfate/2)
	if r := by[water.PH]; r != nil {
		p.read[latentPH] = proposed(r.Value, 1.15*r.SD())
	}
	p.hardness(amount(water.Hardness, water.MolarMassCalcite), amount(water.Calcium, water.MolarMassCalcium), amount(water.Magnesium, water.MolarMassMagnesium))
	return p
}

// hardness joins what is known of hardness, calcium and magnesium, each a
// logarithm of mol/kg.
func (p *proposal) hardness(both, ca, mg *normal) {
	switch {
	case ca != nil && mg != nil:
		sum := math.Log(math.Exp(ca.mean) + math.Exp(mg.mean))
		share := math.Exp(ca.mean - sum)
		if both == nil {
			both = proposed(sum, math.Hypot(share*ca.sd, (1-share)*mg.sd))
		}
		p.read[latentCalcium] = proposed(ca.mean-mg.mean, math.Min(math.Hypot(ca.sd, mg.sd), 1.2))
	case both != nil && (ca != nil || mg != nil):
		one, sign := ca, 1.0
		if ca == nil {
			one, sign = mg, -1.0
		}
		share := math.Exp(one.mean - both.mean)
		share = math.Min(math.Max(share, 0.02), 0.98)
		sd := math.Hypot(one.sd, both.sd) / (1 - share)
		p.read[latentCalcium] = proposed(sign*math.Log(share/(1-share)), math.Min(math.Max(sd, 0.05), 1.2))
	case ca != nil: // three quarters to nine tenths of hardness is usual
		both = proposed(ca.mean+0.25, math.Hypot(ca.sd, 0.2))
	case mg != nil:
		both = proposed(mg.mean+1.5, math.Hypot(mg.sd, 0.6))
	}
	p.read[latentHardness] = both
}

// proposed is a normal to be drawn from.
func proposed(mean, sd float64) *normal {
	n := newNormal(mean, sd)
	return &n
}

// given is the normal a dimension is drawn from, given the dimensions before
// it.
func (p *proposal) given(f *priorForm, dim int, z *latent) normal {
	if r := p.read[dim]; r != nil {
		return *r
	}
	if dim == latentAlkalinity {
		return f.alkalinity(z)
	}
	return f.dims[dim]
}

// closer is the normal the free one of sodium and sulfate is drawn from.
func (p *proposal) closer(f *priorForm, z *latent, excess float64) normal {
	switch {
	case excess > 0 && p.sodium != nil:
		return *p.sodium
	case excess > 0:
		return f.sodiumGiven(z)
	case p.sulfate != nil:
		return *p.sulfate
	}
	return f.sulfate
}

// ph is the normal the pH is drawn from; expected is the prior's.
func (p *proposal) ph(f *priorForm, expected float64) normal {
	if r := p.read[latentPH]; r != nil {
		return *r
	}
	return f.dims[latentPH].moved(expected)
}

// proposalDims are the dimensions drawn one by one, in an order in which each
// depends only on those before.
var proposalDims = [...]int{latentHardness, latentCalcium, latentAlkalinity, latentChloride, latentNitrate, latentPotassium, latentSilica}

// draw fills z; pick chooses the kind of water, u gives the uniforms.
func (p *proposal) draw(pick float64, u func(dim int) float64, z *latent) {
	f := &priorForms[len(priorForms)-1]
	for i := range priorForms {
		if share := priorForms[i].kind.share; pick >= share {
			pick -= share
			continue
		}
		f = &priorForms[i]
		break
	}
	for _, dim := range proposalDims {
		z[dim] = p.given(f, dim, z).at(u(proposalFirstDim + dim))
	}
	var t water.Totals
	excess := z.unbalanced(&t)
	z[latentCloser] = p.closer(f, z, excess).at(u(proposalFirstDim + latentCloser))
	z[latentPH] = p.ph(f, priorPH(&t)).at(u(proposalFirstDim + latentPH))
}

// logDensity is the logarithm of the density z is drawn with; t is its totals
// and excess the charge that sodium and sulfate close.
func (p *proposal) logDensity(z *latent, t *water.Totals, excess float64) float64 {
	expected := priorPH(t)
	var logs [len(priorForms)]float64
	for i := range priorForms {
		f := &priorForms[i]
		l := f.logShare
		for _, dim := range proposalDims {
			l += p.given(f, dim, z).logDensity(z[dim])
		}
		l += p.closer(f, z, excess).logDensity(z[latentCloser])
		logs[i] = l + p.ph(f, expected).logDensity(z[latentPH])
	}
	return logSum(logs[:])
}
