package plan

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
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
			r.Tasks[i].Hands = 200
		case 3, 4:
			r.Tasks[i].Heats = !r.Tasks[i].Acid && slices.Contains(r.Tasks[i].States, State{Of: "machine", Name: Cold})
		}
	}
	if rapid.Bool().Draw(t, "published") {
		publish(r, made(r))
	}
	return r, busy
}

// Whatever gets in the way: no sitting on a blocked day, none longer than its
// slot unless it holds one task that no slot could hold or, by a quarter of an hour, what
// is brief and past its day, or what is brief and somebody's safety hangs on, timetables that can be kept, no turn past its late date while a slot with room lies before it, every
// turn past its late date listed with a reason and a way out, pins heard, and a price that can
// be paid.
func TestRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, busy := troubled(t)
		p := made(r)
		if math.IsInf(p.Cost, 0) || math.IsNaN(p.Cost) {
			t.Fatalf("a plan of %v minutes", p.Cost)
		}
		fixed := map[time.Time]bool{}
		for _, s := range p.Sittings {
			for _, b := range busy {
				if b.touches(s.Slot) {
					t.Fatalf("a sitting on %v, which is blocked", s.Start)
				}
			}
			for _, turn := range s.Turns {
				fixed[s.Start] = fixed[s.Start] || turn.Pinned
			}
			if over := s.Elapsed() > s.Minutes+roomy; over != s.Long || over && !fixed[s.Start] && s.Elapsed() > longestAlone(r, s)+roomy && !overForBrief(r, s) && !overForSafety(r, s) {
				t.Fatalf("%v minutes in a slot of %v with %d tasks, long: %v", s.Elapsed(), s.Minutes, len(s.Turns), s.Long)
			}
			checkTimetable(t, r, s)
		}
		for i := range r.Tasks {
			checkTurns(t, r, i, p, fixed)
		}
	})
}

// overForBrief tells whether a sitting runs a quarter of an hour over at the most, for
// tasks that are no longer, past their likely day, and come again within a month.
func overForBrief(r *Request, s Sitting) bool {
	for _, id := range s.Brief {
		t := &r.Tasks[slices.IndexFunc(r.Tasks, func(t Task) bool { return t.ID == id })]
		if t.Minutes() > 15 || t.Due[LikelyQuantile] > testToday || t.comesAgain(testToday) > 31 {
			return false
		}
	}
	return len(s.Brief) > 0 && s.Elapsed() <= s.Minutes+15+roomy
}

// overForSafety tells whether a sitting runs over for tasks of half an hour at the most on
// which somebody's safety hangs: by their minutes, and half an hour for another temper.
func overForSafety(r *Request, s Sitting) bool {
	over := 30.0
	for _, id := range s.Safety {
		t := &r.Tasks[slices.IndexFunc(r.Tasks, func(t Task) bool { return t.ID == id })]
		if t.Minutes() > 30 || t.Rank != Safety {
			return false
		}
		over += t.Minutes()
	}
	rest := s
	rest.Turns = slices.DeleteFunc(slices.Clone(s.Turns), func(t Turn) bool { return slices.Contains(s.Safety, t.Task) })
	return len(s.Safety) > 0 && s.Elapsed() <= max(s.Minutes+15, longestAlone(r, rest))+over+roomy
}

// longestAlone gives the minutes that the longest task of a sitting takes by
// itself: others may lie in its waits.
func longestAlone(r *Request, s Sitting) float64 {
	clock, longest := newClock(r), 0.0
	for _, turn := range s.Turns {
		longest = max(longest, clock.elapsed([]int{slices.IndexFunc(r.Tasks, func(t Task) bool { return t.ID == turn.Task })}))
	}
	return longest
}

// checkTimetable sees that one person could keep to a timetable: one thing at a
// time, all of each task's work in order with its waits between, cold work on a
// cold machine, hot on a hot one, nothing beside acid.
func checkTimetable(t interface{ Fatalf(string, ...any) }, r *Request, s Sitting) {
	free := 0.0 // when hands are free
	done := map[string]float64{}
	wait := map[string]float64{}
	begin, end := map[string]float64{}, map[string]float64{}
	for _, step := range s.Timetable {
		switch step.What {
		case Working:
			if step.From < free-roomy || step.From < end[step.Task]-roomy {
				t.Fatalf("hands at two things, or work before its wait is over: %+v in %+v", step, s.Timetable)
			}
			free = step.From + step.Minutes
			if _, ok := begin[step.Task]; !ok {
				begin[step.Task] = step.From
			}
			done[step.Task] += step.Minutes
		case Waiting:
			if math.Abs(step.From-end[step.Task]) > roomy && end[step.Task] > 0 {
				t.Fatalf("a wait that does not follow its work: %+v", step)
			}
			if _, ok := begin[step.Task]; !ok {
				begin[step.Task] = step.From
			}
			wait[step.Task] += step.Minutes
		}
		if step.Task != "" {
			end[step.Task] = step.From + step.Minutes
		}
	}
	for _, turn := range s.Turns {
		i := slices.IndexFunc(r.Tasks, func(task Task) bool { return task.ID == turn.Task })
		task := &r.Tasks[i]
		if math.Abs(done[task.ID]-task.Hands) > roomy || math.Abs(done[task.ID]+wait[task.ID]-task.Minutes()) > roomy {
			t.Fatalf("%s has %v minutes of hands and %v of waits in %+v", task.ID, done[task.ID], wait[task.ID], s.Timetable)
		}
		for _, state := range task.States {
			if state.Name == Hot || state.Name == Cold {
				checkTemper(t, r, s.Timetable, state, begin[task.ID], end[task.ID], heatedBy(r, s, task, state.Of))
			}
		}
		for _, other := range s.Turns {
			o := &r.Tasks[slices.IndexFunc(r.Tasks, func(task Task) bool { return task.ID == other.Task })]
			if task.Acid && !o.Acid && task.Of == o.Of && begin[o.ID] < end[task.ID]-roomy && end[o.ID] > begin[task.ID]+roomy {
				t.Fatalf("%s is done while acid of %s stands: %+v", o.ID, task.ID, s.Timetable)
			}
		}
	}
}

