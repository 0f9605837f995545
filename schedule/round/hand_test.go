package round

import (
	"cmp"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// A year of rounds over twelve invented cafés, each with work that falls due by lives
// nobody knows exactly: planned, by need alone, and each café on a weekday of its own.

// cafe is one of them, with the truth.
type cafe struct {
	work []*chore
}

// chore is a task with its life: as it is known, and as it turns out each time.
type chore struct {
	minutes float64
	median  float64 // days
	sd      float64 // of the logarithm of days
	fresh   record.Date
	due     record.Date // in truth
	stake   float64
}

// renew begins the next life on a day.
func (c *chore) renew(on record.Date, rng *rand.Rand) {
	c.fresh = on
	c.due = on + record.Date(math.Round(c.median*math.Exp(c.sd*rng.NormFloat64())))
}

// task is the chore as a planner knows it.
func (c *chore) task() plan.Task {
	t := plan.Task{Hands: c.minutes, Worth: 15 + 2*c.minutes, Stake: c.stake, Weight: c.stake / 300, Fresh: c.fresh}
	for i := range t.Due {
		z := math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/float64(len(t.Due))-1)
		t.Due[i] = c.fresh + record.Date(math.Round(c.median*math.Exp(c.sd*z)))
	}
	t.Late = t.Due[plan.LateQuantile]
	return t
}

// town is the cafés with the way between them, and the person's hours.
type town struct {
	cafes  []*cafe
	travel [][]float64
}

const (
	workFrom, workTo = 8 * 60.0, 16 * 60.0
	stop             = 10.0
	yearWeeks        = 52
)

func newTown(seed uint64, begin record.Date) (*town, *rand.Rand) {
	rng := rand.New(rand.NewPCG(seed, 52))
	w := &town{}
	points := [][2]float64{{0, 0}}
	for range 12 {
		points = append(points, [2]float64{40*rng.Float64() - 20, 40*rng.Float64() - 20})
	}
	for _, a := range points {
		var row []float64
		for _, b := range points {
			road := 0.0
			if a != b {
				road = 4 + 1.3*math.Hypot(a[0]-b[0], a[1]-b[1])
			}
			row = append(row, road)
		}
		w.travel = append(w.travel, row)
	}
	// Minutes, median days and stakes of a bar's work as the catalogue and the table of
	// limits have them: detergent care of the grinder, water tests, gaskets, descaling,
	// burrs, yearly checks.
	kinds := []chore{{20, 45, 0.3, 0, 0, 60}, {15, 60, 0.35, 0, 0, 120}, {30, 150, 0.35, 0, 0, 240}, {100, 180, 0.4, 0, 0, 400}, {45, 240, 0.3, 0, 0, 300}, {30, 365, 0.2, 0, 0, 300}}
	for range 12 {
		c := &cafe{}
		busy := math.Exp(0.4 * rng.NormFloat64())
		for _, k := range kinds {
			k.median /= busy
			k.renew(begin-record.Date(k.median*rng.Float64()*0.9), rng)
			k.due = max(k.due, begin-20)
			c.work = append(c.work, &k)
		}
		w.cafes = append(w.cafes, c)
	}
	return w, rng
}

// tally is how a year went.
type tally struct{ road, late, visits, wasted float64 }

// do does chores at a café on a day, and counts.
func (y *tally) do(c *cafe, chores []int, on record.Date, rng *rand.Rand) {
	y.visits++
	for _, j := range chores {
		k := c.work[j]
		y.late += math.Max(0, float64(on-k.due))
		y.wasted += math.Max(0, float64(k.due-on)) / k.median
		k.renew(on, rng)
	}
}

