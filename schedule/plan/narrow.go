package plan

import "math"

// span is a stretch of the steps that leave a node, from one up to before another.
type span struct{ from, to int }

// narrower leaves out steps of chains that no plan cheaper than one that is known
// can take: the cheapest way by such a step, with what all else costs at the least,
// is no cheaper than that plan (reduced cost fixing; Beasley 1993). What is left
// gets shorter to walk, and says more of the rest.
type narrower struct {
	ahead, back []float64
}

// narrow shortens the spans of a chain to the steps by which it costs less than
// most, where each slot costs what tolls say on top.
func (w *narrower) narrow(c *chain, spans []span, tolls []float64, most float64) {
	n := c.n
	if len(w.ahead) < n+1 {
		w.ahead, w.back = make([]float64, n+1), make([]float64, n+1)
	}
	ahead, back := w.ahead[:n+1], w.back[:n+1]
	for i := range ahead {
		ahead[i] = noStep
	}
	ahead[0] = 0
	for i := range ahead {
		if i > 0 {
			ahead[i] += tolls[i-1]
		}
		if math.IsInf(ahead[i], 1) {
			continue
		}
		for j := spans[i].from; j < spans[i].to; j++ {
			if to, x := c.first[i]+j, ahead[i]+c.steps[i][j]; x < ahead[to] {
				ahead[to] = x
			}
		}
	}
	for i := n; i >= 0; i-- {
		s := &spans[i]
		for s.from < s.to && !w.useful(c, i, s.from, tolls, most) {
			s.from++
		}
		for s.from < s.to && !w.useful(c, i, s.to-1, tolls, most) {
			s.to--
		}
		back[i] = c.end[i]
		for j := s.from; j < s.to; j++ {
			to := c.first[i] + j
			back[i] = min(back[i], c.steps[i][j]+tolls[to-1]+back[to])
		}
	}
}

// useful tells whether there is a way by a step that costs less than most.
func (w *narrower) useful(c *chain, i, j int, tolls []float64, most float64) bool {
	to := c.first[i] + j
	return w.ahead[i]+c.steps[i][j]+tolls[to-1]+w.back[to] < most // what cannot be done costs more than anything
}

// whole gives spans of all steps of a chain.
func (c *chain) whole() []span {
	spans := make([]span, len(c.steps))
	for i, row := range c.steps {
		spans[i].to = len(row)
	}
	return spans
}

// ways works out what it costs at the least to come to each node, and from there to
// the end. It gives the number of steps there are.
func (w *narrower) ways(c *chain, spans []span, tolls []float64) int {
	n, steps := c.n, 0
	if len(w.ahead) < n+1 {
		w.ahead, w.back = make([]float64, n+1), make([]float64, n+1)
	}
	ahead, back := w.ahead[:n+1], w.back[:n+1]
	for i := range ahead {
		ahead[i] = noStep
	}
	ahead[0] = 0
	for i := range ahead {
		if i > 0 {
			ahead[i] += tolls[i-1]
		}
		here, s := ahead[i], spans[i]
		row, to := c.steps[i][s.from:s.to], c.first[i]+s.from
		steps += len(row)
		if math.IsInf(here, 1) {
			continue
		}
		reached := ahead[to : to+len(row)]
		for j, step := range row {
			if x := here + step; x < reached[j] {
				reached[j] = x
			}
		}
	}
	for i := n; i >= 0; i-- {
		best, s := c.end[i], spans[i]
		row, to := c.steps[i][s.from:s.to], c.first[i]+s.from
		behind, tolled := back[to:to+len(row)], tolls[max(0, to-1):]
		for j, step := range row {
			if x := step + tolled[j] + behind[j]; x < best {
				best = x
			}
		}
		back[i] = best
	}
	return steps
}

// avoiding gives what the cheapest way costs that passes a node over, after ways.
func (w *narrower) avoiding(c *chain, spans []span, tolls []float64, node int) float64 {
	best := noStep
	for i := range node {
		if math.IsInf(w.ahead[i], 1) {
			continue
		}
		best = min(best, w.ahead[i]+c.end[i])
		for j := max(spans[i].from, node+1-c.first[i]); j < spans[i].to; j++ {
			to := c.first[i] + j
			best = min(best, w.ahead[i]+c.steps[i][j]+tolls[to-1]+w.back[to])
		}
	}
	return best
}
