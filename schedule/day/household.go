package day

import (
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
)

// Household gathers what the book says for a forecast. Each call makes a new one,
// for the caller to change.
func (d *Day) Household() *wear.Household {
	book, today := d.Book, d.Today
	equipment := book.Equipment()
	house := &wear.Household{
		Draws:     wear.Draws{Place: d.Place.ID, Worlds: d.key.worlds},
		Today:     today,
		Equipment: equipment,
		Duties:    d.awake(),
		Timelines: map[string]*use.Timeline{},
		Lines:     map[string][]record.Dated[record.Equipment]{},
		Tests:     map[string][]record.Dated[record.WaterTest]{},
		Services:  map[string][]record.Dated[record.Service]{},
		Planned:   map[string]record.Date{},
		Again:     againDays(today),
		Checks:    map[string][]record.Dated[record.Measurement]{},
		Absences:  map[string][]wear.Absence{},
		Bags:      map[string]float64{},
		Courses:   d.key.courses,
		Workers:   d.opener.Workers,
		Memory:    &d.opener.memory,
	}
	if d.opener.Mains != nil {
		house.Mains = &d.opener.Mains.waters
	}
	if d.opener.Nightly {
		house.Memory = nil // there is one forecast of a place in a night
	}
	horizon := today.AddMonths(12 * wear.HorizonYears)
	for _, e := range equipment {
		house.Checks[e.ID] = book.Checks(e.ID)
		switch {
		case e.Machine != nil:
			house.Timelines[e.ID] = use.NewTimeline(book, e, d.firstKnown(e), horizon)
			house.Absences[e.ID] = absences(book, e.ID)
		case e.Grinder != nil:
			house.Bags[e.ID] = use.GroundPerDay(book.Bags(e.ID), today)
		case e.Line != nil:
			house.Lines[e.ID], house.Tests[e.ID] = book.Versions(e.ID), book.WaterTests(e.ID)
		}
	}
	for i, duty := range house.Duties {
		house.Duties[i] = narrowed(book, duty)
		house.Services[duty.ID] = HistoryOf(book, duty)
	}
	if e := d.Score().ModelError; e.Findings > 0 {
		house.ModelLogSD = e.LogSD
	}
	for task, days := range d.publishedDays() {
		house.Planned[task] = days[0]
	}
	return house
}

// firstKnown is the first day of which something is written down of a machine: the
// day it came, or that of a service before.
func (d *Day) firstKnown(e record.Equipment) record.Date {
	first := e.Bought
	if !e.CameUsed() {
		return first
	}
	for _, entry := range d.Book.Entries {
		if _, ok := entry.Body.(record.Service); ok {
			first = min(first, entry.Effective)
			break
		}
	}
	return max(first, e.FirstDay())
}
