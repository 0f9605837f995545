package day

import (
	"cmp"
	"context"
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
func (f *Forecast) arrange(ctx context.Context) error {
	today := f.Day.Today
	until := today.AddMonths(f.Day.key.months)
	slots, err := plan.Slots(f.Day.Place, today, until)
	if err != nil {
		return err
	}
	request := &plan.Request{
		Today: today, Until: until + 1, Prices: plan.UsualPrices(), Effort: f.Day.effort(),
		CatchUpMinutes: f.Day.Place.CatchUpMinutes, Machines: map[string]plan.Machine{}, Closed: f.closed(until),
	}
	request.Quiet = request.Effort == plan.QuietEffort
	if wished, ok := f.Day.Place.RoutineWish().Weekday.Day(); ok {
		request.RoutineDay = &wished
	}
	for _, e := range f.Day.Book.Equipment() {
		if e.Machine != nil {
			request.Machines[e.ID] = plan.MachineOf(e.Machine)
		}
	}
	published := f.Day.publishedDays()
	var keep []record.Date
	for _, x := range f.outcomes {
		if x.Absence != nil { // it has its day
			continue
		}
		t := f.planTask(x)
		t.Published = published[x.Duty.ID]
		keep = append(keep, t.Published...)
		if t.On != 0 && t.On <= until && !t.Visit && t.Booked == 0 {
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
	f.holdUntilLooked(request)
	f.leaveBegunAsItIs(request)
	f.request = request
	if f.plan, err = f.Day.makePlan(ctx, request); err != nil {
		return err
	}
	f.addAwayVisits()
	f.tell()
	return nil
}

// addAwayVisits puts booked work that goes with a time away among the visits, on its day:
// somebody has to be called for it in time as well.
func (f *Forecast) addAwayVisits() {
	all := slices.Clone(f.plan.Appointments)
	for _, x := range f.outcomes {
		if x.Absence == nil || !x.Duty.Task.Who.Booked() || x.Absence.Due >= f.request.Until {
			continue
		}
		on := max(x.Absence.Due, f.Day.Today)
		all = append(all, plan.Appointment{
			Of: x.Duty.Equipment.ID, Turns: []plan.Turn{{Task: x.Duty.ID, Number: 1, Minutes: x.Duty.Task.Minutes}},
			CallBy: max(on-plan.UsualLead, f.Day.Today), On: on, By: on,
		})
	}
	slices.SortStableFunc(all, func(a, b plan.Appointment) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Of, b.Of)) })
	f.plan.Appointments = all
}

const (
	// firstSittingWait is how long what might be due may be left to wait for what a
	// first look says, in days. Assumption.
	firstSittingWait = 14
	// firstSittingSpare is what a slot keeps free of looking, for heating and for what
	// the owner has fixed there, in minutes. Assumption.
	firstSittingSpare = 20
)

// holdUntilLooked leaves the first sitting to taking stock of a machine whose past
// nobody knows, and to the first test of its water: what may wait to see what that
// shows comes after it. What is likely past, or late soon after, does not wait, nor
// does what the owner has fixed.
func (f *Forecast) holdUntilLooked(request *plan.Request) {
	outcomes := make([]*wear.Outcome, len(request.Tasks))
	looks := false
	for i := range request.Tasks {
		k := slices.IndexFunc(f.outcomes, func(x wear.Outcome) bool { return x.Duty.ID == request.Tasks[i].ID })
		outcomes[i] = &f.outcomes[k]
		looks = looks || outcomes[i].Duty.Task.ID == care.FirstLook
	}
	if !looks {
		return
	}
	taken := make([]float64, len(request.Slots))
	weeks := map[record.Date]float64{} // minutes of looking, which are part of what a week is to hold
	first, longest := record.Date(0), 0.0
	for _, slot := range request.Slots {
		longest = max(longest, slot.Minutes)
	}
	for i := range request.Tasks {
		t, x := &request.Tasks[i], outcomes[i]
		if x.Duty.Task.ID != care.FirstLook && (x.Doubt == nil || !x.Doubt.LastTest.IsZero()) {
			continue
		}
		for s, slot := range request.Slots {
			week := plan.WeekOf(slot.Date())
			roomy := weeks[week] == 0 || weeks[week]+t.Minutes() <= request.PerWeek()
			// What no slot could hold stands alone in the first that there is.
			holds := taken[s]+t.Minutes()+firstSittingSpare <= slot.Minutes || taken[s] == 0 && t.Minutes()+firstSittingSpare > longest
			if roomy && slot.Date() > t.After && holds {
				t.First = slot.Date()
				taken[s] += t.Minutes()
				weeks[week] += t.Minutes()
				first = max(first, t.First)
				break
			}
		}
	}
	for i := range request.Tasks {
		t, x := &request.Tasks[i], outcomes[i]
		likely, late := x.Window.Likely, x.Window.Late
		waits := (likely.IsZero() || likely > first) && (late.IsZero() || late > first+firstSittingWait)
		if x.Past != nil && x.Doubt == nil && t.On == 0 && waits {
			t.After, t.Held = max(t.After, first), t.Held || t.After < first
		}
	}
}

