package journal

import (
	"context"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// AddHotHours writes down how long a machine was hot on a day, today where zero. The
// machine may be left empty where the place has just one.
func (j *Journal) AddHotHours(ctx context.Context, d *day.Day, on record.Date, h record.HotHours) (Receipt, error) {
	e, err := day.Pick(d.Book, h.Machine, "machine", func(e record.Equipment) bool { return e.Machine != nil })
	if err != nil {
		return Receipt{}, err
	}
	h.Machine = e.ID
	if err := h.Validate(); err != nil {
		return Receipt{}, err
	}
	if on, err = settleDay(d.Today, on, e); err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, on, h, say.HotHours(h))
}
