package day

import (
	"fmt"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// warningDays is for how long a meter reading that shows a leak is warned of where
// no newer one follows. Assumption.
const warningDays = 60

// Warnings says what no date puts right: water that runs away, by the last reading
// of a meter, a calendar of the owner's that cannot be read, and a feed that brings a steam boiler more chloride than its steel
// stands. Plain sentences, empty for none.
func (f *Forecast) Warnings() []string {
	warnings := []string{}
	if wrong := f.OwnCalendar(); wrong != "" {
		warnings = append(warnings, wrong)
	}
	for _, e := range f.Day.Book.Equipment() {
		if e.Machine == nil || f.courses[e.ID] == nil {
			continue
		}
		last, caution := record.Date(0), ""
		for _, t := range f.courses[e.ID].Totals {
			if t.Of == e.Machine.Line && t.To > last && t.To <= f.Day.Today {
				last = t.To
				_, caution = measuredOf(t, e)
			}
		}
		if caution != "" && f.Day.Today-last <= warningDays {
			warnings = Merge(warnings, []string{caution})
		}
	}
	for _, x := range f.Outcomes() {
		for _, g := range x.Gauges {
			if g.Gauge.Driver == care.ByBoilerChloride && g.Fresh.Likely > g.Gauge.Limit.Usual {
				warnings = Merge(warnings, []string{fmt.Sprintf("The water of the %s of %s pits its steel: above %s of chloride it is at risk.%s",
					x.Duty.Part, x.Duty.Equipment.Title(), say.Amount(g.Gauge.Limit.Usual, g.Gauge.Unit), say.FeedSentence(g))})
			}
		}
	}
	return warnings
}
