package plan

import "math"

// charge begins a bounder's shares with what those would pay who want a thing in a draft:
// each what it would lose if it were kept out of the slot. Who uses something pays for it,
// and what is closed is charged to those who come nearest to opening it. From there the
// ascent has a short way to go.
func (b *bounder) charge(d *draft) {
	m := b.m
	losses := make([][]float64, len(m.chains)) // by task and slot, for each minute that the task opens there
	for t := range m.chains {
		d.tolls(t)
		losses[t] = make([]float64, m.n)
		m.looked += 3 * b.narrow.losses(&m.chains[t], b.spans[t], d.toll, losses[t])
		price := 0.0
		for _, k := range m.kinds[t] {
			price += m.price[k]
		}
		for s := range losses[t] {
			losses[t][s] /= max(1, price)
		}
	}
	for k, units := range b.members {
		n := len(units)
		for s := range m.n {
			share, sum := b.shares[k][s*n:s*n+n], 0.0
			for j, u := range units {
				share[j] = losses[b.units[u][0]][s]
				sum += share[j]
			}
			for j := range share {
				if sum > 0 {
					share[j] *= m.price[k] / sum
				} else {
					share[j] = m.price[k] / float64(n)
				}
			}
		}
	}
}

// mostLoss bounds what is lost where a task is kept out of a slot that it must have. A choice
// of numerical method.
const mostLoss = 1e6

// losses fills in, by slot, how much dearer the cheapest way is that leaves it out than the
// one through it, where that slot itself costs nothing; 0 where it is no dearer.
func (w *narrower) losses(c *chain, spans []span, tolls, out []float64) int {
	steps := w.ways(c, spans, tolls)
	for s := range out {
		out[s] = noStep
	}
	for i := range c.n {
		ahead, row, best := w.ahead[i], c.steps[i], c.end[i]
		if math.IsInf(ahead, 1) {
			continue
		}
		for node := c.n; node > i; node-- { // the one left out; steps lead behind it
			if j := node + 1 - c.first[i]; j < len(row) {
				best = min(best, row[j]+tolls[node]+w.back[node+1])
			}
			out[node-1] = min(out[node-1], ahead+best)
		}
	}
	for s, without := range out {
		through := w.ahead[s+1] - tolls[s] + w.back[s+1]
		if math.IsInf(through, 1) || math.IsNaN(through) {
			out[s] = 0
			continue
		}
		out[s] = min(mostLoss, max(0, without-through))
	}
	return steps
}
