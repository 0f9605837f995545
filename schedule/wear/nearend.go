package wear

import "limekeep/schedule/record"

// leastTestDays is how soon a test behind a cartridge comes again at the soonest.
// Assumption: a fortnight.
const leastTestDays = 14

// nearEnd brings a test of the water behind a cartridge forward as the cartridge
// nears its end: the next comes at half of what is left of it at the latest, so that
// tests lie closer and closer, though not closer than a fortnight.
func (d *dutyRun) nearEnd(r *run, cartridges []*dutyRun) {
	for _, c := range cartridges {
		if c.Equipment.ID != d.Equipment.ID || c.Part != d.Part {
			continue
		}
		end := c.outcome.Due
		o := &d.outcome
		likely := c.outcome.Window.Likely
		before := o.Window.Likely
		from := d.since()
		o.Due = sooner(o.Due, end, from)
		o.Window = Window{
			Early:  soonerThan(o.Window.Early, c.outcome.Window.Early, from),
			Likely: soonerThan(o.Window.Likely, likely, from),
			Late:   soonerThan(o.Window.Late, c.outcome.Window.Late, from),
		}
		for i, fresh := range r.house.Again {
			o.Again[i] = sooner(o.Again[i], end, fresh)
		}
		if o.Window.Likely != before {
			o.NearsEnd = likely
		}
	}
}

func sooner(due, end Quantiles, from record.Date) Quantiles {
	for i := range due {
		due[i] = soonerThan(due[i], end[i], from)
	}
	return due
}

// soonerThan is the day of a test whose cartridge ends on a day, the last test being
// from another: half of what is left later at the latest. Zero stands for never. Of a
// cartridge that has ended by then, the next one is what is tested.
func soonerThan(due, end, from record.Date) record.Date {
	if end == 0 || end <= from {
		return due
	}
	half := from + max(leastTestDays, (end-from)/2)
	if due == 0 || half < due {
		return half
	}
	return due
}
