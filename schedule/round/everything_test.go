package round

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"limekeep/schedule/record"
)

// invented makes a small round of whole minutes: places on a map, jobs with a price that
// grows by the day, hours and quiet hours.
func invented(seed uint64, places, days, jobs int) *Request {
	rng := rand.New(rand.NewPCG(seed, 19))
	r := &Request{Stop: 10}
	for d := range days {
		r.Days = append(r.Days, Day{On: record.NewDate(2026, 3, 2+d), From: 480, To: 480 + float64(240+rng.IntN(240))})
	}
	type point struct{ x, y float64 }
	points := []point{{30, 30}}
	for range places {
		points = append(points, point{60 * rng.Float64(), 60 * rng.Float64()})
	}
	for _, a := range points {
		var row []float64
		for _, b := range points {
			row = append(row, math.Round(5+math.Hypot(a.x-b.x, a.y-b.y)))
		}
		r.Travel = append(r.Travel, row)
	}
	for i := range r.Travel {
		r.Travel[i][i] = 0
	}
	for p := range places {
		place := Place{ID: string(rune('a' + p)), Again: float64(rng.IntN(40))}
		type work struct{ minutes, from, to float64 }
		var works []work
		for range 1 + rng.IntN(jobs) {
			w := work{minutes: float64(15 + 5*rng.IntN(18))}
			if rng.IntN(3) == 0 {
				w.from, w.to = -20, w.minutes+15
			}
			works = append(works, w)
			j := Job{Left: float64(rng.IntN(120))}
			each := float64(rng.IntN(15))
			for d := range days {
				j.Cost = append(j.Cost, math.Round(0.3*j.Left+each*float64(d)))
			}
			place.Jobs = append(place.Jobs, j)
		}
		place.Lay = func(set []int) Work {
			var all Work
			first := true
			for _, j := range set {
				if w := works[j]; w.to > w.from {
					from, to := all.Minutes+w.from, all.Minutes+w.to
					if first {
						all.ColdFrom = from
					}
					all.ColdTo, first = to, false
				}
				all.Minutes += works[j].minutes
			}
			return all
		}
		if rng.IntN(2) == 0 {
			place.Quiet = [][]Span{}
		}
		for range days {
			open := float64(420 + 30*rng.IntN(6))
			place.Open = append(place.Open, []Span{{open, open + float64(120+30*rng.IntN(12))}})
			if place.Quiet != nil {
				from := float64(480 + 30*rng.IntN(8))
				place.Quiet = append(place.Quiet, []Span{{from, from + float64(60+30*rng.IntN(8))}})
			}
		}
		r.Places = append(r.Places, place)
	}
	return r
}

// everything tries every way there is: each place on each day or left out, in each order,
// with each set of its jobs, each visit begun at the first minute at which it can be.
func everything(r *Request) float64 {
	n := len(r.Places)
	dayCost := map[[2]int]float64{}
	of := func(day, set int) float64 {
		key := [2]int{day, set}
		if c, ok := dayCost[key]; ok {
			return c
		}
		var among []int
		for p := range n {
			if set&(1<<p) != 0 {
				among = append(among, p)
			}
		}
		best := math.Inf(1)
		var next func(point int, time, cost float64, rest []int)
		next = func(point int, time, cost float64, rest []int) {
			if len(rest) == 0 {
				if time+r.Travel[point][0] <= r.Days[day].To {
					best = min(best, cost+r.Travel[point][0])
				}
				return
			}
			for i, p := range rest {
				others := slices.Delete(slices.Clone(rest), i, i+1)
				place := &r.Places[p]
				for mask := 1; mask < 1<<len(place.Jobs); mask++ {
					var set []int
					price := 0.0
					for j, job := range place.Jobs {
						if mask&(1<<j) != 0 {
							set = append(set, j)
							price += job.Cost[day]
						} else {
							price += job.Left
						}
					}
					work := place.Lay(set)
					road := r.Travel[point][p+1]
					for at := math.Ceil(time + road); at+r.Stop+work.Minutes <= r.Days[day].To; at++ {
						in := func(spans []Span, from, to float64) bool {
							return slices.ContainsFunc(spans, func(s Span) bool { return s.From <= from && to <= s.To })
						}
						begin := at + r.Stop
						if !in(place.Open[day], at, begin+work.Minutes) {
							continue
						}
						if work.ColdTo > work.ColdFrom && place.Quiet != nil && !in(place.Quiet[day], begin+work.ColdFrom, begin+work.ColdTo) {
							continue
						}
						next(p+1, begin+work.Minutes, cost+road+r.Stop+price, others)
						break
					}
				}
			}
		}
		next(0, r.Days[day].From, 0, among)
		if len(among) == 0 {
			best = 0
		}
		dayCost[key] = best
		return best
	}
	best := math.Inf(1)
	choice := make([]int, n) // day of each place; the number of days for none
	for {
		sets := make([]int, len(r.Days)+1)
		for p, d := range choice {
			sets[d] |= 1 << p
		}
		cost := 0.0
		for d := range r.Days {
			cost += of(d, sets[d])
		}
		for p := range n {
			if sets[len(r.Days)]&(1<<p) != 0 {
				cost += r.Places[p].Again
				for _, j := range r.Places[p].Jobs {
					cost += j.Left
				}
			}
		}
		best = min(best, cost)
		i := 0
		for ; i < n; i++ {
			if choice[i]++; choice[i] <= len(r.Days) {
				break
			}
			choice[i] = 0
		}
		if i == n {
			return best
		}
	}
}

