package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// troubled draws a small request with everything that can get in the way: days
// blocked, slots too short, tasks overdue, pins, an earlier plan.
func troubled(t *rapid.T) (*Request, []Busy) {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
	r := smallCase(rng)
	var busy []Busy
	for range rapid.IntRange(0, 3).Draw(t, "blocked") {
		from := testToday + record.Date(rapid.IntRange(0, 60).Draw(t, "from"))
		busy = append(busy, Whole(from, from+record.Date(rapid.IntRange(0, 20).Draw(t, "days")), time.UTC))
	}
	r.Slots = Free(r.Slots, busy)
	for i := range r.Tasks {
		switch rapid.IntRange(0, 9).Draw(t, "pin") {
		case 0:
			r.Tasks[i].On = testToday + record.Date(rapid.IntRange(0, 70).Draw(t, "on"))
		case 1:
			r.Tasks[i].After = testToday + record.Date(rapid.IntRange(0, 70).Draw(t, "after"))
		case 2:
			r.Tasks[i].Minutes = 200
		}
	}
	if rapid.Bool().Draw(t, "published") {
		publish(r, Make(r))
	}
	return r, busy
}

// Whatever gets in the way: no sitting on a blocked day, none longer than its
// slot, no turn past its late date while a slot with room lies before it, every
// turn past its late date listed with a reason, tasks in order, pins heard.
func TestRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, busy := troubled(t)
		p := Make(r)
		work := map[time.Time]float64{}
		fixed := map[time.Time]bool{}
		for _, s := range p.Sittings {
			work[s.Start] = s.Work()
			for _, b := range busy {
				if b.touches(s.Slot) {
					t.Fatalf("a sitting on %v, which is blocked", s.Start)
				}
			}
			long := false
			for i, turn := range s.Turns {
				fixed[s.Start] = fixed[s.Start] || turn.Pinned
				long = long || turn.Minutes > s.Minutes
				if i > 0 && s.Turns[i-1].Task > turn.Task { // all of one order here
					t.Fatalf("%s before %s", s.Turns[i-1].Task, turn.Task)
				}
			}
			if s.Work() > s.Minutes+roomy && !fixed[s.Start] && !(long && len(s.Turns) == 1) {
				t.Fatalf("%v minutes of work in a slot of %v", s.Work(), s.Minutes)
			}
		}
		for i := range r.Tasks {
			checkTurns(t, r, &r.Tasks[i], p, work, fixed)
		}
	})
}

func checkTurns(t *rapid.T, r *Request, task *Task, p Plan, work map[time.Time]float64, fixed map[time.Time]bool) {
	days := p.Days(task.ID)
	heard := task.On != 0 && slices.ContainsFunc(r.Slots, func(s Slot) bool { return s.Date() == task.On })
	if heard && (len(days) == 0 || days[0] != task.On) {
		t.Fatalf("%s was fixed on %v and stands on %v", task.ID, task.On, days)
	}
	if len(days) > 0 && days[0] <= task.After {
		t.Fatalf("%s was put off beyond %v and stands on %v", task.ID, task.After, days)
	}
	longest := 0.0
	for _, s := range r.Slots {
		longest = max(longest, s.Minutes)
	}
	until := r.Until
	if n := len(r.Slots); n > 0 {
		until = max(until, r.Slots[n-1].Date()+1)
	}
	from, late := record.Date(0), task.Late
	for turn, on := range append(days, until) {
		if late != 0 && on > late {
			if !slices.ContainsFunc(p.CannotMeet, func(c CannotMeet) bool { return c.Task == task.ID && c.Turn == turn+1 && c.Reason != "" }) {
				t.Fatalf("%s is past its late date %v on %v, and no conflict says so", task.ID, late, on)
			}
			for _, s := range r.Slots {
				free := s.Date() > from && s.Date() < on && s.Date() <= late && work[s.Start]+min(task.Minutes, longest) <= s.Minutes
				if free && !(turn == 0 && (heard || s.Date() <= task.After)) && !fixed[s.Start] {
					t.Fatalf("%s is past its late date %v on %v, and %v has room", task.ID, late, on, s.Start)
				}
			}
		}
		// As the plan takes it: the day by which nine worlds in ten have it due.
		from, late = on, 0
		if l := task.from(on); l[LateQuantile] < beyondDays {
			late = on + record.Date(math.Floor(l[LateQuantile]))
		}
	}
}