// planned is the year by Make, week by week.
func planned(t *testing.T, seed uint64, begin record.Date) tally {
	w, rng := newTown(seed, begin)
	var y tally
	prices := plan.UsualPrices()
	for week := range yearWeeks {
		first := begin + record.Date(7*week)
		r := &Request{Stop: stop, Travel: w.travel}
		for d := range 5 {
			r.Days = append(r.Days, Day{On: first + record.Date(d), From: workFrom, To: workTo})
		}
		for i, c := range w.cafes {
			p := Place{}
			needed := false
			for _, k := range c.work {
				task := k.task()
				pricer := plan.NewPricer(&task, &prices, first)
				j := Job{Left: pricer.On(first + 7 + nextDay).Whole()}
				for d := range r.Days {
					j.Cost = append(j.Cost, pricer.On(r.Days[d].On).Whole())
				}
				needed = needed || task.Due[plan.LikelyQuantile] <= first+7+nextDay+28
				p.Jobs = append(p.Jobs, j)
			}
			for range r.Days {
				p.Open = append(p.Open, []Span{{workFrom, workTo}})
			}
			p.Lay = func(set []int) Work {
				sum := 0.0
				for _, j := range set {
					sum += c.work[j].minutes
				}
				return Work{Minutes: sum}
			}
			r.Places = append(r.Places, p)
			if needed {
				r.Places[i].Again = -1 // worked out below, where all places are known
			}
		}
		for i := range r.Places {
			if r.Places[i].Again < 0 {
				r.Places[i].Again = r.detour(i)
			}
		}
		plan, err := Make(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		y.road += plan.Road
		for _, v := range plan.Visits {
			y.do(w.cafes[v.Place], v.Jobs, r.Days[v.Day].On, rng)
		}
	}
	return y
}

// byHand is a year by a rule: which cafés are gone to on a day, the most urgent first, and
// what is done there. What does not fit into the day is left.
func byHand(seed uint64, begin record.Date, ask func(w *town, on record.Date, day int) []int, chores func(c *cafe, on record.Date) []int) tally {
	w, rng := newTown(seed, begin)
	var y tally
	for day := range 7 * yearWeeks {
		if day%7 > 4 {
			continue
		}
		on := begin + record.Date(day)
		point, time := 0, workFrom
		for _, i := range ask(w, on, day) {
			todo := chores(w.cafes[i], on)
			minutes := 0.0
			for _, j := range todo {
				minutes += w.cafes[i].work[j].minutes
			}
			road := w.travel[point][i+1]
			if len(todo) == 0 || time+road+stop+minutes+w.travel[i+1][0] > workTo {
				continue
			}
			time += road + stop + minutes
			y.road += road
			point = i + 1
			y.do(w.cafes[i], todo, on, rng)
		}
		y.road += w.travel[point][0]
	}
	return y
}

// by lists the chores of a café that are likely due by a day.
func (c *cafe) by(on record.Date) []int {
	var all []int
	for j, k := range c.work {
		if k.fresh+record.Date(math.Round(k.median)) <= on {
			all = append(all, j)
		}
	}
	return all
}

func TestAgainstRoundsByHand(t *testing.T) {
	begin := record.NewDate(2026, 1, 5) // a Monday
	var ours, need, weekday tally
	towns := uint64(1)
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		towns = 2
	}
	add := func(to *tally, y tally) {
		to.road, to.late, to.visits, to.wasted = to.road+y.road, to.late+y.late, to.visits+y.visits, to.wasted+y.wasted
	}
	for seed := uint64(1); seed <= towns; seed++ {
		add(&ours, planned(t, seed, begin))
		// By need alone: whatever is likely due today is gone to today, the most urgent
		// first, and with it is done what is likely due within a fortnight.
		add(&need, byHand(seed, begin, func(w *town, on record.Date, _ int) []int {
			var all []int
			for i, c := range w.cafes {
				if len(c.by(on)) > 0 {
					all = append(all, i)
				}
			}
			slices.SortStableFunc(all, func(a, b int) int {
				first := func(i int) record.Date {
					day := record.Date(math.MaxInt32)
					for _, k := range w.cafes[i].work {
						day = min(day, k.fresh+record.Date(k.median))
					}
					return day
				}
				return cmp.Compare(first(a), first(b))
			})
			return all
		}, func(c *cafe, on record.Date) []int { return c.by(on + 14) }))
		// By fixed weekday: neighbours share a day, every second week, and what is likely
		// due before the next time is done.
		add(&weekday, byHand(seed, begin, func(w *town, _ record.Date, day int) []int {
			order := make([]int, len(w.cafes))
			for i := range order {
				order[i] = i
			}
			slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(w.travel[1][a+1], w.travel[1][b+1]) })
			slot := day%7 + 5*(day/7%2)
			if 2*slot > len(order) {
				return nil
			}
			return order[min(2*slot, len(order)):min(2*slot+2, len(order))]
		}, func(c *cafe, on record.Date) []int { return c.by(on + 14) }))
	}
	for _, x := range []struct {
		name string
		tally
	}{{"planned", ours}, {"by need alone", need}, {"by fixed weekday", weekday}} {
		t.Logf("%-17s %6.0f minutes on the road, %5.0f days late, %4.0f visits, %4.1f lives wasted, a year", x.name, x.road/float64(towns), x.late/float64(towns), x.visits/float64(towns), x.wasted/float64(towns))
	}
	if ours.road > 0.7*need.road || ours.road > 0.5*weekday.road {
		t.Error("a round by hand is nearly as little on the road")
	}
	if ours.late >= need.late || ours.late > 1.1*weekday.late {
		t.Error("a round by hand is less late: that by need, or by a tenth that of every second week")
	}
}
