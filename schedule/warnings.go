package schedule

import (
	"limekeep/schedule/record"
)

// warningDays is for how long a meter reading that shows a leak is warned of where
// no newer one follows. Assumption.
const warningDays = 60

// Warnings says what cannot wait for any date: water that runs away, by the last
// reading of a meter. Plain sentences, empty for none.
func (f *Forecast) Warnings() []string {
	warnings := []string{}
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
			warnings = merge(warnings, []string{caution})
		}
	}
	return warnings
}
