package web

import (
	"context"
	"errors"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/cmd/limekeep/web/dav"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/ical"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// Put takes what an app says of a to-do. Only that it is done, or open again, is
// heard of what is ours; all else is put right.
func (c collection) Put(ctx context.Context, app, name string, sent *goical.Calendar, match func(*dav.Object) error) (dav.Taken, error) {
	b, unlock, err := c.lock(ctx)
	if err != nil {
		return dav.Taken{}, err
	}
	defer unlock()
	if err := match(b.object(name)); err != nil {
		return dav.Taken{}, err
	}
	said, err := ical.ReadTodo(sent, b.agenda.Zone)
	if err != nil {
		return dav.Taken{}, &dav.Refusal{Condition: dav.ValidObject, Why: wording.NoToDo(err.Error())}
	}
	entry, ok := b.byName[name]
	if !ok {
		return c.add(ctx, b, app, name, said)
	}
	if said.UID != "" && said.UID != entry.todo.UID {
		return dav.Taken{}, &dav.Refusal{Condition: dav.NoUIDConflict, Why: wording.AddressTaken}
	}
	switch {
	case entry.open != nil && entry.open.Order:
		return c.order(ctx, b, name, entry, said)
	case entry.open != nil && entry.open.EveryDays > 0:
		return c.routine(ctx, b, app, name, entry, said)
	case entry.open != nil && said.Done():
		return c.tick(ctx, b, app, name, entry, said)
	case entry.open != nil && entry.open.Sent.UID != "":
		return c.change(ctx, b, app, name, said)
	case entry.done != nil && said.Open():
		return c.untick(ctx, b, app, name, entry)
	}
	return c.putRight(ctx, b, name)
}

// tick writes a service down and shows the entry as done at once; the plan that
// follows from it comes after.
func (c collection) tick(ctx context.Context, b *edition, app, name string, entry todoEntry, said ical.Said) (dav.Taken, error) {
	j, opened, err := c.open(ctx, app)
	if err != nil {
		return dav.Taken{}, refused(err)
	}
	ticked, err := j.Tick(ctx, opened, journal.Tick{Entry: entry.todo.Entry, At: said.At()})
	switch {
	case err != nil:
		return dav.Taken{}, refused(err)
	case ticked.Done == nil:
		return c.putRight(ctx, b, name)
	}
	done := *ticked.Done
	done.Sequence, done.Sent = entry.open.Sequence+1, entry.open.Sent
	if err := c.amend(ctx, b, &done); err != nil {
		return dav.Taken{}, err
	}
	return c.taken(name, false)
}

// untick takes a tick back where it is not too late.
func (c collection) untick(ctx context.Context, b *edition, app, name string, entry todoEntry) (dav.Taken, error) {
	j, opened, err := c.open(ctx, app)
	if err != nil {
		return dav.Taken{}, refused(err)
	}
	ticked, err := j.Tick(ctx, opened, journal.Tick{Entry: entry.todo.Entry, Open: true})
	switch {
	case err != nil:
		return dav.Taken{}, refused(err)
	case ticked.Record == 0:
		return c.putRight(ctx, b, name)
	}
	// What it was open as follows from the records.
	if _, err := c.make(ctx); err != nil {
		return dav.Taken{}, err
	}
	return c.taken(name, false)
}

// order marks a reminder to order as done, or open again. It is no task, so that
// no service speaks of it.
func (c collection) order(ctx context.Context, b *edition, name string, entry todoEntry, said ical.Said) (dav.Taken, error) {
	ticked := b.marks[entry.todo.Entry].Kind == schedule.MarkTicked
	mark := schedule.Mark{}
	switch {
	case !ticked && said.Done():
		mark = schedule.Mark{Kind: schedule.MarkTicked, At: c.Days.Now().UTC().Truncate(time.Second)}
	case ticked && said.Open():
	default:
		return c.putRight(ctx, b, name)
	}
	if err := c.SyncStore.SetMark(ctx, b.agenda.Place, entry.todo.Entry, mark); err != nil {
		return dav.Taken{}, err
	}
	if err := c.amend(ctx, b, nil); err != nil {
		return dav.Taken{}, err
	}
	return c.taken(name, false)
}

// routine hears which days of what comes round daily are done. Apps say so by an
// override for the day, by moving the start to a later day, or by completing the
// whole, which is taken for its next day.
func (c collection) routine(ctx context.Context, b *edition, app, name string, entry todoEntry, said ical.Said) (dav.Taken, error) {
	next := max(record.DateOf(entry.open.Start), entry.open.Next)
	var days []record.Date
	for _, o := range said.Occurrence {
		if o.Done {
			days = append(days, o.On)
		}
	}
	switch {
	case said.Done():
		days = append(days, next)
	case said.Start > next && said.EveryDays > 0:
		days = append(days, min(said.Start-1, b.agenda.Today))
	}
	wrote := 0
	for _, day := range days {
		j, opened, err := c.open(ctx, app) // for each day, since the same may have been said of it twice
		if err != nil {
			return dav.Taken{}, refused(err)
		}
		n, err := j.TickRoutine(ctx, opened, entry.open.Routine, min(day, b.agenda.Today))
		if err != nil {
			return dav.Taken{}, refused(err)
		}
		wrote += n
	}
	if wrote == 0 {
		return c.putRight(ctx, b, name)
	}
	if _, err := c.make(ctx); err != nil {
		return dav.Taken{}, err
	}
	return c.taken(name, false)
}

// add takes a to-do that is not there: one of ours that was deleted comes back,
// one of the app's own becomes a task if the owner wants that.
func (c collection) add(ctx context.Context, b *edition, app, name string, said ical.Said) (dav.Taken, error) {
	place := b.agenda.Place
	if uid, ours := ical.EntryUID(said.UID); ours {
		if b.marks[uid].Kind != schedule.MarkHidden || ical.TodoName(place, uid) != name {
			return dav.Taken{}, &dav.Refusal{Condition: dav.NeedPrivileges, Why: wording.ToDoNotOpen}
		}
		if err := c.SyncStore.SetMark(ctx, place, uid, schedule.Mark{}); err != nil {
			return dav.Taken{}, err
		}
		if err := c.amend(ctx, b, nil); err != nil {
			return dav.Taken{}, err
		}
		return c.taken(name, true)
	}
	for other, e := range b.byName {
		if e.todo.UID == said.UID && other != name {
			return dav.Taken{}, &dav.Refusal{Condition: dav.NoUIDConflict, Why: wording.UIDKeptElsewhere}
		}
	}
	if !c.TakeTodos {
		return dav.Taken{}, &dav.Refusal{Condition: dav.NeedPrivileges, Why: wording.NoNewToDos}
	}
	j, opened, err := c.open(ctx, app)
	if err != nil {
		return dav.Taken{}, refused(err)
	}
	if _, _, err := j.TakeAppTask(ctx, opened, newTask(name, said)); err != nil {
		return dav.Taken{}, refused(err)
	}
	after, err := c.make(ctx)
	if err != nil {
		return dav.Taken{}, err
	}
	if entry, ok := after.byName[name]; ok && entry.open != nil && said.Done() {
		return c.tick(ctx, after, app, name, entry, said)
	}
	return c.taken(name, true)
}

// change takes another title or day of a to-do that came from an app.
func (c collection) change(ctx context.Context, b *edition, app, name string, said ical.Said) (dav.Taken, error) {
	j, opened, err := c.open(ctx, app)
	if err != nil {
		return dav.Taken{}, refused(err)
	}
	_, wrote, err := j.TakeAppTask(ctx, opened, newTask(name, said))
	switch {
	case err != nil:
		return dav.Taken{}, refused(err)
	case !wrote:
		return c.putRight(ctx, b, name)
	}
	if _, err := c.make(ctx); err != nil {
		return dav.Taken{}, err
	}
	return c.taken(name, false)
}

func newTask(name string, said ical.Said) journal.NewTask {
	return journal.NewTask{
		UID: said.UID, Name: name, Title: said.Summary, Details: said.Details,
		Categories: said.Categories, Due: said.Due, EveryDays: said.EveryDays, Times: said.Times, Until: said.Until,
	}
}

// refused turns a mistake in what was sent into a refusal that says so.
func refused(err error) error {
	if mistake(err) || errors.Is(err, record.ErrUnknown) {
		return &dav.Refusal{Condition: dav.ValidObject, Why: err.Error()}
	}
	return err
}
