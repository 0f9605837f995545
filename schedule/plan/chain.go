package plan

import (
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// chain prices every way to run through a task's turns: node 0 is the part as
// it stands, node i the i-th slot, node n+1 the end of the plan. A step from
// one node to a later one is a turn at the later; the step to the end is to let
// it be.
type chain struct {
	n      int
	steps  [][]float64 // by node left, then by node reached, less first
	first  []int       // node that steps[i][0] reaches
	end    []float64   // of the step to the end, by node left
	strain []float64   // what of end is for days past the late date
	past   [][]float64 // what of steps is for days past the late date
}

// noStep is the price of what cannot be done.
var noStep = math.Inf(1)

// turn is what the price of one turn is made of.
type turn struct {
	Harm   float64 // of lateness, in minutes
	Waste  float64 // of life thrown away, in minutes
	Past   float64 // for days past the late date, in minutes
	Risk   float64 // probability that its limit is passed by then
	Unused float64 // share of the life thrown away
	Days   float64 // that it is late, on the average over the worlds
}

// sums are running totals over a life's worlds, so that a turn is priced at
// once whatever its day.
type sums struct {
	due         life // days of the crossing, counted from today
	one, square [wear.QuantileCount + 1]float64
	mean        float64 // length of the life
	late        float64 // last day, counted from today, that is not past its late date; +Inf for none
	fresh       bool    // of a part made fresh within the plan
	sunkDay     float64 // lateness up to this day cannot be helped
}

func newSums(l life, from float64) sums {
	s := sums{due: l, late: math.Inf(1), sunkDay: math.Inf(-1)}
	for i := range l {
		s.due[i] += from
		s.mean += l[i] / float64(len(l))
		s.one[i+1] = s.one[i] + s.due[i]
		s.square[i+1] = s.square[i] + s.due[i]*s.due[i]
	}
	s.mean = max(1, s.mean)
	if days, ok := l.late(); ok {
		s.late = from + days
	}
	return s
}

// turn prices a turn on a day, counted from today; i is the number of worlds in
// which it is due before then.
func (s *sums) turn(t *Task, p *Prices, day float64, i int) turn {
	v := newPricing(s, t, p)
	return v.turn(day, i)
}

// pricing prices turns of one life on days of which none lies before the last: what is
// the same on all of them is worked out once.
type pricing struct {
	*sums
	prices *Prices
	worth  float64
	harm   float64 // of a unit of lateness, in minutes
	stake  float64
	weight float64
	worst  float64 // days of lateness that cost the stake
	capped int     // worlds in which it is so late, on the last day
}

func newPricing(s *sums, t *Task, p *Prices) pricing {
	return pricing{sums: s, prices: p, worth: t.Worth, harm: t.steep() * t.Worth, stake: t.Stake, weight: t.weight(), worst: p.worst(t) * s.mean}
}

// turn prices a turn on a day; i is the number of worlds in which it is due before.
func (v *pricing) turn(day float64, i int) turn {
	s := v.sums
	n, k := float64(len(s.due)), float64(i)
	var out turn
	out.Harm, out.Waste, out.Past = v.cost(day, i)
	if i > 0 {
		out.Risk, out.Days = k/n, (k*day-s.one[i])/n
	}
	out.Unused = s.unused(day, i)
	return out
}

// unused is the share of the life that a turn on a day throws away.
func (s *sums) unused(day float64, i int) float64 {
	n, k := float64(len(s.due)), float64(i)
	early := s.one[len(s.due)] - s.one[i] - (n-k)*day
	return max(0, early/s.mean/n)
}

// cost is what turn says of minutes.
func (v *pricing) cost(day float64, i int) (harmed, waste, past float64) {
	s, p := v.sums, v.prices
	n, k := float64(len(s.due)), float64(i)
	if i > 0 {
		lateDays := k*day - s.one[i]
		lateSquare := k*day*day - 2*day*s.one[i] + s.square[i]
		for v.capped < i && day-s.due[v.capped] > v.worst {
			v.capped++
		}
		c := v.capped
		capped := float64(c)
		cappedDays := capped*day - s.one[c]
		priced := lateDays - cappedDays
		pricedSquare := lateSquare - (capped*day*day - 2*day*s.one[c] + s.square[c])
		harm := v.harm * (p.Late*priced/s.mean + p.LateSquared*pricedSquare/(s.mean*s.mean))
		if c > 0 { // what is at stake is gone, and once more a life later
			harm += v.stake * (capped + (cappedDays-capped*v.worst)/s.mean)
		}
		harmed = harm / n
	}
	waste = v.worth * s.unused(day, i)
	if over := day - max(s.late, s.sunkDay); over > 0 {
		past = p.PassLate + p.PastLate*v.weight*over
	}
	return harmed, waste, past
}

// before counts the worlds in which it is due before a day.
func (s *sums) before(day float64) int {
	i := 0
	for i < len(s.due) && s.due[i] < day {
		i++
	}
	return i
}

// start gives the totals of a task as it stands: what has been late by today
// cannot be helped any more.
func (t *Task) start(today record.Date) sums {
	s := newSums(lasts(t.Due, t.Fresh), float64(t.Fresh-today))
	s.late = math.Inf(1)
	if t.Late != 0 {
		s.late = float64(t.Late - today)
	}
	if t.Met {
		s.mean = newSums(t.from(today), 0).mean
	}
	s.sunkDay = 0
	return s
}

// fresh gives the totals of a task done on a day.
func (t *Task) fresh(on, today record.Date) sums {
	s := newSums(t.from(on), float64(on-today))
	s.fresh = true
	return s
}

// Steps are left out where a turn would lie this many days past its late date
// and at least that many slots were there for it before: no plan needs them.
const (
	pruneDays  = 150
	pruneSlots = 12
)

// knownChain is a chain with what may differ of its task from one model of a request to
// the next.
type knownChain struct {
	chain chain
	on    record.Date
	cover []int
}

// chainOf is newChain of the i-th task, remembered from one model to the next.
func (r *Request) chainOf(i int, days []float64, until float64, cover []int) chain {
	t := &r.Tasks[i]
	if r.known == nil {
		return r.newChain(t, days, until, cover)
	}
	k := &r.known[i]
	if k.chain.steps == nil || k.on != t.On || !slices.Equal(k.cover, cover) {
		*k = knownChain{r.newChain(t, days, until, cover), t.On, cover}
	}
	return k.chain
}

// newChain prices a task's turns. Cover holds the slots in which a turn of
// another task counts as one of it, in order: there it starts afresh for
// nothing, and has no turn of its own.
func (r *Request) newChain(t *Task, days []float64, until float64, cover []int) chain {
	n := len(days)
	c := chain{n: n, steps: make([][]float64, n+1), past: make([][]float64, n+1), first: make([]int, n+1), end: make([]float64, n+1), strain: make([]float64, n+1)}
	on := func(slot int) record.Date { return r.Today + record.Date(days[slot]) }
	added, dropped := r.leaving(t, days)
	prices := &r.Prices
	allSteps, allPast := make([]float64, 0, n*(n+1)/2), make([]float64, 0, n*(n+1)/2)
	for from := 0; from <= n; from++ {
		var s sums
		if from == 0 {
			s = t.start(r.Today)
		} else {
			s = t.fresh(on(from-1), r.Today)
		}
		sunk := 0.0
		if from == 0 {
			sunk = s.turn(t, prices, 0, s.before(0)).Harm
		}
		c.first[from] = from + 1
		begin := len(allSteps)
		priced := newPricing(&s, t, prices)
		i, open := 0, 0
		skipped := 0.0 // for turns of the last plan that the step leaves out, and up to the last cover
		strain := 0.0  // for days past the late date up to the last cover
		at, _ := slices.BinarySearch(cover, from)
		covers := cover[at:]
		for to := from + 1; to <= n; to++ {
			day := days[to-1]
			for i < len(s.due) && s.due[i] < day {
				i++
			}
			if day <= s.late {
				open++
			} else if day > max(s.late, 0)+pruneDays && open >= pruneSlots && (from > 0 || t.On == 0 && t.After == 0) && len(covers) == 0 {
				break
			}
			harm, waste, past := priced.cost(day, i)
			late := max(0, harm-sunk) + past
			price := late + waste + added[to-1] + skipped
			if from == 0 && !t.allows(on(to-1)) {
				price = noStep
			}
			covered := len(covers) > 0 && covers[0] == to-1
			if covered {
				price = noStep
			}
			allSteps, allPast = append(allSteps, price), append(allPast, past+strain)
			skipped += dropped[to-1]
			if covered {
				skipped, strain = skipped+late, strain+past
				s, sunk, i, open = t.fresh(on(to-1), r.Today), 0, 0, 0
				priced = newPricing(&s, t, prices)
				covers = covers[1:]
			}
		}
		end := len(allSteps)
		for to := from + 1 + end - begin; to <= n; to++ {
			skipped += dropped[to-1]
		}
		c.steps[from], c.past[from] = allSteps[begin:end:end], allPast[begin:end:end]
		last := s.turn(t, prices, until, s.before(until))
		missing := r.missing(t, &s, days, until)
		c.end[from], c.strain[from] = max(0, last.Harm-sunk)+last.Past+skipped+missing, last.Past+strain+missing
		if from == 0 && t.On != 0 {
			c.end[0] = noStep
		}
	}
	return c
}

// keptDays is how far beyond the plan the likely date of a next turn must lie for it
// to lose the place it had. Assumption: more than a date moves in a month or two.
const keptDays = 60

// missing is what it costs that a turn has no place whose likely date lies
// within the plan: so much that it has one wherever there is room. A later turn
// than the next is missed only where a slot lies behind its likely date. A next
// turn that was published keeps its place until its likely date lies well beyond
// the plan, so that it does not come and go at the plan's end.
func (r *Request) missing(t *Task, s *sums, days []float64, until float64) float64 {
	last := until
	if n := len(days); n > 0 && s.fresh {
		last = days[n-1] + 1
	}
	if !s.fresh && len(t.Published) > 0 {
		last += keptDays
	}
	if s.due[LikelyQuantile] >= last {
		return 0
	}
	return r.Prices.NoPlace * t.weight()
}

// allows tells whether the owner lets the next turn be on a day.
func (t *Task) allows(day record.Date) bool {
	if t.On != 0 {
		return day == t.On
	}
	return day > t.After
}

// leaving prices what differs from the plan published last: added, by slot, a
// turn where none stood, and dropped, by slot, none where one stood. What is
// moved is both. What lies after a task's last published turn is new, and free.
func (r *Request) leaving(t *Task, days []float64) (added, dropped []float64) {
	added, dropped = make([]float64, len(days)), make([]float64, len(days))
	if len(t.Published) == 0 {
		return added, dropped
	}
	last := slices.Max(t.Published)
	for i, ahead := range days {
		day := r.Today + record.Date(ahead)
		if day > last {
			break
		}
		price := r.Prices.Leaving / 2
		if ahead <= r.Prices.SoonDays {
			price = r.Prices.LeavingSoon / 2
		}
		if slices.Contains(t.Published, day) {
			dropped[i] = price
		} else {
			added[i] = price
		}
	}
	return added, dropped
}
