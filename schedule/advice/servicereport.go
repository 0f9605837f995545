package advice

import (
	"cmp"
	"slices"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// ServiceReport is what was done to a piece of equipment from a day on, what was
// found, and what was to be expected before and is now.
type ServiceReport struct {
	Equipment string       `json:"equipment"`
	Name      string       `json:"equipment_name"`
	From      record.Date  `json:"from"`
	Until     record.Date  `json:"until"`
	Done      []ReportWork `json:"done"`         // the oldest first
	Dates     []ReportDate `json:"dates"`        // of what was done, and of what moved by more than a week
	Known     bool         `json:"known_before"` // whether there was a forecast before
}

// ReportWork is one piece of work.
type ReportWork struct {
	On      record.Date    `json:"on"`
	Task    string         `json:"task"`
	Title   string         `json:"title"`
	Finding record.Finding `json:"finding,omitempty"`
	Grams   float64        `json:"grams,omitempty"`
	Left    float64        `json:"left,omitempty"` // share that it left in place
	Note    string         `json:"note,omitempty"`
}

// ReportDate is when a task was likely due before, and is now. Null lies beyond what
// can be foreseen, or was not known.
type ReportDate struct {
	Task  string    `json:"task"`
	Title string    `json:"title"`
	Done  bool      `json:"done"`
	Was   DatesOfIt `json:"before"`
	Is    DatesOfIt `json:"after"`
}

// DatesOfIt is a window.
type DatesOfIt struct {
	Early  *record.Date `json:"early"`
	Likely *record.Date `json:"likely"`
	Late   *record.Date `json:"late"`
}

// worksOf lists the services of a piece of equipment from a day on, the oldest first.
func worksOf(d *day.Day, equipment string, from record.Date) []ReportWork {
	works := []ReportWork{}
	for _, duty := range d.Duties {
		if duty.Equipment.ID != equipment {
			continue
		}
		for _, s := range day.ServicesOf(d.Book, duty) {
			if s.On >= from && !covered(d.Book, duty, s.ID) {
				works = append(works, ReportWork{On: s.On, Task: duty.ID, Title: duty.Title, Finding: s.Body.Finding, Grams: s.Body.Grams, Left: s.Body.Left, Note: s.Body.Note})
			}
		}
	}
	slices.SortStableFunc(works, func(a, b ReportWork) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Task, b.Task)) })
	return works
}

// covered reports whether a service is that of another task, which covers a duty: it is
// no work of its own.
func covered(book *record.Book, duty care.Duty, service int64) bool {
	return slices.ContainsFunc(duty.CoveredBy, func(id string) bool {
		return slices.ContainsFunc(book.Services(id), func(s record.Dated[record.Service]) bool { return s.ID == service })
	})
}

// movedDays is by how many days a date must have moved to be told.
const movedDays = 7

// ReportOf reports on a piece of equipment from a day on. Before is the forecast of the
// day before it; nil where there was none. An equipment that is not there is an error
// that matches record.ErrUnknown.
func ReportOf(before, after *day.Forecast, equipment string, from record.Date) (ServiceReport, error) {
	e, err := after.Day.Book.Find(equipment)
	if err != nil {
		return ServiceReport{}, err
	}
	r := ServiceReport{Equipment: e.ID, Name: e.Title(), From: from, Until: after.Day.Today, Done: worksOf(after.Day, e.ID, from), Dates: []ReportDate{}, Known: before != nil}
	was := map[string]DatesOfIt{}
	if before != nil {
		for _, x := range before.Outcomes() {
			was[x.Duty.ID] = DatesOfIt{day.DateOrNil(x.Window.Early), day.DateOrNil(x.Window.Likely), day.DateOrNil(x.Window.Late)}
		}
	}
	for _, x := range after.Outcomes() {
		if x.Duty.Equipment.ID != e.ID || !reported(x.Duty) {
			continue
		}
		d := ReportDate{Task: x.Duty.ID, Title: x.Duty.Title, Was: was[x.Duty.ID], Is: DatesOfIt{day.DateOrNil(x.Window.Early), day.DateOrNil(x.Window.Likely), day.DateOrNil(x.Window.Late)}}
		d.Done = slices.ContainsFunc(r.Done, func(w ReportWork) bool { return w.Task == d.Task })
		if d.Done || before != nil && movedBy(d.Was.Likely, d.Is.Likely) > movedDays {
			r.Dates = append(r.Dates, d)
		}
	}
	return r, nil
}

// reported reports whether a customer cares for a date: what waits for a time away has
// none that a service moves.
func reported(d care.Duty) bool {
	return !slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return g.Driver.OfAbsence() })
}

// movedBy is by how many days a date moved; many where it came out of what cannot be
// foreseen, or went there.
func movedBy(a, b *record.Date) record.Date {
	switch {
	case a == nil && b == nil:
		return 0
	case a == nil || b == nil:
		return 10000
	case *a > *b:
		return *a - *b
	}
	return *b - *a
}
