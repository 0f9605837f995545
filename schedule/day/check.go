package day

import (
	"fmt"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// Check is the condition check that does a task: what is read, and of what. To
// write its reading down is to have done the task.
type Check struct {
	Task      string                 `json:"task"`
	Kind      record.MeasurementKind `json:"kind"`
	Equipment string                 `json:"equipment"`       // id
	Part      string                 `json:"part,omitempty"`  // id of the group or vessel that the task is of; empty where it is of the whole
	Parts     []string               `json:"parts,omitempty"` // ids of parts that a reading may name, where Part is empty and there is more than one
	Last      *record.Measurement    `json:"last,omitempty"`  // the reading taken last; nil for none
}

// Check gives the condition check that does a task; nil for a task that is done
// otherwise. The name may be as much of the task's id as no other shares; one
// that stands for nothing is an error that matches record.ErrUnknown.
func (d *Day) Check(task string) (*Check, error) {
	duty, err := d.Duty(task)
	if err != nil {
		return nil, err
	}
	return checkOf(d.Book, duty), nil
}

func checkOf(book *record.Book, duty care.Duty) *Check {
	if duty.Task.Records == "" {
		return nil
	}
	c := &Check{Task: duty.ID, Kind: record.MeasurementKind(duty.Task.Records), Equipment: duty.Equipment.ID, Part: duty.Part}
	if c.Kind == record.BrewTemperature && c.Part == "" && len(duty.Equipment.Machine.Groups) > 1 {
		for _, g := range duty.Equipment.Machine.Groups {
			c.Parts = append(c.Parts, g.ID)
		}
	}
	for _, x := range book.Checks(c.Equipment) {
		if x.Body.Kind == c.Kind && (c.Part == "" || x.Body.Part == c.Part) {
			c.Last = &x.Body
		}
	}
	return c
}

// Of gives what the readings say that do a task; none for a task that
// is done otherwise, or of which nothing was read since the part was put right.
// What falls due by the readings of several parts follows the one that has moved
// furthest; the others have no window, and their sentences say so.
func (q Conditions) Of(task string) ([]ConditionInfo, error) {
	all := []ConditionInfo{}
	duty, err := q.f.Day.Duty(task)
	if err != nil {
		return nil, err
	}
	c := checkOf(q.f.Day.Book, duty)
	if c == nil {
		return all, nil
	}
	checks := q.f.Day.Book.Checks(c.Equipment)
	for _, x := range q.f.outcomes {
		for _, g := range x.Gauges {
			if x.Duty.Equipment.ID != c.Equipment || string(g.Gauge.Measures) != string(c.Kind) || g.Condition == nil {
				continue
			}
			mine := func(part string) bool { return c.Part == "" || part == c.Part }
			if mine(g.Condition.Part) {
				all = append(all, q.info(x, g))
			}
			if x.Duty.Part != "" {
				continue // of one part alone
			}
			for _, of := range wear.PartConditions(x.Duty.Equipment, g.Gauge.Gauge, checks, x.Checked) {
				if mine(of.Part) && of.Part != g.Condition.Part {
					all = append(all, q.unfollowed(x, g, of))
				}
			}
		}
	}
	return all, nil
}

// unfollowed is what the readings of a part say that has moved less than another,
// which the gauge follows instead.
func (q Conditions) unfollowed(x wear.Outcome, g wear.GaugeOutcome, of wear.Condition) ConditionInfo {
	followed := g.Condition.Part
	g.Condition, g.Window = &of, wear.Window{}
	info := q.info(x, g)
	if info.PerMonth > 0 && !of.Trend.Jumped && len(info.Says) > 1 {
		// No window of its own was worked out, so nothing is said of the limit.
		info.Says[1] = fmt.Sprintf("They grow by %s a month.", say.Amount(info.PerMonth, info.Unit))
	}
	info.Says = append(info.Says, fmt.Sprintf("The date follows %s, which has moved further.", followed))
	return info
}
