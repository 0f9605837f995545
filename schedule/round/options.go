package round

import (
	"cmp"
	"math"
	"slices"
)

// option is some of a place's jobs that could be done at a visit on a day.
type option struct {
	jobs []int
	Work
	gain float64 // by how much it is cheaper than leaving all of the place's jobs
}

// mostSubsets is up to how many jobs all sets of them are looked at. Beyond that it is
// sets that grow by the job that saves the most for its minutes.
const mostSubsets = 4

// mostOptions is how many sets of jobs of a place are weighed on a day; of more, those
// that gain the most for their minutes.
const mostOptions = 7

// options lists what is worth doing at a place on a day: of two that ask for the same of
// the machine, the longer one gains more.
func (r *Request) options(place, day int) []option {
	key := [2]int{place, day}
	all, ok := r.known[key]
	if fixed := r.Places[place].Fixed; !ok && fixed != nil {
		all, ok = r.fixedOptions(place, day), true
		r.known[key] = all
	}
	if !ok && r.Days[day].Only {
		return nil
	}
	if !ok {
		if r.known == nil {
			r.known = map[[2]int][]option{}
		}
		all = r.allOptions(place, day)
		if len(all) > mostOptions {
			all, r.thinned = thin(all), true
		}
		r.known[key] = all
	}
	return all
}

// bookedGain is by how much it is better to keep a visit that was booked than not to, in
// minutes: more than anything else of a round can weigh.
const bookedGain = 1e6

// fixedOptions lists what a booked visit does, on its day.
func (r *Request) fixedOptions(place, day int) []option {
	p := &r.Places[place]
	if p.Fixed.Day != day {
		return nil
	}
	o := option{gain: bookedGain, Work: Work{Minutes: max(0, p.Fixed.Minutes-r.Stop)}}
	for j := range p.Jobs {
		o.jobs = append(o.jobs, j)
	}
	return []option{o}
}

// thin leaves of options, the shortest first, those on the hull of what can be gained in
// so many minutes, and the one that gains the most without a cold machine.
func thin(all []option) []option {
	var hull []option
	steep := func(a, b option) float64 { return (b.gain - a.gain) / max(1e-9, b.Minutes-a.Minutes) }
	for _, o := range all {
		if n := len(hull); n > 0 && o.gain <= hull[n-1].gain {
			continue
		}
		for len(hull) > 1 && steep(hull[len(hull)-2], hull[len(hull)-1]) <= steep(hull[len(hull)-1], o) {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, o)
	}
	for len(hull) > mostOptions-1 { // the one whose loss matters the least
		least, at := math.Inf(1), 1
		for i := 1; i+1 < len(hull); i++ {
			a, b, c := hull[i-1], hull[i], hull[i+1]
			if lost := b.gain - a.gain - steep(a, c)*(b.Minutes-a.Minutes); lost < least {
				least, at = lost, i
			}
		}
		hull = slices.Delete(hull, at, at+1)
	}
	warm := -1
	for i, o := range all {
		if o.ColdTo <= o.ColdFrom && (warm < 0 || o.gain > all[warm].gain) {
			warm = i
		}
	}
	if warm >= 0 && !slices.ContainsFunc(hull, func(o option) bool { return slices.Equal(o.jobs, all[warm].jobs) }) {
		hull = append(hull, all[warm])
	}
	return hull
}

// allOptions lists all sets of jobs that are worth doing.
func (r *Request) allOptions(place, day int) []option {
	p := &r.Places[place]
	var sets [][]int
	var worth []int // jobs that are better done than left
	for j := range p.Jobs {
		if p.gain(j, day) > 0 {
			worth = append(worth, j)
		}
	}
	if len(worth) == 0 {
		return nil
	}
	if len(worth) <= mostSubsets {
		for mask := 1; mask < 1<<len(worth); mask++ {
			var set []int
			for i, j := range worth {
				if mask&(1<<i) != 0 {
					set = append(set, j)
				}
			}
			sets = append(sets, set)
		}
	} else {
		sets = p.growing(worth, day)
	}
	var all []option
	for _, set := range sets {
		o := option{jobs: set, Work: p.Lay(set)}
		for _, j := range set {
			o.gain += p.gain(j, day)
		}
		if !math.IsInf(o.Minutes, 1) {
			all = append(all, o)
		}
	}
	slices.SortStableFunc(all, func(a, b option) int { return cmp.Or(cmp.Compare(a.Minutes, b.Minutes), cmp.Compare(b.gain, a.gain)) })
	var kept []option
	for _, o := range all {
		beaten := slices.ContainsFunc(kept, func(k option) bool {
			return k.Minutes <= o.Minutes && k.gain >= o.gain && (k.ColdTo <= k.ColdFrom || o.ColdTo > o.ColdFrom && k.ColdFrom >= o.ColdFrom && k.ColdTo <= o.ColdTo)
		})
		if !beaten {
			kept = append(kept, o)
		}
	}
	return kept
}

// gain is by how much a job is better done on a day than left.
func (p *Place) gain(job, day int) float64 { return p.Jobs[job].Left - p.Jobs[job].Cost[day] }

// growing lists sets of jobs that grow by the one that saves the most for its minutes: of
// all, and of those that need no cold machine.
func (p *Place) growing(jobs []int, day int) [][]int {
	density := make(map[int]float64, len(jobs))
	var warm []int
	for _, j := range jobs {
		w := p.Lay([]int{j})
		density[j] = p.gain(j, day) / max(1, w.Minutes)
		if w.ColdTo <= w.ColdFrom {
			warm = append(warm, j)
		}
	}
	var sets [][]int
	for _, list := range [][]int{jobs, warm} {
		byDensity := slices.Clone(list)
		slices.SortStableFunc(byDensity, func(a, b int) int { return cmp.Compare(density[b], density[a]) })
		for n := 1; n <= len(byDensity); n++ {
			set := slices.Clone(byDensity[:n])
			slices.Sort(set)
			sets = append(sets, set)
		}
	}
	return sets
}

// starts returns when a visit that is reached at a time can begin at the earliest, with
// its stop before the work; false where it cannot.
func (r *Request) starts(place, day int, arrival float64, o *option) (float64, bool) {
	p := &r.Places[place]
	if p.Fixed != nil {
		return p.Fixed.Start, arrival <= p.Fixed.Start
	}
	best := math.Inf(1)
	for _, open := range p.Open[day] {
		from, to := max(arrival, open.From), open.To-r.Stop-o.Minutes
		if o.ColdTo <= o.ColdFrom || p.Quiet == nil {
			if from <= to {
				best = min(best, from)
			}
			continue
		}
		for _, quiet := range p.Quiet[day] {
			start := max(from, quiet.From-r.Stop-o.ColdFrom)
			if start <= min(to, quiet.To-r.Stop-o.ColdTo) {
				best = min(best, start)
			}
		}
	}
	return best, !math.IsInf(best, 1)
}
