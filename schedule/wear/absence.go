package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Absence is a time during which nobody draws anything from a machine.
type Absence struct {
	From, To record.Date // first and last day; To is zero where it is open
	Frost    bool        // the place may freeze meanwhile
}

// AwaitedAbsence is what the forecast of a task that goes with a time away rests
// on.
type AwaitedAbsence struct {
	Absence
	Due record.Date // the day the task belongs on
}

// days is how long the absence lasts; an open one longer than anything.
func (a Absence) days() float64 {
	if a.To.IsZero() {
		return float64(never)
	}
	return float64(a.To-a.From) + 1
}

// recentDays is how long after a time away the work that follows it still
// counts as open. Assumption: by then fresh water has gone through anyway.
const recentDays = 60

// Awaited picks the absence that a task of an absence waits for on a day: the
// first that asks for it, is not long over, and after whose due day nobody did
// the task. False where there is none.
func Awaited(driver care.Driver, atLeast float64, absences []Absence, services []record.Dated[record.Service], today record.Date) (AwaitedAbsence, bool) {
	var found AwaitedAbsence
	for _, a := range absences {
		due, closes, asks := a.asksFor(driver, atLeast)
		if !asks || closes < today {
			continue
		}
		done := false
		for _, s := range services {
			// Done up to a week before it counts as done for it.
			done = done || s.On >= due-7 && (driver != care.AfterAbsence || s.On > a.To)
		}
		if !done && (found.Due == 0 || due < found.Due) {
			found = AwaitedAbsence{Absence: a, Due: due}
		}
	}
	return found, found.Due != 0
}

// asksFor tells whether an absence asks for a task, on which day it is due and
// up to which day it can still be asked for.
func (a Absence) asksFor(driver care.Driver, atLeast float64) (due, closes record.Date, asks bool) {
	switch driver {
	case care.BeforeAbsence, care.BeforeFrost:
		closes = a.To
		if closes.IsZero() {
			closes = never
		}
		return a.From - 1, closes, a.days() >= atLeast && (driver == care.BeforeAbsence || a.Frost)
	case care.AfterAbsence:
		if a.To.IsZero() {
			return 0, 0, false // nobody knows when it ends
		}
		return a.To + 1, a.To + recentDays, a.days() > atLeast
	}
	return 0, 0, false
}

// absence works out a task that goes with a time away: it falls due on a day
// that is known, in every world whose limit the absence reaches.
func (r *run) absence(d *dutyRun) Outcome {
	o := Outcome{Duty: d.Duty, Since: d.last(), Served: d.served()}
	limits := d.absent.Limit.Percentiles().Draw(r.house.Draws.Uniforms(d.block(), "limit/"+d.absent.Name))
	crossings, readings, amounts := make([]record.Date, len(limits)), make([]float64, len(limits)), make([]float64, len(limits))
	var last AwaitedAbsence
	for w, limit := range limits {
		crossings[w] = never
		found, ok := Awaited(d.absent.Driver, limit, r.house.Absences[d.Equipment.ID], d.services, r.span.today)
		if !ok {
			continue
		}
		last = found
		crossings[w], amounts[w] = found.Due, found.days()
		if found.Due <= r.span.today {
			readings[w] = 1
		}
	}
	if last.Due != 0 {
		o.Absence = &last
	}
	o.Window, o.Due = windowAndQuantiles(crossings, r.span.last)
	o.Again = make([]Quantiles, len(r.house.Again)) // done once, it waits for another time away
	o.Gauges = []GaugeOutcome{{Gauge: *d.absent, Reading: figure.OverInPlace(readings), Amount: figure.OverInPlace(amounts), Window: o.Window}}
	return o
}
