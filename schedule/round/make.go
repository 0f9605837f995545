package round

import (
	"context"
	"math"
)

// mostExact is up to how many places all their partitions into days are gone through.
const mostExact = 13

// Make plans a round. The same request gives the same round. It stops soon after the
// context ends, with its cause.
func Make(ctx context.Context, r *Request) (Plan, error) { return r.make(ctx, mostExact) }

func (r *Request) make(ctx context.Context, exact int) (Plan, error) {
	own := *r
	r = &own
	r.known, r.thinned = map[[2]int][]option{}, false
	var among []int // places with anything that is worth doing on some day
	for p := range r.Places {
		for d := range r.Days {
			if len(r.options(p, d)) > 0 {
				among = append(among, p)
				break
			}
		}
	}
	var plan Plan
	var err error
	if len(among) <= exact {
		if plan, err = r.partition(ctx, among); err == nil && !plan.Proven {
			plan, err = r.improve(ctx, among, plan)
		}
	} else {
		plan, err = r.improve(ctx, among, Plan{})
	}
	if err != nil {
		return Plan{}, err
	}
	r.sum(&plan)
	return plan, nil
}

// partition goes through all partitions of places into days.
func (r *Request) partition(ctx context.Context, among []int) (Plan, error) {
	n := uint32(len(among))
	whole := uint32(1)<<n - 1
	days := make([]*ways, len(r.Days))
	// cost[s] is that of the cheapest way to lay exactly the places of s on the days so far.
	cost := make([]float64, whole+1)
	for s := range cost[1:] {
		cost[s+1] = math.Inf(1)
	}
	taken := make([][]uint32, len(r.Days)) // by day and set: which of its places that day has
	for d := range r.Days {
		if err := context.Cause(ctx); err != nil {
			return Plan{}, err
		}
		days[d] = r.waysThrough(d, among)
		next := make([]float64, whole+1)
		copy(next, cost)
		taken[d] = make([]uint32, whole+1)
		for set, c := range days[d].cost {
			for rest := whole &^ set; ; rest = (rest - 1) &^ set & whole {
				if v := cost[rest] + c; v < next[rest|set] || v == next[rest|set] && !math.IsInf(v, 1) && set < taken[d][rest|set] {
					next[rest|set], taken[d][rest|set] = v, set
				}
				if rest == 0 {
					break
				}
			}
		}
		cost = next
	}
	best := uint32(0)
	for s := range cost {
		if cost[s] < cost[best] {
			best = uint32(s)
		}
	}
	plan := Plan{Proven: !r.thinned}
	for d := len(r.Days) - 1; d >= 0; d-- {
		if set := taken[d][best]; set != 0 {
			plan.Visits = append(days[d].visits(set), plan.Visits...)
			best &^= set
		}
	}
	return plan, nil
}

// sum adds a round up.
func (r *Request) sum(p *Plan) {
	visited := make([]*Visit, len(r.Places))
	for i := range p.Visits {
		v := &p.Visits[i]
		visited[v.Place] = v
		p.Road += v.Road
		p.Cost += r.Stop
		if i+1 == len(p.Visits) || p.Visits[i+1].Day != v.Day {
			p.Road += r.Travel[v.Place+1][0]
		}
	}
	for i := range r.Places {
		place, v := &r.Places[i], visited[i]
		for j, job := range place.Jobs {
			if v != nil && contains(v.Jobs, j) {
				p.Late += job.Cost[v.Day]
			} else {
				p.Late += job.Left
			}
		}
		if v == nil {
			p.Cost += place.Again
		}
	}
	p.Cost += p.Road + p.Late
}

func contains(sorted []int, x int) bool {
	for _, y := range sorted {
		if y == x {
			return true
		}
	}
	return false
}
