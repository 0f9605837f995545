package day

import (
	"fmt"
	"slices"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// BookedInfo is a visit that was booked, with what of it is still to be done.
type BookedInfo struct {
	Record  int64       `json:"record"`
	First   int64       `json:"first"` // record that booked it first; its own where it was never moved
	On      record.Date `json:"on"`
	At      string      `json:"at"`     // arrival on the place's clock, hh:mm
	Begins  time.Time   `json:"begins"` // the same as an instant
	Minutes float64     `json:"minutes"`
	By      string      `json:"by,omitempty"`
	Note    string      `json:"note,omitempty"`
	Missed  bool        `json:"missed"` // its day has passed, and not all was done
	Turns   []TurnInfo  `json:"tasks"`
}

// Ends returns the instant of leaving.
func (b BookedInfo) Ends() time.Time {
	return b.Begins.Add(time.Duration(b.Minutes * float64(time.Minute)))
}

// Tasks lists the ids of what is to be done.
func (b BookedInfo) Tasks() []string {
	ids := make([]string, len(b.Turns))
	for i, t := range b.Turns {
		ids[i] = t.Task
	}
	return ids
}

// Own lists the ids of what is to be done by itself, and is not done with another.
func (b BookedInfo) Own() []string {
	var ids []string
	for _, t := range b.Turns {
		if !slices.ContainsFunc(b.Turns, func(o TurnInfo) bool { return slices.Contains(o.Covers, t.Task) }) {
			ids = append(ids, t.Task)
		}
	}
	return ids
}

// CountsWith returns the title of the task of the visit that counts for one as well;
// empty for none.
func (b BookedInfo) CountsWith(task string) string {
	for _, t := range b.Turns {
		if t.Task != task && slices.Contains(t.Covers, task) {
			return t.Title
		}
	}
	return ""
}

// bookedTask is the visit at which a task is done next.
type bookedTask struct {
	visit record.Dated[record.BookedVisit]
	duty  care.Duty
}

// bookedTasks lists, visit by visit, the tasks that were booked and not done since. Of
// two visits for a task the one that was written down last holds.
func (d *Day) bookedTasks() []bookedTask {
	visits := d.Book.BookedVisits()
	if len(visits) == 0 {
		return nil
	}
	latest := map[string]int64{}
	for _, v := range visits {
		for _, t := range v.Body.Tasks {
			latest[t.Task] = max(latest[t.Task], v.ID)
		}
	}
	var all []bookedTask
	for _, v := range visits {
		for _, t := range v.Body.Tasks {
			i := slices.IndexFunc(d.Duties, func(duty care.Duty) bool { return duty.ID == t.Task })
			if i < 0 || latest[t.Task] != v.ID {
				continue
			}
			if last, _ := LastService(d.Book, d.Duties[i]); last.ID == t.Served { // 0 where it never was
				all = append(all, bookedTask{v, d.Duties[i]})
			}
		}
	}
	return all
}

// bookedFor returns the visit to come at which a task is done next; false for none.
func (d *Day) bookedFor(task string) (record.Dated[record.BookedVisit], bool) {
	for _, b := range d.booked() {
		if b.duty.ID == task && b.visit.Body.On >= d.Today {
			return b.visit, true
		}
	}
	return record.Dated[record.BookedVisit]{}, false
}

// BookedVisits lists the visits that were booked and are not done, those that were missed
// among them, by day. What each risks says Visits.On.
func (d *Day) BookedVisits() []BookedInfo {
	booked := []BookedInfo{}
	for _, b := range d.booked() {
		k := slices.IndexFunc(booked, func(i BookedInfo) bool { return i.Record == b.visit.ID })
		if k < 0 {
			v := b.visit.Body
			info := BookedInfo{
				Record: b.visit.ID, First: b.visit.ID, On: v.On, At: v.At, Begins: v.Begins(d.Zone), Minutes: v.Minutes, By: v.By, Note: v.Note,
				Missed: v.On < d.Today, Turns: []TurnInfo{},
			}
			if v.First != 0 {
				info.First = v.First
			}
			k, booked = len(booked), append(booked, info)
		}
		turn := plan.Turn{Task: b.duty.ID, Number: 1, Minutes: b.duty.Task.Minutes, Covers: b.duty.Covers}
		booked[k].Turns = append(booked[k].Turns, turnInfo(b.duty, turn, ""))
	}
	return booked
}

// BookedVisit returns a visit that was booked and is not done. One that is not there, was
// withdrawn or done, is an error that matches record.ErrUnknown.
func (d *Day) BookedVisit(id int64) (BookedInfo, error) {
	for _, b := range d.BookedVisits() {
		if b.Record == id {
			return b, nil
		}
	}
	return BookedInfo{}, &record.UnknownError{What: "booked visit", Name: fmt.Sprint(id)}
}

// Visits are the visits that were booked, with what a forecast says of them.
type Visits struct{ f *Forecast }

// Visits returns them.
func (f *Forecast) Visits() Visits { return Visits{f} }

// On lists the visits that were booked and are not done by a day: the forecast's
// own, or the same with what was written down since.
func (q Visits) On(by *Day) []BookedInfo {
	booked := by.BookedVisits()
	for i := range booked {
		b := &booked[i]
		on := max(b.On, q.f.Day.Today)
		for k := range b.Turns {
			turn := &b.Turns[k]
			for j := range q.f.request.Tasks {
				if t := &q.f.request.Tasks[j]; t.ID == turn.Task {
					turn.Risk, turn.Minutes = cents(t.Risk(on)), t.Minutes()
				}
			}
			turn.Why = say.BookedTurn(turn.Risk, on, b.Missed)
		}
	}
	return booked
}

// Sitting returns a booked visit as a sitting: its timetable, what can hurt, what to
// have there. False where nothing of it needs doing any more.
func (q Visits) Sitting(b BookedInfo, stop float64) (SittingInfo, bool) {
	s, err := q.SittingOf(b.Tasks(), b.Begins.Add(time.Duration(stop*float64(time.Minute))))
	return s, err == nil
}

// VisitRisk is what another day of a visit would risk, or withdrawing it.
type VisitRisk struct {
	Tasks []VisitTaskRisk `json:"tasks"`
	Worst string          `json:"says"` // in a sentence
}

// VisitTaskRisk is that of a task of it.
type VisitTaskRisk struct {
	Task  string       `json:"task"`
	Title string       `json:"title"`
	Name  string       `json:"equipment_name"`
	Late  *record.Date `json:"late"`        // its late date; null beyond the horizon
	Was   float64      `json:"risk_before"` // probability that its limit is passed by the day of the visit
	Risk  float64      `json:"risk"`        // and by the other day
	Says  string       `json:"says"`
}

// IfMoved tells what the tasks of a visit would risk on another day.
func (q Visits) IfMoved(b BookedInfo, to record.Date) (VisitRisk, error) {
	from := max(b.On, q.f.Day.Today)
	out := VisitRisk{Tasks: []VisitTaskRisk{}}
	if to < q.f.Day.Today || to > q.f.Day.Today+mostBookedDays {
		return out, &record.FieldError{Field: "date", Value: to.String(), Want: fmt.Sprintf("a day from today, %s, to %s", q.f.Day.Today, q.f.Day.Today+mostBookedDays)}
	}
	late, worse := 0, 0
	for _, id := range b.Tasks() {
		i := slices.IndexFunc(q.f.request.Tasks, func(t plan.Task) bool { return t.ID == id })
		x, err := q.f.Outcome(id)
		if i < 0 || err != nil {
			continue
		}
		t := &q.f.request.Tasks[i]
		r := VisitTaskRisk{Task: id, Title: x.Duty.Title, Name: x.Duty.Equipment.Title(), Late: DateOrNil(t.Late), Was: cents(t.Risk(from)), Risk: cents(t.Risk(to)), Says: say.WouldBe(t, from, to)}
		if t.Late != 0 && to > t.Late {
			late++
		}
		if r.Risk > r.Was {
			worse++
		}
		out.Tasks = append(out.Tasks, r)
	}
	out.Worst = say.VisitRisk(len(out.Tasks), worse, late, to)
	return out, nil
}

// withdrawnDays is for how long after its day a visit that is withdrawn is taken to be
// missing. Assumption: until the next round or the one after.
const withdrawnDays = 28

// IfWithdrawn tells what the tasks of a visit would risk if it were withdrawn and nobody
// came for four weeks after it.
func (q Visits) IfWithdrawn(b BookedInfo) (VisitRisk, error) {
	return q.IfMoved(b, max(b.On, q.f.Day.Today)+withdrawnDays)
}

// mostBookedDays is how far ahead a visit can be booked: a plan's length. Assumption.
const mostBookedDays = 548

// ToBook checks what somebody wants to book, and completes it: the tasks by their ids,
// with what counts with them, and the service before each by a day. What cannot be booked
// is a *record.FieldError, a task that is none an error that matches record.ErrUnknown.
func (q Visits) ToBook(by *Day, v record.BookedVisit) (record.BookedVisit, error) {
	asked := v.Tasks
	v.Tasks = nil
	add := func(duty care.Duty) {
		if !slices.ContainsFunc(v.Tasks, func(t record.BookedTask) bool { return t.Task == duty.ID }) {
			last, _ := LastService(by.Book, duty)
			v.Tasks = append(v.Tasks, record.BookedTask{Task: duty.ID, Served: last.ID})
		}
	}
	for _, t := range asked {
		x, err := q.f.Outcome(t.Task)
		if err != nil {
			return v, err
		}
		if x.Absence != nil || q.f.routine(x) {
			return v, &record.FieldError{Field: "task", Value: x.Duty.ID, Want: "a task that has a sitting or a visit: this one belongs to the routine, or goes with a time away"}
		}
		add(x.Duty)
		for _, id := range x.Duty.Covers {
			if c, err := q.f.Outcome(id); err == nil && c.Absence == nil && !q.f.routine(c) {
				add(c.Duty)
			}
		}
	}
	if err := v.Validate(); err != nil {
		return v, err
	}
	if v.On < q.f.Day.Today || v.On > q.f.Day.Today+mostBookedDays {
		return v, &record.FieldError{Field: "date", Value: v.On.String(), Want: fmt.Sprintf("a day from today, %s, to %s", q.f.Day.Today, q.f.Day.Today+mostBookedDays)}
	}
	return v, nil
}

// WithBooked returns the outlook with the visits that are booked by a day: what was booked
// since it was worked out is known at once.
func (o Outlook) WithBooked(d *Day) Outlook {
	o.Booked = d.BookedVisits()
	o.Jobs = slices.Clone(o.Jobs)
	for i := range o.Jobs {
		job := &o.Jobs[i]
		job.Booked, job.BookedBy = 0, 0
		if visit, ok := d.bookedFor(job.ID); ok {
			job.Booked, job.BookedBy = visit.Body.On, visit.ID
		}
	}
	return o
}