// heatedBy gives the steps by which work of a sitting switches a machine on in its own
// course: after the hands that it begins with where it then waits, else at once. Of work
// that heats the machine itself there are none.
func heatedBy(r *Request, s Sitting, of *Task, machine string) Timetable {
	if of.Heats {
		return nil
	}
	var steps Timetable
	for _, turn := range s.Turns {
		task := &r.Tasks[slices.IndexFunc(r.Tasks, func(task Task) bool { return task.ID == turn.Task })]
		if !task.Heats || !slices.Contains(task.States, State{Of: machine, Name: Cold}) {
			continue
		}
		i := slices.IndexFunc(s.Timetable, func(step Step) bool { return step.Task == task.ID })
		on := s.Timetable[i].From
		if len(task.Waits) > 0 && task.Waits[0].Minutes > 0 {
			on += task.Waits[0].After
		}
		steps = append(steps, Step{From: on, What: SwitchOn, Of: machine})
	}
	slices.SortFunc(steps, func(a, b Step) int { return cmp.Compare(a.From, b.From) })
	return steps[:min(1, len(steps))] // from then on it is on
}

// checkTemper sees that a machine is as hot or cold as work on it needs, from
// beginning to end; heated is how other work switches it on.
func checkTemper(t interface{ Fatalf(string, ...any) }, r *Request, table Timetable, state State, begin, end float64, heated Timetable) {
	machine := r.Machines[state.Of]
	temper, since, known := "", 0.0, false
	table = slices.Concat(table, heated)
	slices.SortStableFunc(table, func(a, b Step) int { return cmp.Compare(a.From, b.From) })
	for _, step := range table {
		if step.Of != state.Of || step.What != SwitchOn && step.What != SwitchOff {
			continue
		}
		if step.From > begin+roomy {
			if step.From < end-roomy {
				t.Fatalf("it is switched during the work: %+v", table)
			}
			continue
		}
		known = true
		temper, since = Hot, step.From+machine.HeatMinutes
		if step.What == SwitchOff {
			temper, since = Cold, step.From+machine.CoolMinutes
		}
	}
	if !known || temper != state.Name || since > begin+roomy {
		t.Fatalf("work that needs %s %s begins at %v, where it is %q since %v: %+v", state.Of, state.Name, begin, temper, since, table)
	}
}