// The same request gives the same plan, to the last bit.
func TestSameRequestSamePlan(t *testing.T) {
	r := household(rand.New(rand.NewPCG(5, 7)))
	if diff := cmp.Diff(Make(r), Make(r)); diff != "" {
		t.Error(diff)
	}
}

// A turn's price is what each world by itself says, summed up.
func TestTurnPriceWorldByWorld(t *testing.T) {
	prices := UsualPrices()
	rapid.Check(t, func(t *rapid.T) {
		task := invented("t", 30, rapid.Float64Range(5, 900).Draw(t, "median"), rapid.Float64Range(0, 0.6).Draw(t, "spread"), record.Date(rapid.IntRange(0, 400).Draw(t, "ago")))
		task.Steep = rapid.Float64Range(1, 3).Draw(t, "steep")
		on := testToday + record.Date(rapid.IntRange(0, 500).Draw(t, "on"))
		s := task.start(testToday)
		day := float64(on - testToday)
		got := s.turn(&task, &prices, day, s.before(day))

		mean := 0.0
		for _, due := range task.Due {
			life := float64(beyondDays)
			if due != 0 {
				life = min(life, float64(due-task.Fresh))
			}
			mean += life / float64(len(task.Due))
		}
		mean = max(1, mean)
		var want turn
		for _, due := range task.Due {
			dueDay := float64(task.Fresh-testToday) + beyondDays
			if due != 0 {
				dueDay = float64(due - testToday)
			}
			n := float64(len(task.Due))
			if late := day - dueDay; late > 0 {
				x := late / mean
				want.Harm += task.Steep * task.Worth * (prices.Late*x + prices.LateSquared*x*x) / n
				want.Risk += 1 / n
				want.Days += late / n
			} else {
				want.Unused += -late / mean / n
			}
		}
		want.Waste = task.Worth * want.Unused
		if over := day - max(0, float64(task.Late-testToday)); over > 0 && task.Late != 0 {
			want.Past = prices.PastLate * over
		}
		for _, c := range [][2]float64{{got.Harm, want.Harm}, {got.Waste, want.Waste}, {got.Past, want.Past}, {got.Risk, want.Risk}, {got.Unused, want.Unused}, {got.Days, want.Days}} {
			if math.Abs(c[0]-c[1]) > 1e-6*(1+math.Abs(c[1])) {
				t.Fatalf("got %+v, want %+v", got, want)
			}
		}
	})
}

// Detergent before the gasket, a descaling before the new cartridge, what needs
// the machine hot before what must wait until it is cold: the order that tasks
// are given is the order in which they stand.
func TestOrderWithinASitting(t *testing.T) {
	r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(2, 300), Until: testToday + 30}
	for i, id := range []string{"gasket", "cartridge", "descale", "backflush"} {
		task := invented(id, 30, 10, 0.1, 30)
		task.Order = []int{2, 9, 1, 0}[i]
		r.Tasks = append(r.Tasks, task)
	}
	var got []string
	for _, turn := range Make(r).Sittings[0].Turns {
		got = append(got, turn.Task)
	}
	if diff := cmp.Diff([]string{"backflush", "descale", "gasket", "cartridge"}, got); diff != "" {
		t.Error(diff)
	}
}

// Without slots, or without tasks, there is nothing to plan and nothing breaks.
func TestNothingToPlan(t *testing.T) {
	r := &Request{Today: testToday, Until: testToday + 500, Prices: UsualPrices(), Tasks: []Task{invented("t", 30, 100, 0.3, 90)}}
	p := Make(r)
	if len(p.Sittings) != 0 || len(p.CannotMeet) != 1 {
		t.Errorf("%d sittings and %d conflicts, want none and the one that says there is no slot", len(p.Sittings), len(p.CannotMeet))
	}
	r.Slots, r.Tasks = weekly(10, 60), nil
	if p := Make(r); len(p.Sittings)+len(p.CannotMeet) != 0 || p.Gap() != 0 {
		t.Errorf("a plan of nothing: %+v", p)
	}
}
