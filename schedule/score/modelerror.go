package score

import (
	"math"

	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// ModelError is the error of the model at a place beyond the spread of its inputs,
// as a log standard deviation of the scale that is laid down.
type ModelError struct {
	LogSD    float64 `json:"log_sd"`
	Low      float64 `json:"low"` // 10 and 90 % points of what is known of it
	High     float64 `json:"high"`
	Findings int     `json:"findings"` // of scale that it was learnt from
}

// Bounds and prior of the error. It cannot fall below what databases of
// thermodynamics alone differ by at boiler temperatures, and a place where it were
// more than twice what is assumed of any has something wrong with its records. The
// prior puts eight places in ten between 0.19 and 0.48, two thirds of it and half as
// much again, since nobody has measured it. Assumptions.
const (
	LeastLogSD  = wear.ModelLogSD / 2
	MostLogSD   = wear.ModelLogSD * 2
	priorLogSD  = 0.36
	errorPoints = 41 // of the grid; a choice of numerical method
)

// Learn learns the error of the model from what was found of scale. What is found
// next, given all before, multiplies to how well an error explains the whole story
// (Dawid 1984, Journal of the Royal Statistical Society A 147), so that each
// finding counts once, against the forecast of its own day. A forecast that was made
// with one error is carried over to another by the spread that it would then have
// had. Without findings it is what is assumed of any place.
func Learn(cases []Case) ModelError {
	logs, weights := make([]float64, errorPoints), make([]float64, errorPoints)
	for i := range logs {
		logs[i] = math.Log(LeastLogSD) + float64(i)/(errorPoints-1)*math.Log(MostLogSD/LeastLogSD)
		z := (logs[i] - math.Log(wear.ModelLogSD)) / priorLogSD
		weights[i] = -z * z / 2
	}
	e := ModelError{}
	for _, c := range cases {
		if c.Kind != wear.ExpectedScale || c.logVariance <= 0 {
			continue
		}
		e.Findings++
		for i, log := range logs {
			weights[i] += math.Log(c.under(math.Exp(log)))
		}
	}
	most := math.Inf(-1)
	for _, w := range weights {
		most = max(most, w)
	}
	total, mean := 0.0, 0.0
	for i := range weights {
		weights[i] = math.Exp(weights[i] - most)
		total += weights[i]
		mean += weights[i] * logs[i]
	}
	e.LogSD = math.Exp(mean / total)
	in := figure.OverWeighted(logs, weights)
	e.Low, e.High = math.Exp(in.Low), math.Exp(in.High)
	if e.Findings == 0 {
		e.LogSD = wear.ModelLogSD
	}
	return e
}

// How likely a finding of scale is a mistake, which says nothing of the model.
const mistaken = 0.05

// under returns how likely what was found is, up to a factor, had the model that
// error.
func (c Case) under(logSD float64) float64 {
	of := func(share float64) float64 { return figure.NormalQuantile(min(max(share, 1e-9), 1-1e-9)) }
	without := max(c.logVariance-c.modelLogSD*c.modelLogSD, leastVariance)
	wider := math.Sqrt((without + logSD*logSD) / (without + c.modelLogSD*c.modelLogSD))
	if c.Stretch.To-c.Stretch.From < 1e-9 {
		z := of(c.Stretch.From) / wider
		return (1-mistaken)*math.Exp(-z*z/2)/wider + mistaken*math.Exp(-2)
	}
	chance := figure.NormalBelow(of(c.Stretch.To)/wider) - figure.NormalBelow(of(c.Stretch.From)/wider)
	return (1-mistaken)*chance + mistaken/float64(max(len(c.Chances), 1))
}

// leastVariance is what any finding of scale is at least off by, beside the error
// of the model: the square of what scales are.
const leastVariance = wear.ScaleGramsLogSD * wear.ScaleGramsLogSD
