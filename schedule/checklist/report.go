package checklist

import (
	"context"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Report tells what came of a checklist that is over, for whoever it was done for to sign:
// what was written down in it, and what was left. When each task likely falls due again it
// says by a forecast of the same day, or leaves it open where that is older.
func (c Checklist) Report(ctx context.Context, d *day.Day, f *day.Forecast) (record.ServiceReport, error) {
	r := record.ServiceReport{Visit: c.Visit, From: c.Begun, To: c.Ended, By: c.By}
	known := f.Day.Version() == d.Version()
	next := func(task string) record.Date {
		if x, err := f.Outcome(task); err == nil && known {
			return x.Window.Likely
		}
		return 0
	}
	for _, x := range c.Items {
		if !x.Last {
			continue
		}
		w := record.ReportedWork{Record: x.Record, Task: x.Task, Title: x.Title, Name: x.Name}
		if x.Record == 0 {
			r.Left = append(r.Left, w)
			continue
		}
		line, err := d.HistoryLine(ctx, x.Record)
		if err != nil {
			return r, err
		}
		if line == nil || line.Voided != 0 { // taken back before it was signed
			w.Record = 0
			r.Left = append(r.Left, w)
			continue
		}
		told := line.ToldAlone()
		w.Says, w.Note, w.Next = told.Says, told.Note, next(x.Task)
		r.Done = append(r.Done, w)
	}
	return r, nil
}
