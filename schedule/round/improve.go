package round

import (
	"context"
	"encoding/binary"
	"math"
	"slices"
)

// improver lays places on days one by one and then moves them while that helps.
type improver struct {
	r    *Request
	days [][]int // places of each day, sorted
	left []int
	memo map[string]float64 // cost of a day with some places
	key  []byte
}

// mostADay bounds the visits of a day where not all sets are gone through.
const mostADay = 9

// improve plans a round of many places, from a round that is known already.
func (r *Request) improve(ctx context.Context, among []int, from Plan) (Plan, error) {
	v := &improver{r: r, days: make([][]int, len(r.Days)), left: slices.Clone(among), memo: map[string]float64{}}
	for _, visit := range from.Visits {
		v.days[visit.Day], v.left = with(v.days[visit.Day], visit.Place), without(v.left, visit.Place)
	}
	for {
		if err := context.Cause(ctx); err != nil {
			return Plan{}, err
		}
		if !v.insert() {
			break
		}
	}
	for range 60 {
		if err := context.Cause(ctx); err != nil {
			return Plan{}, err
		}
		if !v.move() && !v.exchange() {
			break
		}
		for v.insert() {
		}
	}
	var plan Plan
	for d, places := range v.days {
		if len(places) > 0 {
			plan.Visits = append(plan.Visits, r.waysThrough(d, places).visits(uint32(1)<<len(places)-1)...)
		}
	}
	return plan, nil
}

// cost returns what a day with some places costs; without end where it cannot hold them.
func (v *improver) cost(day int, places []int) float64 {
	if len(places) == 0 {
		return 0
	}
	if len(places) > mostADay {
		return math.Inf(1)
	}
	v.key = binary.AppendUvarint(v.key[:0], uint64(day))
	for _, p := range places {
		v.key = binary.AppendUvarint(v.key, uint64(p))
	}
	if c, ok := v.memo[string(v.key)]; ok {
		return c
	}
	key := string(v.key)
	c, ok := v.r.waysThrough(day, places).cost[uint32(1)<<len(places)-1]
	if !ok {
		c = math.Inf(1)
	}
	v.memo[key] = c
	return c
}

func with(places []int, p int) []int {
	all := append(slices.Clone(places), p)
	slices.Sort(all)
	return all
}

func without(places []int, p int) []int {
	return slices.DeleteFunc(slices.Clone(places), func(x int) bool { return x == p })
}

// least is what a change must save to be made.
const least = 1e-6

// insert puts the place that saves the most on the day on which it does; false where none
// saves anything.
func (v *improver) insert() bool {
	best, place, day := -least, -1, -1
	for _, p := range v.left {
		for d := range v.days {
			if saved := v.cost(d, with(v.days[d], p)) - v.cost(d, v.days[d]); saved < best {
				best, place, day = saved, p, d
			}
		}
	}
	if place < 0 {
		return false
	}
	v.days[day], v.left = with(v.days[day], place), without(v.left, place)
	return true
}

// move moves one visit to another day, or leaves it out; false where that never helps.
func (v *improver) move() bool {
	moved := false
	for d := range v.days {
		for _, p := range slices.Clone(v.days[d]) {
			rest := without(v.days[d], p)
			freed := v.cost(d, rest) - v.cost(d, v.days[d])
			best, to := freed, -1 // left out
			for e := range v.days {
				if e == d {
					continue
				}
				if c := freed + v.cost(e, with(v.days[e], p)) - v.cost(e, v.days[e]); c < best {
					best, to = c, e
				}
			}
			if best >= -least {
				continue
			}
			moved = true
			v.days[d] = rest
			if to < 0 {
				v.left = append(v.left, p)
			} else {
				v.days[to] = with(v.days[to], p)
			}
		}
	}
	return moved
}

// exchange exchanges two visits of different days, or one against a place that is left
// out; false where that never helps.
func (v *improver) exchange() bool {
	for d := range v.days {
		for _, p := range v.days[d] {
			rest := without(v.days[d], p)
			was := v.cost(d, v.days[d])
			for i, q := range v.left {
				if v.cost(d, with(rest, q)) < was-least {
					v.days[d] = with(rest, q)
					v.left[i] = p
					return true
				}
			}
			for e := d + 1; e < len(v.days); e++ {
				for _, q := range v.days[e] {
					other := without(v.days[e], q)
					now := v.cost(d, with(rest, q)) + v.cost(e, with(other, p))
					if now < was+v.cost(e, v.days[e])-least {
						v.days[d], v.days[e] = with(rest, q), with(other, p)
						return true
					}
				}
			}
		}
	}
	return false
}
