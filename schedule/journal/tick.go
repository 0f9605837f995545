package journal

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Tick is what a task app says of the entry of a task: that it is done, or open
// again.
type Tick struct {
	Entry string    // UID of the entry
	Open  bool      // it is open again; else it is done
	At    time.Time // when it was done; now where zero
}

// Ticked tells what became of a tick.
type Ticked struct {
	Record int64             // the service, or the void, that was written down; 0 for none
	Done   *agenda.DoneEntry // the entry as it shows once it is done; nil where it was not done now
	Why    string            // why nothing was written down; empty where something was
}

// undoWithin is for how long an app can take a tick back.
const undoWithin = time.Hour

// Tick writes down the service of an entry that an app ticked off, once: an entry
// stands for the turn after one service, so that a second tick finds the service
// there. Taken back within an hour the service is void; it must have come from an
// app. An entry that stands for no task is an error that matches
// record.ErrUnknown.
func (j *Journal) Tick(ctx context.Context, d *day.Day, t Tick) (Ticked, error) {
	task, served, ok := agenda.SplitUID(d.Place.ID, t.Entry)
	duties := d.Duties
	i := slices.IndexFunc(duties, func(x care.Duty) bool { return x.ID == task })
	if !ok || i < 0 {
		return Ticked{}, &record.UnknownError{What: "entry", Name: t.Entry}
	}
	duty := duties[i]
	services := day.ServicesOf(d.Book, duty)
	next := 0 // of the services, the one that does the entry
	if served != 0 {
		if next = 1 + slices.IndexFunc(services, func(s record.Dated[record.Service]) bool { return s.ID == served }); next == 0 {
			return Ticked{}, &record.UnknownError{What: "entry", Name: t.Entry}
		}
	}
	done := next < len(services)
	switch {
	case t.Open && done:
		return j.untick(ctx, d, duty, services[next:])
	case t.Open:
		return Ticked{Why: "it is open"}, nil
	case done:
		return Ticked{Why: fmt.Sprintf("record %d says so already", services[next].ID)}, nil
	case day.NeedsValues(duty):
		return Ticked{Why: "a tick says nothing of the values; write them down with " + d.Quote(day.ToDo(duty))}, nil
	}
	written, err := j.Done(ctx, d, tickDay(d, duty, services, t.At), record.Service{Task: duty.ID})
	if err != nil {
		return Ticked{}, err
	}
	entry, err := j.Days.Records.Find(ctx, written.Record)
	if err != nil {
		return Ticked{}, err
	}
	shown := agenda.NewDoneEntry(d, duty, served, entry)
	shown.Changed = entry.Entered
	return Ticked{Record: written.Record, Done: &shown}, nil
}

// tickDay is the day of a tick at the place. One that cannot be, to come or
// before the last service, is today.
func tickDay(d *day.Day, duty care.Duty, services []record.Dated[record.Service], at time.Time) record.Date {
	if at.IsZero() {
		return d.Today
	}
	first := max(duty.Fitted, duty.Equipment.Bought)
	if n := len(services); n > 0 {
		first = max(first, services[n-1].On)
	}
	if on := record.DateOf(at.In(d.Zone)); on >= first && on <= d.Today {
		return on
	}
	return d.Today
}

// untick makes the service void that did an entry, if it is the last and an app
// brought it within the hour.
func (j *Journal) untick(ctx context.Context, d *day.Day, duty care.Duty, services []record.Dated[record.Service]) (Ticked, error) {
	entry, err := j.Days.Records.Find(ctx, services[0].ID)
	if err != nil {
		return Ticked{}, err
	}
	takeBack := schedule.Action{Verb: schedule.TakeBack, Record: entry.ID}
	service, ok := entry.Body.(record.Service)
	switch {
	case len(services) > 1:
		return Ticked{Why: "it was done again since"}, nil
	case ok && service.Task != duty.ID:
		return Ticked{Why: fmt.Sprintf("record %d, of %s, did it as well", entry.ID, service.Task)}, nil
	case !strings.HasPrefix(entry.Source, appSource):
		return Ticked{Why: fmt.Sprintf("record %d came from elsewhere; %s takes it back", entry.ID, d.Quote(takeBack))}, nil
	case j.Days.Now().Sub(entry.Entered) > undoWithin:
		return Ticked{Why: fmt.Sprintf("it was ticked off more than an hour ago; %s takes it back", d.Quote(takeBack))}, nil
	}
	written, err := j.Void(ctx, d, entry.ID, "taken back in a task app")
	return Ticked{Record: written.Record}, err
}

// TickRoutine writes down that all that comes round daily was done on a day, but
// for what was done on it already. It gives how many services that were.
func (j *Journal) TickRoutine(ctx context.Context, d *day.Day, tasks []string, on record.Date) (int, error) {
	written, err := j.DoRound(ctx, d, tasks, on)
	return len(written), err
}

// DoRound writes down that tasks were done on a day, all at once or none, but for
// what was done on it already and what a reading does.
func (j *Journal) DoRound(ctx context.Context, d *day.Day, tasks []string, on record.Date) ([]Receipt, error) {
	var entries []record.Entry
	var receipts []Receipt
	for _, duty := range d.Duties {
		if !slices.Contains(tasks, duty.ID) || on > d.Today || on < duty.Fitted || duty.Task.Records != "" {
			continue
		}
		if slices.ContainsFunc(day.ServicesOf(d.Book, duty), func(s record.Dated[record.Service]) bool { return s.On == on }) {
			continue
		}
		entries = append(entries, j.entry(d.Place.ID, on, record.Service{Task: duty.ID}))
		receipts = append(receipts, Receipt{On: on, What: duty.Title})
	}
	if len(entries) == 0 {
		return nil, nil
	}
	ids, err := j.Days.Records.Append(ctx, entries...)
	if err != nil {
		return nil, err
	}
	for i, id := range ids {
		receipts[i].Record = id
	}
	return receipts, nil
}
