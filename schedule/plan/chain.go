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
	rest   []float64   // by node left: what the cheapest way from there costs where slots cost nothing; less is no matter

	// What it is priced by.
	r     *Request
	task  *Task
	lives []life    // as Lives of the task has them
	days  []float64 // of the slots, counted from today
	cover []int     // slots in which a turn of another task counts as one of it, in order
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
	due          life // days of the crossing, counted from today
	one, squares [wear.QuantileCount + 1]float64
	mean         float64 // length of the life
	late         float64 // last day, counted from today, that is not past its late date; +Inf for none
	fresh        bool    // of a part made fresh within the plan
	sunkDay      float64 // lateness up to this day cannot be helped
}

func newSums(l life, from float64) sums {
	s := sums{due: l, late: math.Inf(1), sunkDay: math.Inf(-1)}
	for i := range l {
		s.due[i] += from
		s.mean += l[i] / float64(len(l))
		s.one[i+1] = s.one[i] + s.due[i]
		s.squares[i+1] = s.squares[i] + s.due[i]*s.due[i]
	}
	s.mean = max(1, s.mean)
	if days, ok := l.late(); ok {
		s.late = from + days
	}
	return s
}

// turn prices a turn on a day, counted from today.
func (s *sums) turn(t *Task, p *Prices, day float64) turn {
	v := newPricing(s, t, p)
	return v.turn(day)
}

// pricing prices turns of one life on days of which none lies before the last: what is
// the same on all of them, and up to the next world in which it is due, is worked out once.
type pricing struct {
	*sums
	prices *Prices
	worth  float64
	harm   float64 // of a unit of lateness, in minutes
	stake  float64
	weight float64
	worst  float64 // days of lateness that cost the stake
	square float64 // of the mean

	due    int // worlds in which it is due before the last day
	capped int // worlds in which it is so late that it costs the stake, on the last day
}

func newPricing(s *sums, t *Task, p *Prices) pricing {
	return pricing{sums: s, prices: p, worth: t.Worth, harm: t.steep() * t.Worth, stake: t.Stake, weight: t.weight(), worst: p.worst(t) * s.mean, square: s.mean * s.mean}
}

// turn prices a turn on a day.
func (v *pricing) turn(day float64) turn {
	var out turn
	out.Harm, out.Waste, out.Past = v.cost(day)
	if v.due > 0 {
		n, k := float64(len(v.sums.due)), float64(v.due)
		out.Risk, out.Days = k/n, (k*day-v.one[v.due])/n
	}
	out.Unused = v.unused(day, v.due)
	return out
}

// unused is the share of the life that a turn on a day throws away.
func (s *sums) unused(day float64, i int) float64 {
	n, k := float64(len(s.due)), float64(i)
	early := s.one[len(s.due)] - s.one[i] - (n-k)*day
	return max(0, early/s.mean/n)
}

// cost is what turn says of minutes.
func (v *pricing) cost(day float64) (harmed, waste, past float64) {
	s, p := v.sums, v.prices
	for v.due < len(s.due) && s.due[v.due] < day {
		v.due++
	}
	if i := v.due; i > 0 {
		n, k := float64(len(s.due)), float64(i)
		priced := k*day - s.one[i]
		pricedSquare := k*day*day - 2*day*s.one[i] + s.squares[i]
		for v.capped < i && day-s.due[v.capped] > v.worst {
			v.capped++
		}
		if c := v.capped; c == 0 {
			harmed = v.harm * (p.Late*priced/s.mean + p.LateSquared*pricedSquare/v.square) / n
		} else { // what is at stake is gone, and once more a life later
			capped := float64(c)
			cappedDays := capped*day - s.one[c]
			priced -= cappedDays
			pricedSquare -= capped*day*day - 2*day*s.one[c] + s.squares[c]
			harm := v.harm * (p.Late*priced/s.mean + p.LateSquared*pricedSquare/v.square)
			harm += v.stake * (capped + (cappedDays-capped*v.worst)/s.mean)
			harmed = harm / n
		}
	}
	waste = v.worth * s.unused(day, v.due)
	return harmed, waste, v.past(day)
}

// past is the price of a turn on a day that lies past the late date.
func (v *pricing) past(day float64) float64 {
	over := day - max(v.late, v.sunkDay)
	if over <= 0 {
		return 0
	}
	return v.prices.PassLate + v.prices.PastLate*v.weight*over
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
	return t.freshBy(t.lives(), on, today)
}

// freshBy is fresh for who has the task's lives at hand.
func (t *Task) freshBy(lives []life, on, today record.Date) sums {
	s := newSums(t.fromBy(lives, on), float64(on-today))
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
	switch {
	case k.chain.steps == nil:
		*k = knownChain{r.newChain(t, days, until, cover), t.On, cover}
	case k.on != t.On || !slices.Equal(k.cover, cover):
		*k = knownChain{r.newChainBeside(&k.chain, t, until, cover), t.On, cover}
	}
	return k.chain
}

// newChain prices a task's turns. Cover holds the slots in which a turn of
// another task counts as one of it, in order: there it starts afresh for
// nothing, and has no turn of its own.
func (r *Request) newChain(t *Task, days []float64, until float64, cover []int) chain {
	n := len(days)
	c := chain{
		n: n, steps: make([][]float64, n+1), first: make([]int, n+1), end: make([]float64, n+1), strain: make([]float64, n+1), rest: make([]float64, n+1),
		r: r, task: t, lives: t.lives(), days: days, cover: cover,
	}
	c.price(n, until)
	return c
}

