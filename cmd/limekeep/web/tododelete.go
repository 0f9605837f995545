package web

import (
	"context"
	"slices"
	"time"

	"limekeep/cmd/limekeep/web/dav"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
)

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
	before, err := c.recallDeletions(ctx, now.Add(-deletionsWithin))
	if err != nil {
		return err
	}
	if len(before) >= mostDeletions {
		if err := c.restore(ctx, b, app); err != nil {
			return err
		}
		// As another version it comes back to the app as well, which else would ask
		// again until it is let.
		if _, err := c.putRight(ctx, c.now.Load(), name); err != nil {
			return err
		}
		return &dav.Refusal{Condition: dav.NeedPrivileges, Why: wording.TooManyDeletions}
	}
	sent := entry.open != nil && entry.open.Sent.UID != ""
	if err := c.rememberDeletion(ctx, deleted{now, entry.todo.Entry, entry.task(), sent, b.marks[entry.todo.Entry]}); err != nil {
		return err
	}
	switch {
	case entry.open != nil && entry.open.Guarded:
		_, err := c.putRight(ctx, b, name)
		return err
	case sent:
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
	if err := c.mark(ctx, b, entry.todo.Entry, schedule.Mark{Kind: schedule.MarkHidden, At: now.UTC().Truncate(time.Second)}); err != nil {
		return err
	}
	return c.amend(ctx, b, nil)
}

func (c collection) mark(ctx context.Context, b *edition, uid string, m schedule.Mark) error {
	return c.SyncStore.SetMark(ctx, b.agenda.Place, uid, m)
}

// restore brings back what was deleted within the time of a burst. The burst goes
// on as long as deletions keep coming.
func (c collection) restore(ctx context.Context, b *edition, app string) error {
	remake := false
	for _, d := range slices.Clone(c.deletions) {
		d.At = c.Days.Now()
		if err := c.rememberDeletion(ctx, d); err != nil {
			return err
		}
		if d.Sent {
			j, opened, err := c.open(ctx, app)
			if err != nil {
				return err
			}
			restored, err := j.DropAppTask(ctx, opened, d.Task, false)
			if err != nil {
				return err
			}
			remake = remake || restored
			continue
		}
		if err := c.mark(ctx, b, d.Entry, d.Was); err != nil {
			return err
		}
	}
	if remake {
		_, err := c.make(ctx)
		return err
	}
	return c.amend(ctx, b, nil)
}
