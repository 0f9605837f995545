package schedule

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
)

// household gathers what a book says on its day for a forecast of it.
func (d *Desk) household(book *record.Book, duties []care.Duty, place record.Place, today record.Date) (*wear.Household, error) {
	equipment := book.Equipment()
	house := &wear.Household{
		Draws:     wear.Draws{Place: place.ID, Worlds: d.worlds()},
		Today:     today,
		Equipment: equipment,
		Duties:    awake(duties, book, today),
		Courses:   map[string]*use.Course{},
		Lines:     map[string][]record.Dated[record.Equipment]{},
		Tests:     map[string][]record.Dated[record.WaterTest]{},
		Services:  map[string][]record.Dated[record.Service]{},
		Planned:   map[string]record.Date{},
		Again:     againDays(today),
		Checks:    map[string][]record.Dated[record.Measurement]{},
		Absences:  map[string][]wear.Absence{},
		Memory:    &d.memory,
	}
	horizon := today.AddMonths(12 * wear.HorizonYears)
	for _, e := range equipment {
		house.Checks[e.ID] = book.Checks(e.ID)
		switch {
		case e.Machine != nil:
			house.Courses[e.ID] = use.NewCourse(book, e, e.Bought, horizon)
			house.Absences[e.ID] = absences(book, e.ID)
		case e.Line != nil:
			house.Lines[e.ID], house.Tests[e.ID] = book.Versions(e.ID), book.WaterTests(e.ID)
		}
	}
	for _, duty := range house.Duties {
		house.Services[duty.ID] = servicesOf(book, duty)
	}
	zone, err := place.Location()
	if err != nil {
		return nil, err
	}
	if published, ok := book.LastPublication(); ok {
		for _, e := range published.Entries {
			house.Planned[e.Task] = record.DateOf(e.Start.In(zone))
		}
	}
	return house, nil
}
