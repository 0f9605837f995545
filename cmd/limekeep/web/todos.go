package web

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"limekeep/cmd/limekeep/web/dav"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/ical"
	"limekeep/schedule/journal"
)

// todoEntry is what an object of the collection stands for.
type todoEntry struct {
	todo ical.Todo
	open *agenda.AgendaEntry // nil where it was done
	done *agenda.DoneEntry   // nil where it is open
}

// task is the id of the task that an entry is about.
func (e todoEntry) task() string {
	if e.open != nil {
		return e.open.Due.Task
	}
	return e.done.Task
}

// syncTodos makes the to-dos of an edition and keeps what of them is new; the publisher
// is locked.
func (p *publisher) syncTodos(ctx context.Context, b *edition) error {
	place := b.agenda.Place
	var err error
	if b.marks, err = p.SyncStore.Marks(ctx, place); err != nil {
		return err
	}
	ticked := map[string]time.Time{}
	for uid, m := range b.marks {
		if m.Kind == schedule.MarkTicked {
			ticked[uid] = m.At
		}
	}
	before, err := p.SyncStore.SyncState(ctx, place)
	if err != nil {
		return err
	}
	agenda := putRightBy(before, b.agenda.ForTaskApps())
	base := cmp.Or(p.BaseURL, p.OwnURL)
	if p.Shared != nil {
		base = p.BaseURL // the same of every server; without it there are no links
	}
	if base != "" {
		agenda.Base = strings.TrimRight(base, "/") + p.Under
	}
	todos, err := ical.Todos(agenda, ticked)
	if err != nil {
		return err
	}
	zone, err := ical.ZoneCalendar(agenda)
	if err != nil {
		return err
	}
	b.byName = map[string]todoEntry{}
	tags := map[string]string{}
	snapshot := &dav.Snapshot{
		Name: wording.CareOf(b.agenda.Name), Description: wording.DueAndDone,
		Color: ical.ColorRGBA, Zone: zone, MayAdd: p.TakeTodos,
	}
	for i, todo := range todos {
		e := todoEntry{todo: todo}
		if i < len(agenda.Entries) {
			e.open = &agenda.Entries[i]
		} else {
			e.done = &agenda.Done[i-len(agenda.Entries)]
		}
		if b.marks[todo.Entry].Kind == schedule.MarkHidden && (e.open == nil || !e.open.Guarded) {
			continue
		}
		tag := tagOf(todo.Data)
		b.byName[todo.Name], tags[todo.Name] = e, tag
	}
	state, err := p.SyncStore.SetObjects(ctx, place, tags)
	if err != nil {
		return err
	}
	snapshot.Epoch, snapshot.Number, snapshot.Oldest = state.Epoch, state.Number, state.Oldest
	for name, o := range state.Objects {
		if o.Tag == "" {
			snapshot.Gone = append(snapshot.Gone, dav.Gone{Name: name, Number: o.Number})
			continue
		}
		todo := b.byName[name].todo
		snapshot.Objects = append(snapshot.Objects, dav.Object{
			Name: name, ETag: o.Tag, Data: todo.Data, Calendar: todo.Calendar, Modified: todo.Modified, Number: o.Number,
		})
	}
	slices.SortFunc(snapshot.Objects, func(a, b dav.Object) int { return strings.Compare(a.Name, b.Name) })
	slices.SortFunc(snapshot.Gone, func(a, b dav.Gone) int { return strings.Compare(a.Name, b.Name) })
	b.todos = snapshot
	return nil
}

// putRightBy counts how often an object was put right with the changes of its
// entry, so that it is another one to an app that goes by the content alone.
func putRightBy(s schedule.SyncState, a agenda.Agenda) agenda.Agenda {
	a.Entries, a.Done = slices.Clone(a.Entries), slices.Clone(a.Done)
	for i := range a.Entries {
		e := &a.Entries[i]
		e.Sequence += s.Objects[ical.ObjectName(a.Place, e.UID, e.Sent)].Touched
	}
	for i := range a.Done {
		e := &a.Done[i]
		e.Sequence += s.Objects[ical.ObjectName(a.Place, e.UID, e.Sent)].Touched
	}
	return a
}

// object finds an object of the collection; nil for none.
func (b *edition) object(name string) *dav.Object {
	i, ok := slices.BinarySearchFunc(b.todos.Objects, name, func(o dav.Object, name string) int { return strings.Compare(o.Name, name) })
	if !ok {
		return nil
	}
	return &b.todos.Objects[i]
}

// collection shows the to-dos to task apps and takes what they send.
type collection struct{ *publisher }

var _ dav.Collection = collection{}

// Snapshot returns the collection as it stands.
func (c collection) Snapshot(ctx context.Context) (*dav.Snapshot, error) {
	if err := c.abreast(ctx); err != nil {
		return nil, err
	}
	b, err := c.current(ctx)
	if err != nil {
		return nil, err
	}
	return b.todos, nil
}

// lock returns the edition to change, with the publisher locked until the function it
// gives is called.
func (c collection) lock(ctx context.Context) (*edition, func(), error) {
	unlock, err := c.alone(ctx)
	if err != nil {
		return nil, nil, err
	}
	b := c.now.Load()
	switch {
	case b == nil || !c.watched.Load():
		b, err = c.fresh(ctx)
	case c.Shared != nil:
		b, err = c.catchUp(ctx)
	}
	if err != nil {
		unlock()
		return nil, nil, err
	}
	return b, unlock, nil
}

// open opens the day, and the journal for what an app brings.
func (c collection) open(ctx context.Context, app string) (*journal.Journal, *day.Day, error) {
	d, err := c.Days.Open(ctx, c.moment())
	return c.Journal.From(journal.AppSource(app)), d, err
}

// taken answers with an object as it is now. Nothing is kept as it was sent: an
// app fetches what became of it.
func (c collection) taken(name string, created bool) (dav.Taken, error) {
	t := dav.Taken{Created: created}
	if o := c.now.Load().object(name); o != nil {
		t.Object = *o
	}
	return t, nil
}

// putRight gives an object another version, so that the app that holds another
// form of it fetches it; the publisher is locked.
func (c collection) putRight(ctx context.Context, b *edition, name string) (dav.Taken, error) {
	if _, err := c.SyncStore.Touch(ctx, b.agenda.Place, name); err != nil {
		return dav.Taken{}, err
	}
	if err := c.amend(ctx, b, nil); err != nil {
		return dav.Taken{}, err
	}
	return c.taken(name, false)
}