func checkTurns(t *rapid.T, r *Request, i int, p Plan, fixed map[time.Time]bool) {
	task := &r.Tasks[i]
	days := p.Days(task.ID)
	covers := map[record.Date]bool{}
	for _, s := range p.Sittings {
		for _, turn := range s.Turns {
			if slices.Contains(turn.Covers, task.ID) {
				covers[s.Date()] = true
			}
		}
	}
	heard := task.On != 0 && slices.ContainsFunc(r.Slots, func(s Slot) bool { return s.Date() == task.On })
	if heard && !covers[task.On] && (len(days) == 0 || days[0] != task.On) {
		t.Fatalf("%s was fixed on %v and stands on %v", task.ID, task.On, days)
	}
	if len(days) > 0 && days[0] <= task.After && len(covers) == 0 {
		t.Fatalf("%s was put off beyond %v and stands on %v", task.ID, task.After, days)
	}
	for _, day := range days {
		if covers[day] {
			t.Fatalf("%s is done on %v, where another covers it", task.ID, day)
		}
	}
	for day := range covers {
		days = append(days, day)
	}
	slices.Sort(days)
	until := r.Until
	if n := len(r.Slots); n > 0 {
		until = max(until, r.Slots[n-1].Date()+1)
	}
	beyond := task.On >= until // the plan leaves it be
	lines := 0
	for _, c := range p.CannotMeet {
		if c.Task == task.ID {
			lines++
		}
	}
	if lines > 1 && (heard || task.On == 0) { // one more tells of a pin that could not be heard
		t.Fatalf("%s cannot be met, and %d lines say so", task.ID, lines)
	}
	clock := newClock(r)
	from, late := record.Date(0), task.Late
	for turn, on := range append(days, until) {
		listed := slices.ContainsFunc(p.CannotMeet, func(c CannotMeet) bool {
			return c.Task == task.ID && (c.Turn == turn+1 || slices.Contains(c.Later, turn+1)) && c.Reason != "" && c.WayOut != ""
		})
		behind := turn == 0 && p.CatchUp != nil && slices.Contains(p.CatchUp.Tasks, task.ID)
		if late != 0 && on > late && !behind && !listed {
			t.Fatalf("%s is past its late date %v on %v, and nothing says so", task.ID, late, on)
		}
		if due := task.Due[LikelyQuantile]; turn == 0 && on == until && due != 0 && due < until && !beyond && !listed {
			t.Fatalf("%s is likely due on %v, has no place, and nothing says so", task.ID, due)
		}
		if late != 0 && on > late && len(covers) == 0 {
			for _, s := range r.Slots {
				free := s.Date() > from && s.Date() < on && s.Date() <= late && clock.elapsed(with(r, p, s, i)) <= s.Minutes
				if free && !(turn == 0 && (heard || beyond || s.Date() <= task.After)) && !fixed[s.Start] && (p.CatchUp == nil || s.Date() > p.CatchUp.End+6) {
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

// with gives the tasks that a plan puts into a slot, and one more, in order.
func with(r *Request, p Plan, slot Slot, task int) []int {
	set := []int{task}
	for _, s := range p.Sittings {
		if !s.Start.Equal(slot.Start) {
			continue
		}
		for _, turn := range s.Turns {
			set = append(set, slices.IndexFunc(r.Tasks, func(t Task) bool { return t.ID == turn.Task }))
		}
	}
	slices.Sort(set)
	return slices.Compact(set)
}

// The same request gives the same plan, to the last bit.
func TestSameRequestSamePlan(t *testing.T) {
	r := household(rand.New(rand.NewPCG(5, 7)))
	if diff := gocmp.Diff(made(r), made(r)); diff != "" {
		t.Error(diff)
	}
}

// A turn's price is what each world by itself says, summed up.
func TestTurnPriceWorldByWorld(t *testing.T) {
	prices := UsualPrices()
	rapid.Check(t, func(t *rapid.T) {
		task := invented("t", 30, rapid.Float64Range(5, 900).Draw(t, "median"), rapid.Float64Range(0, 0.6).Draw(t, "spread"), record.Date(rapid.IntRange(0, 400).Draw(t, "ago")))
		task.Steep = rapid.Float64Range(1, 3).Draw(t, "steep")
		task.Stake = rapid.Float64Range(0, 300).Draw(t, "stake")
		task.Weight = rapid.Float64Range(0.1, 3).Draw(t, "weight")
		on := testToday + record.Date(rapid.IntRange(0, 500).Draw(t, "on"))
		s := task.start(testToday)
		day := float64(on - testToday)
		got := s.turn(&task, &prices, day)

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
				harm := task.Steep * task.Worth * (prices.Late*x + prices.LateSquared*x*x)
				if task.Stake > 0 && harm > task.Stake { // it costs its parts, and once more for each life from then on
					gone := (math.Sqrt(prices.Late*prices.Late+4*prices.LateSquared*task.Stake/(task.Steep*task.Worth)) - prices.Late) / (2 * prices.LateSquared)
					harm = task.Stake * (1 + x - gone)
				}
				want.Harm += harm / n
				want.Risk += 1 / n
				want.Days += late / n
			} else {
				want.Unused += -late / mean / n
			}
		}
		want.Waste = task.Worth * want.Unused
		if over := day - max(0, float64(task.Late-testToday)); over > 0 && task.Late != 0 {
			want.Past = prices.PassLate + prices.PastLate*task.Weight*over
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
	for _, turn := range made(r).Sittings[0].Turns {
		got = append(got, turn.Task)
	}
	if diff := gocmp.Diff([]string{"backflush", "descale", "gasket", "cartridge"}, got); diff != "" {
		t.Error(diff)
	}
}

// Without slots, or without tasks, there is nothing to plan and nothing breaks.
func TestNothingToPlan(t *testing.T) {
	r := &Request{Today: testToday, Until: testToday + 500, Prices: UsualPrices(), Tasks: []Task{invented("t", 30, 100, 0.3, 90)}}
	p := made(r)
	if len(p.Sittings) != 0 || len(p.CannotMeet) != 1 {
		t.Errorf("%d sittings and %d conflicts, want none and the one that says there is no slot", len(p.Sittings), len(p.CannotMeet))
	}
	r.Slots, r.Tasks = weekly(10, 60), nil
	if p := made(r); len(p.Sittings)+len(p.CannotMeet) != 0 || p.Gap() != 0 {
		t.Errorf("a plan of nothing: %+v", p)
	}
}
