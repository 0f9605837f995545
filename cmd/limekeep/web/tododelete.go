package web

import (
	"context"
	"slices"
	"time"

	"limekeep/cmd/limekeep/web/dav"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
)

// deletion is an object that an app deleted.
type deletion struct {
	at    time.Time
	entry todoEntry
	was   schedule.Mark // before it
}

// A client that resets its account deletes everything it has. So many deletions
// within such a time are still a person's.
const (
	mostDeletions   = 3
	deletionsWithin = time.Minute
)

// Delete hides one occurrence, or drops a task that came from an app. Licensed
// work and what is for safety comes back; of a burst everything does.
func (c collection) Delete(ctx context.Context, app, name string, match func(*dav.Object) error) error {
	b, unlock, err := c.lock(ctx)
	if err != nil {
		return err
	}
	defer unlock()
	object := b.object(name)
	if err := match(object); err != nil {
		return err
	}
	entry, ok := b.byName[name]
	if !ok || object == nil {
		return nil // it is gone, as was asked for
	}
	now := c.Days.Now()
	c.deletions = slices.DeleteFunc(c.deletions, func(d deletion) bool { return now.Sub(d.at) >= deletionsWithin })
	if len(c.deletions) >= mostDeletions {
		if err := c.restore(ctx, b, app); err != nil {
			return err
		}
		// As another version it comes back to the app as well, which else would ask
		// again until it is let.
		if _, err := c.putRight(ctx, c.now.Load(), name); err != nil {
			return err
		}
		return &dav.Refusal{Condition: dav.NeedPrivileges, Why: "More than three deletions within a minute look like an app that resets itself, so they were taken back. Delete a few at a time."}
	}
	c.deletions = append(c.deletions, deletion{now, entry, b.marks[entry.todo.Entry]})
	switch {
	case entry.open != nil && entry.open.Guarded:
		_, err := c.putRight(ctx, b, name)
		return err
	case entry.open != nil && entry.open.Sent.UID != "":
		j, opened, err := c.open(ctx, app)
		if err != nil {
			return err
		}
		if _, err := j.DropAppTask(ctx, opened, entry.task(), true); err != nil {
			return err
		}
		_, err = c.make(ctx)
		return err
	}
	if err := c.mark(ctx, b, entry, schedule.Mark{Kind: schedule.MarkHidden, At: now.UTC().Truncate(time.Second)}); err != nil {
		return err
	}
	return c.amend(ctx, b, func(*agenda.Agenda) {})
}

func (c collection) mark(ctx context.Context, b *edition, entry todoEntry, m schedule.Mark) error {
	return c.SyncStore.SetMark(ctx, b.agenda.Place, entry.todo.Entry, m)
}

// restore brings back what was deleted within the time of a burst. The burst goes
// on as long as deletions keep coming.
func (c collection) restore(ctx context.Context, b *edition, app string) error {
	remake := false
	for i := range c.deletions {
		entry := c.deletions[i].entry
		c.deletions[i].at = c.Days.Now()
		if entry.open != nil && entry.open.Sent.UID != "" {
			j, opened, err := c.open(ctx, app)
			if err != nil {
				return err
			}
			restored, err := j.DropAppTask(ctx, opened, entry.task(), false)
			if err != nil {
				return err
			}
			remake = remake || restored
			continue
		}
		if err := c.mark(ctx, b, entry, c.deletions[i].was); err != nil {
			return err
		}
	}
	if remake {
		_, err := c.make(ctx)
		return err
	}
	return c.amend(ctx, b, func(*agenda.Agenda) {})
}