// mostRounds bounds how often a plan is made with itself as the one before it.
const mostRounds = 4

// Published returns the forecast with a plan that would be made again if it were
// published: leaving what went out costs something, so a plan must not move by
// having gone out. It takes a few plannings, and stops soon after the context ends, with
// its cause. In a night of many places it is left to the next night to hold to it.
func (f *Forecast) Published(ctx context.Context) (*Forecast, error) {
	if f.Day.opener.Nightly {
		return f, nil
	}
	made, request := f.plan, f.request
	for range mostRounds {
		next := *request
		next.Tasks = slices.Clone(request.Tasks)
		same := true
		for i := range next.Tasks {
			t := &next.Tasks[i]
			days := made.Days(t.ID)
			same = same && slices.Equal(t.Published, days)
			t.Published = days
		}
		if same {
			break
		}
		var err error
		if made, err = f.Day.makePlan(ctx, &next); err != nil {
			return nil, err
		}
		request = &next
	}
	steady := *f
	steady.plan = made
	if request != f.request { // planned anew
		steady.addAwayVisits()
	}
	steady.tell()
	return &steady, nil
}

// blocked gathers the times at which no sitting can be.
func (f *Forecast) blocked(until record.Date) []plan.Busy {
	zone := f.Day.Zone
	var busy []plan.Busy
	for _, b := range f.Day.Book.Blocked() {
		busy = append(busy, plan.Whole(b.Body.From, b.Body.To, zone))
	}
	for _, d := range f.closed(until) {
		busy = append(busy, plan.Whole(d.From, d.To, zone))
	}
	return append(busy, f.own.busy...)
}

