package schedule

import (
	"context"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
)

// outlook is all that one moment has to say, worked out once.
type outlook struct {
	moment   Moment
	version  int64 // of the records it was made from
	book     *record.Book
	place    record.Place
	own      []plan.Busy // the owner's own engagements
	duties   []care.Duty // all, those that rest among them
	courses  map[string]*use.Course
	outcomes []wear.Outcome
	request  *plan.Request // what the plan was asked for
	plan     plan.Plan
}

// look gives the outlook of a moment: the one worked out last, if it still holds.
func (d *Desk) look(ctx context.Context, m Moment) (*outlook, error) {
	m, err := d.Settle(ctx, m)
	if err != nil {
		return nil, err
	}
	// Before the book is read: what is written meanwhile makes it another version.
	version, err := d.Records.Version(ctx)
	if err != nil {
		return nil, err
	}
	own, err := d.ownBusy(ctx, m)
	if err != nil {
		return nil, err
	}
	of := outlookKey{records: d.Records, version: version, place: m.Place, today: m.Today, worlds: d.worlds(), effort: d.PlanEffort, months: d.planMonths(), catalogue: d.Catalogue}
	if o := d.recall.get(of, own); o != nil {
		o.moment = m
		return o, nil
	}
	o, err := d.workOut(ctx, m, own)
	if err != nil {
		return nil, err
	}
	o.version = version
	d.recall.keep(of, o)
	return o, nil
}

// workOut works out the outlook of a moment.
func (d *Desk) workOut(ctx context.Context, m Moment, own []plan.Busy) (*outlook, error) {
	book, place, m, err := d.open(ctx, m)
	if err != nil {
		return nil, err
	}
	duties := d.duties(book)
	house, err := d.household(book, duties, place, m.Today)
	if err != nil {
		return nil, err
	}
	o := &outlook{moment: m, book: book, place: place, own: own, duties: duties, courses: house.Courses}
	if o.outcomes, err = wear.Forecast(house); err != nil {
		return nil, err
	}
	return o, d.arrange(o)
}

// servicesOf gives the services of a duty. Those from before the part was fresh,
// bought anew or overhauled, are of another part. A water test is its own
// service: to have written one down is to have done it.
func servicesOf(book *record.Book, duty care.Duty) []record.Dated[record.Service] {
	if duty.Task.Records != "" {
		return checksOf(book, duty)
	}
	if duty.Task.ID != waterTestTask {
		return slices.DeleteFunc(book.Services(duty.ID), func(s record.Dated[record.Service]) bool { return s.On < duty.Fitted })
	}
	var services []record.Dated[record.Service]
	for _, t := range book.WaterTests(duty.Equipment.ID) {
		services = append(services, record.Dated[record.Service]{ID: t.ID, On: t.On, Body: record.Service{Task: duty.ID}})
	}
	return services
}

// checksOf gives the condition checks that do a duty, as its services.
func checksOf(book *record.Book, duty care.Duty) []record.Dated[record.Service] {
	var services []record.Dated[record.Service]
	for _, c := range book.Checks(duty.Equipment.ID) {
		if string(c.Body.Kind) == string(duty.Task.Records) && (duty.Part == "" || c.Body.Part == duty.Part) && c.On >= duty.Fitted {
			services = append(services, record.Dated[record.Service]{ID: c.ID, On: c.On, Body: record.Service{Task: duty.ID}})
		}
	}
	return services
}

// waterTestTask is the id of the catalogue's task that a water test does.
const waterTestTask = "water-test"

func (d *Desk) worlds() int {
	if d.Worlds == 0 {
		return DefaultWorlds
	}
	return d.Worlds
}

// outcome finds the outcome of a task. The name may be the whole id, or as much
// of it as no other task shares.
func (o *outlook) outcome(name string) (wear.Outcome, error) {
	duties := make([]care.Duty, len(o.outcomes))
	for i := range o.outcomes {
		duties[i] = o.outcomes[i].Duty
	}
	duty, err := findDuty(duties, name)
	if err != nil {
		return wear.Outcome{}, err
	}
	for _, x := range o.outcomes {
		if x.Duty.ID == duty.ID {
			return x, nil
		}
	}
	return wear.Outcome{}, &record.UnknownError{What: "task", Name: name}
}

// findDuty finds a duty by its id, or by a run of whole parts of it that no
// other duty has.
func findDuty(duties []care.Duty, name string) (care.Duty, error) {
	var ids []string
	var found []care.Duty
	for _, d := range duties {
		if d.ID == name {
			return d, nil
		}
		ids = append(ids, d.ID)
		if d.Called(name) {
			found = append(found, d)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return care.Duty{}, &record.UnknownError{What: "task", Name: name, Known: ids}
	}
	shared := make([]string, len(found))
	for i, d := range found {
		shared[i] = d.ID
	}
	return care.Duty{}, &record.UnknownError{What: "task (more than one is called so)", Name: name, Known: shared}
}
