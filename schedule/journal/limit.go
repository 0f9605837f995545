package journal

import (
	"context"
	"slices"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// ChangeLimit puts another figure in place of the catalogue's for one task: a limit of
// one of its gauges, or an interval. A change that says neither takes back what was
// changed of that gauge before, so that the catalogue's figure stands again; without a
// gauge, all that was changed of the task. The task may be as much of its id as no
// other shares.
func (j *Journal) ChangeLimit(ctx context.Context, d *day.Day, change record.CareChange) (Receipt, error) {
	duty, err := d.Duty(change.Task)
	if err != nil {
		return Receipt{}, err
	}
	change.Task = duty.ID
	back := change.Usual == 0 && change.Low == 0 && change.High == 0 && change.Months == 0 && !change.Off
	own := d.Book.OwnCare().Body
	own.Changes = slices.DeleteFunc(slices.Clone(own.Changes), func(c record.CareChange) bool {
		if c.Task != duty.ID || c.Off {
			return false
		}
		// An interval stands in place of all gauges, and a limit gives them back.
		return back && change.Gauge == "" || c.Gauge == change.Gauge || c.Months > 0 || change.Months > 0
	})
	if back {
		return j.write(ctx, d, d.Today, own, "the catalogue's limit for "+duty.ID+" again")
	}
	if err := change.Validate(); err != nil {
		return Receipt{}, err
	}
	own.Changes = append(own.Changes, change)
	if err := j.Days.Catalogue.CheckOwn(d.Book.Equipment(), own); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, d.Today, own, "another limit for "+duty.ID)
}
