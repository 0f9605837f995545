package day

import (
	"context"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
)

// Forecast is what is to be expected of a day's duties, and the plan that follows
// from it: the part of a day that takes long to work out. Its methods are quick.
type Forecast struct {
	Day      *Day
	own      engagements // the owner's own
	courses  map[string]*use.Timeline
	outcomes []wear.Outcome
	request  *plan.Request // what the plan was asked for
	plan     plan.Plan
	told     *told // what it was asked before

	modelLogSD float64 // that the outcomes go by
}

// Forecast works out what is to be expected, once a day: asked again it returns
// what it has, unless the owner's own calendar has changed. Several who ask at once
// wait for the same one, and one day after the other is worked out, so that what is
// under way at a time is bounded. Where the context ends before, its cause is
// returned.
func (d *Day) Forecast(ctx context.Context) (*Forecast, error) {
	own, err := d.busy(ctx)
	if err != nil {
		return nil, err
	}
	d.mu.Lock()
	if f := d.forecast; f != nil && f.own.same(own) {
		d.mu.Unlock()
		return f, nil
	}
	under := d.join(ctx, own)
	d.mu.Unlock()
	return d.wait(ctx, under)
}

func (d *Day) workOut(ctx context.Context, own engagements) (*Forecast, error) {
	house := d.Household()
	house.Kept = d.waters(ctx)
	outcomes, err := d.foresee(ctx, house)
	if err != nil {
		return nil, err
	}
	f := &Forecast{Day: d, own: own, courses: house.Timelines, outcomes: outcomes, modelLogSD: house.ModelLogSD}
	if err := f.arrange(ctx); err != nil {
		return f, err
	}
	f.keepStanding(ctx)
	return f, nil
}

// engagements are the owner's own, in the months to plan.
type engagements struct {
	busy  []plan.Busy
	wrong string // why they are not known; empty where they are
}

func (e engagements) same(other engagements) bool {
	return e.wrong == other.wrong && slices.EqualFunc(e.busy, other.busy, sameBusy)
}

// busy asks for the owner's own engagements. Where they cannot be had the plan goes on
// without them, and says so.
func (d *Day) busy(ctx context.Context) (engagements, error) {
	if d.opener.Busy == nil {
		return engagements{}, nil
	}
	busy, err := d.opener.Busy(ctx, d.Place.ID, d.Planned(), d.Zone)
	switch {
	case ctx.Err() != nil:
		return engagements{}, context.Cause(ctx)
	case err != nil:
		return engagements{wrong: err.Error()}, nil //nolint:nilerr // told in the answer, and no fault of the plan
	}
	return engagements{busy: busy}, nil
}

// Planned returns the time that is planned, about which the owner's own calendar is
// asked.
func (d *Day) Planned() plan.Busy {
	return plan.Whole(d.Today, d.Today.AddMonths(d.key.months), d.Zone)
}

// OwnCalendar says that the owner's own calendar could not be read, and why; empty where
// it could, or there is none.
func (f *Forecast) OwnCalendar() string {
	if f.own.wrong == "" {
		return ""
	}
	return "Your own calendar could not be read, so the plan takes no notice of it (" + f.own.wrong + ")."
}

func sameBusy(a, b plan.Busy) bool { return a.From.Equal(b.From) && a.To.Equal(b.To) }

// Outcome finds the outcome of a task. The name may be the whole id, or as much
// of it as no other task shares.
func (f *Forecast) Outcome(name string) (wear.Outcome, error) {
	for i := range f.outcomes { // as all but people call it, and pages do so hundreds of times
		if f.outcomes[i].Duty.ID == name {
			return f.outcomes[i], nil
		}
	}
	duties := make([]care.Duty, len(f.outcomes))
	for i := range f.outcomes {
		duties[i] = f.outcomes[i].Duty
	}
	duty, err := findDuty(duties, name)
	if err != nil {
		return wear.Outcome{}, err
	}
	for _, x := range f.outcomes {
		if x.Duty.ID == duty.ID {
			return x, nil
		}
	}
	return wear.Outcome{}, &record.UnknownError{What: "task", Name: name}
}

// Outcomes returns what is to be expected of each duty that can fall due.
func (f *Forecast) Outcomes() []wear.Outcome { return f.outcomes }
