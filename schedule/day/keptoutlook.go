package day

import (
	"context"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// Kinds of what is kept.
const (
	keptOutcomes = "outlook"
	keptPlan     = "plan"
)

// outlookKey is all that the outcomes of a day follow from. Every record makes another
// version, so what is found under a key is never out of date.
type outlookKey struct {
	Version int64 // of the records
	Today   record.Date
	Worlds  int
	Courses bool
}

func (d *Day) outlookKey() outlookKey {
	return outlookKey{Version: d.key.version, Today: d.Today, Worlds: d.key.worlds, Courses: d.key.courses}
}

// foresee returns what is to be expected of each duty: what an earlier run kept, or
// else worked out and kept.
func (d *Day) foresee(ctx context.Context, house *wear.Household) ([]wear.Outcome, error) {
	s := d.derived()
	if s.withoutOutlooks() {
		return wear.Forecast(ctx, house)
	}
	key, err := s.key(d.outlookKey())
	if err != nil {
		return nil, err
	}
	var kept []wear.Outcome
	if s.take(ctx, keptOutcomes, key, &kept) && len(kept) == len(house.Duties) {
		for i := range kept {
			kept[i].Duty = boundAgain(kept[i].Duty, house.Duties[i])
		}
		return kept, nil
	}
	outcomes, err := wear.Forecast(ctx, house)
	if err != nil {
		return nil, err
	}
	kept = make([]wear.Outcome, len(outcomes))
	for i, x := range outcomes {
		kept[i] = x
		kept[i].Duty = unbound(x.Duty)
	}
	s.put(ctx, keptOutcomes, key, kept)
	return outcomes, nil
}

// unbound leaves of a duty what a forecast made of it; the rest is bound anew from the
// records.
func unbound(d care.Duty) care.Duty { return care.Duty{Past: d.Past} }

func boundAgain(kept, duty care.Duty) care.Duty {
	duty.Past = kept.Past
	return duty
}

// makePlan returns the plan of a request: what an earlier run kept, or else made and
// kept. The request is all that it follows from.
func (d *Day) makePlan(ctx context.Context, request *plan.Request) (plan.Plan, error) {
	s := d.derived()
	if s.withoutOutlooks() {
		return plan.Make(ctx, request)
	}
	key, err := s.key(request)
	if err != nil {
		return plan.Plan{}, err
	}
	var kept plan.Plan
	if s.take(ctx, keptPlan, key, &kept) {
		for i := range kept.Sittings { // an instant that is kept has lost its zone
			kept.Sittings[i].Start = kept.Sittings[i].Start.In(d.Zone)
		}
		return kept, nil
	}
	made, err := plan.Make(ctx, request)
	if err == nil {
		s.put(ctx, keptPlan, key, made)
	}
	return made, err
}