// newChainBeside is newChain where there is one of the same task with another cover, or
// from when it was fixed on another day: that day is of matter to the first node alone, and
// a cover to the nodes before it.
func (r *Request) newChainBeside(was *chain, t *Task, until float64, cover []int) chain {
	c := *was
	c.task, c.cover = t, cover
	c.steps, c.end, c.strain = slices.Clone(was.steps), slices.Clone(was.end), slices.Clone(was.strain)
	c.rest = slices.Clone(was.rest)
	last := 0
	if !slices.Equal(was.cover, cover) {
		for _, slots := range [][]int{was.cover, cover} {
			if n := len(slots); n > 0 {
				last = max(last, slots[n-1])
			}
		}
	}
	c.price(last, until)
	return c
}

// price prices the steps from the first nodes, up to one.
func (c *chain) price(last int, until float64) {
	r, t, n := c.r, c.task, c.n
	added, dropped := r.leaving(t, c.days)
	prices := &r.Prices
	all := make([]float64, 0, (last+1)*(2*n-last)/2)
	for from := range last + 1 {
		s := c.after(from)
		sunk := 0.0
		if from == 0 {
			sunk = s.turn(t, prices, 0).Harm
		}
		c.first[from] = from + 1
		begin := len(all)
		priced := newPricing(&s, t, prices)
		open := 0
		skipped := 0.0 // for turns of the last plan that the step leaves out, and up to the last cover
		strain := 0.0  // for days past the late date up to the last cover
		at, _ := slices.BinarySearch(c.cover, from)
		covers := c.cover[at:]
		for slot := from; slot < n; slot++ {
			day := c.days[slot]
			if day <= s.late {
				open++
			} else if day > max(s.late, 0)+pruneDays && open >= pruneSlots && (from > 0 || t.On == 0 && t.After == 0) && len(covers) == 0 {
				break
			}
			harm, waste, past := priced.cost(day)
			late := max(0, harm-sunk) + past
			price := late + waste + added[slot] + skipped
			if from == 0 && !t.allows(c.on(slot)) {
				price = noStep
			}
			covered := len(covers) > 0 && covers[0] == slot
			if covered {
				price = noStep
			}
			all = append(all, price)
			skipped += dropped[slot]
			if covered {
				skipped, strain = skipped+late, strain+past
				s, sunk, open = c.after(slot+1), 0, 0
				priced = newPricing(&s, t, prices)
				covers = covers[1:]
			}
		}
		end := len(all)
		for _, price := range dropped[from+end-begin:] {
			skipped += price
		}
		c.steps[from] = all[begin:end:end]
		last := s.turn(t, prices, until)
		missing := r.missing(t, &s, c.days, until)
		c.end[from], c.strain[from] = max(0, last.Harm-sunk)+last.Past+skipped+missing, last.Past+strain+missing
		if from == 0 && t.On != 0 {
			c.end[0] = noStep
		}
	}
	for from := last; from >= 0; from-- {
		least, behind := c.end[from], c.rest[c.first[from]-1:]
		for j, step := range c.steps[from] {
			least = min(least, step+behind[j+1])
		}
		c.rest[from] = least
	}
}

// dive gives the price of a way that is quickly found: from each node the step that would
// be the best if no slot but the next cost anything; +Inf where that leads nowhere.
func (c *chain) dive(spans []span, tolls []float64) float64 {
	sum, at := 0.0, 0
	for {
		row, to := c.steps[at], c.first[at]
		if spans != nil {
			s := spans[at]
			row, to = row[s.from:s.to], to+s.from
		}
		best, next := c.end[at], -1
		behind, tolled := c.rest[to:], tolls[to-1:]
		for j, step := range row {
			if x := step + tolled[j] + behind[j]; x < best {
				best, next = x, j
			}
		}
		if next < 0 {
			return sum + c.end[at]
		}
		sum += row[next] + tolled[next]
		at = to + next
	}
}

// on gives the day of a slot.
func (c *chain) on(slot int) record.Date { return c.r.Today + record.Date(c.days[slot]) }

// after gives the totals of the part as it stands at a node.
func (c *chain) after(node int) sums {
	if node == 0 {
		return c.task.start(c.r.Today)
	}
	return c.task.freshBy(c.lives, c.on(node-1), c.r.Today)
}

// strained gives what of the price of a way is for days past late dates.
func (c *chain) strained(way []int) float64 {
	sum, at := 0.0, 0
	for _, slot := range way {
		sum += c.strainedStep(at, slot)
		at = slot + 1
	}
	return sum + c.strain[at]
}

// strainedStep is strained of the step from a node to a slot.
func (c *chain) strainedStep(from, slot int) float64 {
	if slot+1-c.first[from] >= len(c.steps[from]) {
		return 0
	}
	sum, s := 0.0, c.after(from)
	priced := newPricing(&s, c.task, &c.r.Prices)
	for _, cover := range c.cover {
		if cover >= from && cover < slot {
			sum += priced.past(c.days[cover])
			s = c.after(cover + 1)
			priced = newPricing(&s, c.task, &c.r.Prices)
		}
	}
	return sum + priced.past(c.days[slot])
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
