package record

import (
	"fmt"
	"slices"
	"time"
)

// BookedVisit is a visit that somebody gave their word for: on a day and at a time they
// come to the place and do some tasks. To withdraw it the record is voided; to move it
// another one stands in its place. For a task it holds until that is done.
type BookedVisit struct {
	On      Date         `json:"on"`
	At      string       `json:"at"`      // arrival on the place's clock, hh:mm
	Minutes float64      `json:"minutes"` // there, from arriving to leaving
	By      string       `json:"by,omitempty"`
	Tasks   []BookedTask `json:"tasks"`
	First   int64        `json:"first,omitempty"` // record that booked it first, where it was moved since
	Note    string       `json:"note,omitempty"`
}

// BookedTask is a task that is done at a visit.
type BookedTask struct {
	Task   string `json:"task"`             // id, equipment first
	Served int64  `json:"served,omitempty"` // record of its last service when it was booked, 0 for none
}

const (
	mostVisitMinutes = 16 * 60
	mostVisitTasks   = 200
	clockLayout      = "15:04"
)

// Validate checks that it says when, for how long and for what.
func (v BookedVisit) Validate() error {
	_, err := time.Parse(clockLayout, v.At)
	return AllOf(
		refuse(v.On <= 0, "date", "", "the day of the visit"),
		refuse(err != nil || len(v.At) != len(clockLayout), "at", v.At, "a time of the day, such as 09:30"),
		between("minutes", v.Minutes, 1, mostVisitMinutes, "minutes"),
		refuse(len(v.Tasks) == 0 || len(v.Tasks) > mostVisitTasks, "tasks", len(v.Tasks), fmt.Sprintf("1 to %d tasks", mostVisitTasks)),
		each("tasks", v.Tasks, func(t BookedTask, before []BookedTask) error {
			twice := slices.ContainsFunc(before, func(o BookedTask) bool { return o.Task == t.Task })
			return AllOf(
				refuse(t.Task == "", "task", "", "the id of a task"),
				refuse(twice, "task", t.Task, "each task once"),
			)
		}),
		name("by", v.By, 60),
		text("note", v.Note, 1000),
	)
}

func (BookedVisit) kind() Kind { return KindBookedVisit }

// Arrives returns the minutes after midnight at which somebody is there.
func (v BookedVisit) Arrives() int {
	at, err := time.Parse(clockLayout, v.At)
	if err != nil {
		return 0 // cannot be of one that passed Validate
	}
	return at.Hour()*60 + at.Minute()
}

// Begins returns the instant of arriving. In a change of the clocks a time that is left
// out is an hour later, and of two the first is meant.
func (v BookedVisit) Begins(zone *time.Location) time.Time {
	midnight := v.On.In(zone)
	return time.Date(midnight.Year(), midnight.Month(), midnight.Day(), 0, v.Arrives(), 0, 0, zone)
}

// Of reports whether a task is to be done at the visit, and the service before it.
func (v BookedVisit) Of(task string) (served int64, ok bool) {
	i := slices.IndexFunc(v.Tasks, func(t BookedTask) bool { return t.Task == task })
	if i < 0 {
		return 0, false
	}
	return v.Tasks[i].Served, true
}

// BookedVisits returns the visits that were booked and not withdrawn, by day.
func (b *Book) BookedVisits() []Dated[BookedVisit] {
	booked := all(b, func(BookedVisit) bool { return true })
	slices.SortStableFunc(booked, func(a, b Dated[BookedVisit]) int {
		return a.Body.Begins(time.UTC).Compare(b.Body.Begins(time.UTC))
	})
	return booked
}
