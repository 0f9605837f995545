package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// posterior is the distribution of one block's unknown on a grid of equal
// shares of its prior, so that it never leaves what the prior allows.
type posterior struct {
	prior   figure.Percentiles
	weights [gridSize]float64 // of the cells, summing to 1
}

// gridSize is the number of cells; each holds 1/gridSize of the prior.
const gridSize = 64

func newPosterior(prior figure.Percentiles) *posterior {
	p := &posterior{prior: prior}
	for i := range p.weights {
		p.weights[i] = 1.0 / gridSize
	}
	return p
}

// center is the share of the prior in the middle of a cell.
func center(cell int) float64 { return (float64(cell) + 0.5) / gridSize }

// observation is what a service found, with the state it met in one world.
type observation struct {
	state   State
	found   record.Service
	service int64 // record of the service
	on      record.Date

	// Of what nobody expected: how likely something believed is wrong, and what then
	// is to be thought of the unknown; see surprise.go.
	wrong, tilt, typical, level float64
	part                        int // how many parts came before the one that it was found of
}

// learn weighs each cell by how well it explains all that was found: the
// product over the services in a world, then the mean over the worlds, since
// use and water hold still from one service to the next.
func (p *posterior) learn(g Gauge, worlds [][]observation) {
	if len(worlds) == 0 {
		return
	}
	total := 0.0
	for i := range p.weights {
		value := p.prior.At(center(i))
		mean := 0.0
		for _, services := range worlds {
			likelihood := 1.0
			for k := range services {
				likelihood *= services[k].likelihood(g, value)
			}
			mean += likelihood
		}
		p.weights[i] *= mean / float64(len(worlds))
		total += p.weights[i]
	}
	for i := range p.weights {
		p.weights[i] /= total
	}
}

// at gives the value that a share u of the distribution lies below. The same u
// gives the prior's own value where nothing was learned.
func (p *posterior) at(u float64) float64 {
	return p.prior.At(min(max(shareOn(&p.weights, u), math.SmallestNonzeroFloat64), 1-1e-16))
}

// shareOn is the share of the prior below which a share u of a distribution lies,
// whose cells are equal shares of that prior.
func shareOn(weights *[gridSize]float64, u float64) float64 {
	below := 0.0
	for i, w := range weights {
		if u <= below+w || i == gridSize-1 {
			inside := 0.5
			if w > 0 {
				inside = min(1, (u-below)/w)
			}
			return (float64(i) + inside) / gridSize
		}
		below += w
	}
	return 0.5
}

// draw draws the unknown, one a world.
func (p *posterior) draw(d Draws, block, unknown string) []float64 {
	values := d.Uniforms(block, unknown)
	for i, u := range values {
		values[i] = p.at(u)
	}
	return values
}

// points gives the 10, 50 and 90 % points.
func (p *posterior) points() figure.Percentiles {
	return figure.By(p.at)
}
