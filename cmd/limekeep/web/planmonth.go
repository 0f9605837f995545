package web

import (
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// planWeek is a week of a month as a calendar shows it.
type planWeek [7]planDay

// planDay is a day of it.
type planDay struct {
	On      record.Date // zero for a day of another month
	Number  int
	Sitting string // id of its first sitting on the page; empty for none
	Visit   bool
	Blocked bool
	Today   bool
}

// sittingID is the id of a sitting on the page.
func sittingID(s day.SittingInfo) string { return "s" + s.Start.Format("20060102-1504") }

// weeksOf lays a month out as a calendar whose weeks begin on Monday (ISO 8601).
func weeksOf(first record.Date, sittings map[record.Date]string, p day.PlanInfo, blocked []record.Dated[record.Blocked]) []planWeek {
	start := first.In(time.UTC)
	days := start.AddDate(0, 1, -1).Day()
	column := (int(start.Weekday()) + 6) % 7
	var weeks []planWeek
	for n := 1; n <= days; n++ {
		if n == 1 || column == 7 {
			weeks, column = append(weeks, planWeek{}), column%7
		}
		on := first + record.Date(n-1)
		d := planDay{On: on, Number: n, Sitting: sittings[on], Today: on == p.Today}
		for _, v := range p.Visits {
			d.Visit = d.Visit || v.On == on
		}
		for _, v := range p.Booked {
			d.Visit = d.Visit || v.On == on
		}
		for _, b := range blocked {
			d.Blocked = d.Blocked || on >= b.Body.From && on <= b.Body.To
		}
		weeks[len(weeks)-1][column] = d
		column++
	}
	return weeks
}
