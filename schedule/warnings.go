package schedule

import (
	"context"

	"limekeep/schedule/record"
)

// warningDays is for how long a meter reading that shows a leak is warned of where
// no newer one follows. Assumption.
const warningDays = 60

// Warnings says what cannot wait for any date: water that runs away, by the last
// reading of a meter. Plain sentences, empty for none.
func (d *Desk) Warnings(ctx context.Context, m Moment) ([]string, error) {
	o, err := d.look(ctx, m)
	if err != nil {
		return nil, err
	}
	warnings := []string{}
	for _, e := range o.book.Equipment() {
		if e.Machine == nil || o.courses[e.ID] == nil {
			continue
		}
		last, caution := record.Date(0), ""
		for _, t := range o.courses[e.ID].Totals {
			if t.Of == e.Machine.Line && t.To > last && t.To <= o.moment.Today {
				last = t.To
				_, caution = measuredOf(t, e)
			}
		}
		if caution != "" && o.moment.Today-last <= warningDays {
			warnings = merge(warnings, []string{caution})
		}
	}
	return warnings, nil
}
