package day

import (
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// againMonths are the days to come, in months from today, for which the wear of
// a part made fresh then is worked out. Between them life changes little.
var againMonths = []int{0, 3, 6, 12, 18}

func againDays(today record.Date) []record.Date {
	days := make([]record.Date, len(againMonths))
	for i, months := range againMonths {
		days[i] = today.AddMonths(months)
	}
	return days
}

// arrange plans the sittings of a forecast whose outcomes are known.
func (f *Forecast) arrange() error {
	today := f.Day.Today
	until := today.AddMonths(f.Day.key.months)
	slots, err := plan.Slots(f.Day.Place, today, until)
	if err != nil {
		return err
	}
	request := &plan.Request{Today: today, Until: until + 1, Prices: plan.UsualPrices(), Effort: f.Day.key.effort}
	published := publishedDays(f.Day.Book)
	var keep []record.Date
	for _, x := range f.outcomes {
		if f.routine(x) || x.Absence != nil { // the one is done daily, the other has its day
			continue
		}
		t := f.planTask(x)
		t.Published = published[x.Duty.ID]
		keep = append(keep, t.Published...)
		if t.On != 0 {
			keep = append(keep, t.On)
			if !slices.ContainsFunc(slots, func(s plan.Slot) bool { return s.Date() == t.On }) {
				added, err := plan.SlotOn(f.Day.Place, t.On)
				if err != nil {
					return err
				}
				slots = append(slots, added)
			}
		}
		request.Tasks = append(request.Tasks, t)
	}
	slices.SortFunc(slots, func(a, b plan.Slot) int { return a.Start.Compare(b.Start) })
	request.Slots = plan.Thin(plan.Free(slots, f.blocked(until)), today, keep)
	f.request, f.plan = request, plan.Make(request)
	return nil
}

// mostRounds bounds how often a plan is made with itself as the one before it.
const mostRounds = 4

// Published returns the forecast with a plan that would be made again if it were
// published: leaving what went out costs something, so a plan must not move by
// having gone out. It takes a few plannings.
func (f *Forecast) Published() *Forecast {
	made, request := f.plan, f.request
	for range mostRounds {
		days := map[string][]record.Date{}
		for _, s := range made.Sittings {
			for _, turn := range s.Turns {
				days[turn.Task] = append(days[turn.Task], s.Date())
			}
		}
		next := *request
		next.Tasks = slices.Clone(request.Tasks)
		same := true
		for i := range next.Tasks {
			t := &next.Tasks[i]
			same = same && slices.Equal(t.Published, days[t.ID])
			t.Published = days[t.ID]
		}
		if same {
			break
		}
		made, request = plan.Make(&next), &next
	}
	steady := *f
	steady.plan = made
	return &steady
}

// blocked gathers the times at which no sitting can be.
func (f *Forecast) blocked(until record.Date) []plan.Busy {
	zone := f.Day.Zone
	var busy []plan.Busy
	for _, b := range f.Day.Book.Blocked() {
		busy = append(busy, plan.Whole(b.Body.From, b.Body.To, zone))
	}
	for _, a := range allAway(f.Day.Book) {
		to := a.To
		if to.IsZero() {
			to = until
		}
		busy = append(busy, plan.Whole(a.From, to, zone))
	}
	return append(busy, f.own...)
}

// allAway gives the times away at which no machine of the place is in use: then
// nobody is there to do the work.
func allAway(book *record.Book) []record.Away {
	var away []record.Away
	machines := 0
	count := map[int64]int{}
	bodies := map[int64]record.Away{}
	var order []int64
	for _, e := range book.Equipment() {
		if e.Machine == nil {
			continue
		}
		machines++
		for _, a := range book.Aways(e.ID) {
			if count[a.ID]++; count[a.ID] == 1 {
				order = append(order, a.ID)
				bodies[a.ID] = a.Body
			}
		}
	}
	for _, id := range order {
		if count[id] == machines {
			away = append(away, bodies[id])
		}
	}
	return away
}

// publishedDays gives the days on which the turns of each task stood in the
// plan published last, as the clock at the place showed them then.
func publishedDays(book *record.Book) map[string][]record.Date {
	days := map[string][]record.Date{}
	last, ok := book.LastPublication()
	if !ok {
		return days
	}
	for _, e := range last.Entries {
		days[e.Task] = append(days[e.Task], record.DateOf(e.Start))
	}
	for _, t := range last.Later {
		days[t.Task] = append(days[t.Task], t.On)
	}
	for task := range days {
		slices.Sort(days[task])
	}
	return days
}

// licensedSteep is how many times as bad as usual it is to be late with work
// that licensed people do, since it is about safety. Assumption.
const licensedSteep = 3

// planTask makes the planner's task of an outcome.
func (f *Forecast) planTask(x wear.Outcome) plan.Task {
	work := x.Duty.Task
	t := plan.Task{
		ID: x.Duty.ID, Minutes: work.Minutes, Worth: worth(work), Order: orderOf(work),
		Fresh: x.Since, Late: x.Window.Late, Due: x.Due,
	}
	if work.Who == care.Licensed {
		t.Steep = licensedSteep
	}
	if len(x.Again) > 0 {
		t.Lives = plan.Lives{Days: againDays(f.Day.Today), Due: x.Again}
	}
	for _, need := range work.Needs {
		state := plan.State{Of: x.Duty.Equipment.ID, Name: need}
		if need == needMainsOff {
			state.Of = "" // one valve for the whole place
		}
		t.States = append(t.States, state)
	}
	if pin, ok := f.Day.Book.Pin(t.ID, x.Served); ok {
		t.After = pin.After
		if pin.On >= f.Day.Today { // a day that has passed holds nothing any more
			t.On = pin.On
		}
	}
	return t
}

// worth is what a turn of a task is worth, in minutes: the work, and about as
// much again for what it uses up, and a quarter of an hour around it.
// Assumption.
func worth(t *care.Task) float64 { return 15 + 2*t.Minutes }

// Words for states in the catalogue that say more than their price.
const (
	needHot      = "hot"
	needCold     = "cold"
	needMainsOff = "mains off"
)

// orderOf is a task's place within a sitting. What needs the machine hot comes
// first; then it is left to cool while other work is done; then comes what needs
// it cold. In each, detergent comes before anything it could harm, and acid
// before what must not meet it; a new cartridge comes last of all, behind a
// descaling.
func orderOf(t *care.Task) int {
	order := 10
	switch {
	case t.Per == care.PerCartridge:
		return 90
	case slices.Contains(t.Needs, needHot):
		order = 0
	case slices.Contains(t.Needs, needCold):
		order = 20
	}
	switch {
	case slices.Contains(t.Hazards, "acid"):
		return order + 1
	case slices.Contains(t.Hazards, "detergent"):
		return order
	}
	return order + 2
}

// routineLife is the life, in days, below which a task comes round too often
// for weekly sittings, even if it is done late: it is part of the routine.
const routineLife = 7

// routine tells whether a task comes round so often that it belongs to the
// routine and not to a sitting.
func (f *Forecast) routine(x wear.Outcome) bool {
	for _, g := range x.Duty.Gauges {
		if g.Driver == care.ByDays && g.Limit.Usual <= plan.RoutineDays {
			return true
		}
	}
	if len(x.Again) == 0 || x.Doubt != nil { // a water that no test settles is no daily care
		return false
	}
	// Of a part made fresh today, whatever state the present one is in.
	late := x.Again[0][plan.LateQuantile]
	return late != 0 && late-f.Day.Today < routineLife
}

// Sittings returns the sittings that are planned, in order of time.
func (f *Forecast) Sittings() []plan.Sitting { return f.plan.Sittings }

// Routine lists the tasks that come round too often for sittings.
func (f *Forecast) Routine() []string {
	var tasks []string
	for _, x := range f.outcomes {
		if f.routine(x) {
			tasks = append(tasks, x.Duty.ID)
		}
	}
	return tasks
}