// On rounds small enough to try everything, the plan costs no more than the best there is;
// laid out one by one and improved, as larger ones are, it stays within a few per cent.
func TestAgainstEverything(t *testing.T) {
	worst, sum, n := 0.0, 0.0, 0
	for seed := uint64(1); seed <= 60; seed++ {
		r := invented(seed, 3+int(seed%2), 2+int(seed%3), 3)
		best := everything(r)
		plan, err := Make(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, r, plan)
		if math.Abs(plan.Cost-best) > 1e-6*max(1, best) {
			t.Errorf("seed %d: the plan costs %g, the best %g", seed, plan.Cost, best)
		}
		rough, err := r.make(t.Context(), 0)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, r, rough)
		more := (rough.Cost - best) / max(1, best)
		worst, sum, n = max(worst, more), sum+more, n+1
	}
	t.Logf("improved by moves alone: %.2f %% above the best on the average, %.1f %% at the worst, of %d", 100*sum/float64(n), 100*worst, n)
	if sum/float64(n) > 0.01 {
		t.Errorf("improved by moves alone rounds cost %.1f %% more than the best on the average", 100*sum/float64(n))
	}
}

// holds checks what must be true of any round, and that what it says it costs is so.
func holds(t *testing.T, r *Request, p Plan) {
	t.Helper()
	seen := map[int]bool{}
	cost, point, day, time := 0.0, 0, -1, 0.0
	back := func() {
		if day >= 0 {
			cost += r.Travel[point][0]
			if time+r.Travel[point][0] > r.Days[day].To+1e-9 {
				t.Errorf("back at %g, after %g", time+r.Travel[point][0], r.Days[day].To)
			}
		}
	}
	for _, v := range p.Visits {
		if v.Day != day {
			back()
			point, day, time = 0, v.Day, r.Days[v.Day].From
		}
		place := &r.Places[v.Place]
		if seen[v.Place] {
			t.Errorf("%s is visited twice", place.ID)
		}
		seen[v.Place] = true
		road := r.Travel[point][v.Place+1]
		work := place.Lay(v.Jobs)
		if v.Start < time+road-1e-9 || v.Road != road || v.Work != v.Start+r.Stop || v.End != v.Work+work.Minutes {
			t.Errorf("%s: there from %g to %g, work from %g, after %g on the road from %g", place.ID, v.Start, v.End, v.Work, road, time)
		}
		in := func(spans []Span, from, to float64) bool {
			return slices.ContainsFunc(spans, func(s Span) bool { return s.From <= from && to <= s.To })
		}
		if !in(place.Open[v.Day], v.Start, v.End) {
			t.Errorf("%s is closed from %g to %g", place.ID, v.Start, v.End)
		}
		if work.ColdTo > work.ColdFrom && place.Quiet != nil && !in(place.Quiet[v.Day], v.Work+work.ColdFrom, v.Work+work.ColdTo) {
			t.Errorf("%s is cold while it may not be", place.ID)
		}
		cost += road + r.Stop
		for j, job := range place.Jobs {
			if slices.Contains(v.Jobs, j) {
				cost += job.Cost[v.Day]
			} else {
				cost += job.Left
			}
		}
		point, time = v.Place+1, v.End
	}
	back()
	for i, place := range r.Places {
		if !seen[i] {
			cost += place.Again
			for _, j := range place.Jobs {
				cost += j.Left
			}
		}
	}
	if math.Abs(cost-p.Cost) > 1e-6*max(1, cost) {
		t.Errorf("it says that it costs %g; added up it is %g", p.Cost, cost)
	}
}

// A round that nobody waits for ends.
func TestRoundIsGivenUp(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Make(ctx, invented(1, 4, 2, 3)); err == nil {
		t.Error("it was planned to the end")
	}
}

// A week of whole days over twelve cafés that are open all day, with up to a dozen jobs
// each.
func BenchmarkTwelvePlaces(b *testing.B) {
	r := invented(7, 12, 5, 12)
	for d := range r.Days {
		r.Days[d].To = r.Days[d].From + 540
	}
	for p := range r.Places {
		for d := range r.Days {
			r.Places[p].Open[d] = []Span{{480, 1020}}
		}
	}
	for b.Loop() {
		if _, err := Make(b.Context(), r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFortyPlaces(b *testing.B) {
	r := invented(7, 40, 5, 6)
	for b.Loop() {
		if _, err := Make(b.Context(), r); err != nil {
			b.Fatal(err)
		}
	}
}