// closed gathers the days on which nobody is there.
func (f *Forecast) closed(until record.Date) []plan.Days {
	var days []plan.Days
	for _, a := range allAway(f.Day.Book) {
		to := a.To
		if to.IsZero() {
			to = until
		}
		days = append(days, plan.Days{From: a.From, To: to})
	}
	return days
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

// publishedDays returns the days on which the turns of each task stood in the
// plan published last. A next turn that was done since is gone: its day holds
// nothing for the one after it.
func (d *Day) publishedDays() map[string][]record.Date {
	days := map[string][]record.Date{}
	last, ok := d.Book.LastPublication()
	if !ok {
		return days
	}
	served := map[string]int64{}
	for _, duty := range d.Duties {
		if service, ok := LastService(d.Book, duty); ok {
			served[duty.ID] = service.ID
		}
	}
	for _, t := range last.Turns {
		if t.Number > 1 || t.Served == served[t.Task] {
			days[t.Task] = append(days[t.Task], t.On)
		}
	}
	for task := range days {
		slices.Sort(days[task])
	}
	return days
}

// What rules a task's place: whose safety hangs on it comes first; then what
// harms the machine, which is what has so many minutes at stake. Assumptions.
const (
	safetySteep = 3    // how many times as bad as usual it is to be late with what is for safety
	harmAtStake = 200  // minutes from which lateness counts as harm to the machine
	stakeWeight = 300  // minutes at stake of a task of the usual weight
	leastWeight = 0.05 // of a task with next to nothing at stake
	mostWeight  = 10
)

// leaveBegunAsItIs keeps other work out of the sitting of today once some of it was done:
// what stood in it goes on, and the plan goes on with the days after it. What went out says
// what stood in it; where nothing ever went out, the time that was used is gone.
func (f *Forecast) leaveBegunAsItIs(request *plan.Request) {
	today, done := f.Day.Today, 0.0
	for _, duty := range f.Day.Duties {
		last, ok := LastService(f.Day.Book, duty)
		if ok && last.On == today && last.Body.Task == duty.ID && !duty.Task.Small() && !duty.Task.Who.Booked() {
			done += duty.Task.Hands()
		}
	}
	if done == 0 {
		return
	}
	if _, wentOut := f.Day.Book.LastPublication(); !wentOut {
		request.Slots = slices.DeleteFunc(slices.Clone(request.Slots), func(s plan.Slot) bool { return s.Date() == today && s.Minutes-done < leastOfSlot })
		for i := range request.Slots {
			if s := &request.Slots[i]; s.Date() == today {
				s.Minutes -= done
			}
		}
		return
	}
	for i := range request.Tasks {
		if t := &request.Tasks[i]; !t.Visit && t.On != today && t.After < today && !slices.Contains(t.Published, today) {
			t.After, t.Held = today, true
		}
	}
}

// leastOfSlot is what must be left of today's slot for anything to be done in it still, in
// minutes. Assumption: as the shortest slot that a place may have.
const leastOfSlot = 15

// rankOf says what lateness with a task does.
func rankOf(t *care.Task) plan.Rank {
	switch {
	case t.Safety || t.Who == care.Licensed:
		return plan.Safety
	case t.AtStake >= harmAtStake:
		return plan.Harm
	}
	return plan.Comfort
}

// planTask makes the planner's task of an outcome.
func (f *Forecast) planTask(x wear.Outcome) plan.Task {
	work := x.Duty.Task
	t := plan.Task{
		ID: x.Duty.ID, Of: x.Duty.Equipment.ID, Hands: work.Hands(), Order: orderOf(work),
		Acid: slices.Contains(work.Hazards, hazardAcid), Heats: work.Heats, Cuts: work.Cuts,
		Visit: work.Who.Booked(), Routine: work.Small() && x.Doubt == nil, Covers: x.Duty.Covers, Early: work.Tolerance.Early,
		Worth: worth(work), Stake: work.AtStake, Rank: rankOf(work), Weight: min(mostWeight, max(leastWeight, work.AtStake/stakeWeight)),
		Fresh: x.Since, Met: x.Past != nil, Late: x.Window.Late, Due: x.Due,
	}
	if t.Rank == plan.Safety {
		t.Steep = safetySteep
	}
	for _, w := range work.Waits {
		t.Waits = append(t.Waits, plan.Wait{After: w.After, Minutes: w.Minutes, For: w.For})
	}
	if len(x.Again) > 0 {
		t.Lives = plan.Lives{Days: againDays(f.Day.Today), Due: x.Again}
		if work.ID == care.FirstLook { // stock is taken once: what was seen is known from then on
			t.Lives.Due = make([]wear.Quantiles, len(x.Again))
		}
	}
	for _, need := range work.Needs {
		t.States = append(t.States, plan.State{Of: stateOf(x.Duty.Equipment, need), Name: need})
	}
	if pin, ok := f.Day.Book.Pin(t.ID, x.Served); ok {
		t.After = pin.After
		if pin.On >= f.Day.Today { // a day that has passed holds nothing any more
			t.On = pin.On
		}
	}
	if visit, ok := f.Day.bookedFor(t.ID); ok {
		t.Booked, t.BookedBy = visit.Body.On, visit.ID
	}
	return t
}

// stateOf says whose state a task of a piece of equipment needs.
func stateOf(e record.Equipment, need string) string {
	switch {
	case need == needMainsOff:
		return "" // one valve for the whole place
	case need == needHot && e.Grinder != nil && len(e.Grinder.Serves) > 0:
		return e.Grinder.Serves[0] // a shot is drawn there
	}
	return e.ID
}

// worth is what a turn of a task is worth, in minutes: the work, and about as
// much again for what it uses up, and a quarter of an hour around it.
// Assumption.
func worth(t *care.Task) float64 { return 15 + 2*t.Minutes }

// Words for states in the catalogue that say more than their price.
const (
	needHot      = plan.Hot
	needCold     = plan.Cold
	needMainsOff = "mains off"
	hazardAcid   = "acid"
)

// orderOf is a task's place within a sitting. What needs the machine hot comes
// first; then it is left to cool while other work is done; then comes what needs
// it cold. In each, detergent comes before anything it could harm, and acid
// before what must not meet it; a new cartridge comes last of all, behind a
// descaling.
func orderOf(t *care.Task) int {
	order := 10
	switch {
	case t.ChangesCartridge():
		return plan.LastOrder
	case slices.Contains(t.Needs, needHot):
		order = 0
	case slices.Contains(t.Needs, needCold):
		order = 20
	}
	switch {
	case slices.Contains(t.Hazards, hazardAcid):
		return order + 1
	case slices.Contains(t.Hazards, "detergent"):
		return order
	}
	return order + 2
}

// routine tells whether a task comes round so often that it belongs to the
// routine and not to a sitting.
func (f *Forecast) routine(x wear.Outcome) bool {
	if x.Absence != nil {
		return false
	}
	t := f.planTask(x)
	return t.On == 0 && t.IsRoutine(f.Day.Today)
}

// Sittings returns the sittings that are planned, in order of time.
func (f *Forecast) Sittings() []plan.Sitting { return f.plan.Sittings }

// Appointments returns the visits that are planned, in order of time.
func (f *Forecast) Appointments() []plan.Appointment { return f.plan.Appointments }

// Rounds returns the rounds of the routine, the most frequent first.
func (f *Forecast) Rounds() []plan.Routine { return f.plan.Routine }

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

// Turns lists the turns that are planned, those at visits among them, as a
// publication keeps them.
func (f *Forecast) Turns() []record.PublishedTurn {
	var all []record.PublishedTurn
	add := func(t plan.Turn, on record.Date) {
		x, err := f.Outcome(t.Task)
		if err != nil {
			return // cannot be: the plan was made from the outcomes
		}
		all = append(all, record.PublishedTurn{Task: t.Task, On: on, Number: t.Number, Served: x.Served})
	}
	for _, s := range f.plan.Sittings {
		for _, t := range s.Turns {
			add(t, s.Date())
		}
	}
	for _, a := range f.plan.Appointments {
		for _, t := range a.Turns {
			add(t, a.On)
		}
	}
	for _, b := range f.plan.Booked {
		for _, t := range b.Turns {
			add(t, b.On)
		}
	}
	return all
}
