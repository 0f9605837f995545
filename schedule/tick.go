package schedule

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule/care"
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
	Record int64      // the service, or the void, that was written down; 0 for none
	Done   *DoneEntry // the entry as it shows once it is done; nil where it was not done now
	Why    string     // why nothing was written down; empty where something was
}

// undoWithin is for how long an app can take a tick back.
const undoWithin = time.Hour

// appSource begins the source of all that task apps bring.
const appSource = "task app: "

// AppSource is the source of what a task app brings, by the name of its password.
func AppSource(app string) string { return appSource + app }

// Tick writes down the service of an entry that an app ticked off, once: an entry
// stands for the turn after one service, so that a second tick finds the service
// there. Taken back within an hour the service is void; it must have come from an
// app. An entry that stands for no task is an error that matches
// record.ErrUnknown.
func (d *Desk) Tick(ctx context.Context, m Moment, t Tick) (Ticked, error) {
	book, place, m, err := d.open(ctx, m)
	if err != nil {
		return Ticked{}, err
	}
	task, served, ok := splitUID(place.ID, t.Entry)
	duties := d.duties(book)
	i := slices.IndexFunc(duties, func(x care.Duty) bool { return x.ID == task })
	if !ok || i < 0 {
		return Ticked{}, &record.UnknownError{What: "entry", Name: t.Entry}
	}
	duty := duties[i]
	services := servicesOf(book, duty)
	next := 0 // of the services, the one that does the entry
	if served != 0 {
		if next = 1 + slices.IndexFunc(services, func(s record.Dated[record.Service]) bool { return s.ID == served }); next == 0 {
			return Ticked{}, &record.UnknownError{What: "entry", Name: t.Entry}
		}
	}
	done := next < len(services)
	switch {
	case t.Open && done:
		return d.untick(ctx, m, services[next:])
	case t.Open:
		return Ticked{Why: "it is open"}, nil
	case done:
		return Ticked{Why: fmt.Sprintf("record %d says so already", services[next].ID)}, nil
	case needsValues(duty):
		return Ticked{Why: "a tick says nothing of the values; write them down with `" + writeDown(duty) + "`"}, nil
	}
	on, err := tickDay(m, place, duty, services, t.At)
	if err != nil {
		return Ticked{}, err
	}
	written, err := d.Done(ctx, m, on, record.Service{Task: duty.ID})
	if err != nil {
		return Ticked{}, err
	}
	entry, err := d.Records.Find(ctx, written.Record)
	if err != nil {
		return Ticked{}, err
	}
	shown := doneEntry(place.ID, duty, served, entry)
	shown.Changed = entry.Entered
	return Ticked{Record: written.Record, Done: &shown}, nil
}

// needsValues tells whether a task is done by writing values down, so that a tick
// says too little.
func needsValues(d care.Duty) bool { return d.Task.ID == waterTestTask || d.Task.Records != "" }

// tickDay is the day of a tick at the place. One that cannot be, to come or
// before the last service, is today.
func tickDay(m Moment, place record.Place, duty care.Duty, services []record.Dated[record.Service], at time.Time) (record.Date, error) {
	zone, err := place.Location()
	if err != nil || at.IsZero() {
		return m.Today, err
	}
	first := max(duty.Fitted, duty.Equipment.Bought)
	if n := len(services); n > 0 {
		first = max(first, services[n-1].On)
	}
	if on := record.DateOf(at.In(zone)); on >= first && on <= m.Today {
		return on, nil
	}
	return m.Today, nil
}

// untick makes the service void that did an entry, if it is the last and an app
// brought it within the hour.
func (d *Desk) untick(ctx context.Context, m Moment, services []record.Dated[record.Service]) (Ticked, error) {
	entry, err := d.Records.Find(ctx, services[0].ID)
	if err != nil {
		return Ticked{}, err
	}
	switch {
	case len(services) > 1:
		return Ticked{Why: "it was done again since"}, nil
	case !strings.HasPrefix(entry.Source, appSource):
		return Ticked{Why: fmt.Sprintf("record %d came from elsewhere; `limekeep void %d` takes it back", entry.ID, entry.ID)}, nil
	case d.Now().Sub(entry.Entered) > undoWithin:
		return Ticked{Why: fmt.Sprintf("it was ticked off more than an hour ago; `limekeep void %d` takes it back", entry.ID)}, nil
	}
	written, err := d.Void(ctx, m, entry.ID, "taken back in a task app")
	return Ticked{Record: written.Record}, err
}

// TickRoutine writes down that all that comes round daily was done on a day, but
// for what was done on it already. It gives how many services that were.
func (d *Desk) TickRoutine(ctx context.Context, m Moment, tasks []string, on record.Date) (int, error) {
	book, _, m, err := d.open(ctx, m)
	if err != nil {
		return 0, err
	}
	var entries []record.Entry
	for _, duty := range d.duties(book) {
		if !slices.Contains(tasks, duty.ID) || on > m.Today || on < duty.Fitted || duty.Task.Records != "" {
			continue
		}
		if slices.ContainsFunc(servicesOf(book, duty), func(s record.Dated[record.Service]) bool { return s.On == on }) {
			continue
		}
		entries = append(entries, d.entry(m, on, record.Service{Task: duty.ID}))
	}
	if len(entries) == 0 {
		return 0, nil
	}
	_, err = d.Records.Append(ctx, entries...)
	return len(entries), err
}

// splitUID reads the UID of a task's entry: its task and the record of the service
// before it.
func splitUID(place, uid string) (task string, served int64, ok bool) {
	inner, ok := strings.CutSuffix(uid, "@limekeep")
	if !ok {
		return "", 0, false
	}
	if inner, ok = strings.CutPrefix(inner, place+"."); !ok {
		return "", 0, false
	}
	dot := strings.LastIndexByte(inner, '.')
	if dot < 0 {
		return "", 0, false
	}
	served, err := strconv.ParseInt(inner[dot+1:], 10, 64)
	return inner[:dot], served, err == nil && served >= 0
}
