package inference

import (
	"math"

	"limekeep/water/figure"
)

// gaussianFit is a mixture of normals about one mean, with a covariance of
// its own scaled up by degrees so that its tails are heavier than a normal's.
type gaussianFit struct {
	mean   latent
	lower  [latentCount][latentCount]float64 // Cholesky factor
	logDet float64                           // of the factor
}

// gaussianScales are the members of the mixture: share and scale.
var gaussianScales = [...]struct{ share, scale float64 }{{0.7, 1.05}, {0.25, 1.6}, {0.05, 3}}

// gaussianLeastSD keeps the covariance of a few lucky draws from collapsing.
const gaussianLeastSD = 0.003

// fitGaussian fits weighted points; ok is false when nothing counts.
func fitGaussian(z []latent, ws []float64) (fit *gaussianFit, ok bool) {
	if ws == nil {
		return nil, false
	}
	fit = &gaussianFit{}
	for i, w := range ws {
		for d, x := range z[i] {
			fit.mean[d] += w * x
		}
	}
	var cov [latentCount][latentCount]float64
	for i, w := range ws {
		if w == 0 {
			continue
		}
		for a := range cov {
			da := z[i][a] - fit.mean[a]
			for b := range a + 1 {
				cov[a][b] += w * da * (z[i][b] - fit.mean[b])
			}
		}
	}
	for a := range cov {
		cov[a][a] = cov[a][a]*1.02 + gaussianLeastSD*gaussianLeastSD
	}
	return fit, fit.factor(&cov)
}

// factor is Cholesky's decomposition of the lower triangle of cov.
func (g *gaussianFit) factor(cov *[latentCount][latentCount]float64) bool {
	for a := range cov {
		for b := range a + 1 {
			sum := cov[a][b]
			for k := range b {
				sum -= g.lower[a][k] * g.lower[b][k]
			}
			if a != b {
				g.lower[a][b] = sum / g.lower[b][b]
				continue
			}
			if !(sum > 0) {
				return false
			}
			g.lower[a][a] = math.Sqrt(sum)
			g.logDet += math.Log(g.lower[a][a])
		}
	}
	return true
}

// draw fills z; pick chooses the scale.
func (g *gaussianFit) draw(pick float64, u func(dim int) float64, z *latent) {
	scale := gaussianScales[len(gaussianScales)-1].scale
	for _, s := range gaussianScales {
		if pick < s.share {
			scale = s.scale
			break
		}
		pick -= s.share
	}
	var n latent
	for d := range n {
		n[d] = scale * figure.NormalQuantile(u(proposalFirstDim+d))
	}
	*z = g.mean
	for a := range z {
		for b := range a + 1 {
			z[a] += g.lower[a][b] * n[b]
		}
	}
}

// logDensity is the logarithm of the density, without the power of 2π that
// normal leaves out too.
func (g *gaussianFit) logDensity(z *latent) float64 {
	var n latent
	var square float64
	for a := range n {
		sum := z[a] - g.mean[a]
		for b := range a {
			sum -= g.lower[a][b] * n[b]
		}
		n[a] = sum / g.lower[a][a]
		square += n[a] * n[a]
	}
	var logs [len(gaussianScales)]float64
	for i, s := range gaussianScales {
		logs[i] = math.Log(s.share) - square/(2*s.scale*s.scale) - latentCount*math.Log(s.scale)
	}
	return logSum(logs[:]) - g.logDet
}
