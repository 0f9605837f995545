package web

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
)

// What several servers of one place have in common, where Server.Shared is set: one at a
// time gives out an edition or changes what is given out, an older edition never takes
// the place of a newer one, and a tick is known to all at once, ahead of the plan that
// follows from it.

// Times that what is shared is remembered. Assumptions.
const (
	amendmentLasts = 10 * time.Minute // until every server has a plan that knows of a tick
	editionLasts   = 365 * 24 * time.Hour
)

func amendmentKind(place string) string { return "amendment " + place }
func editionKind(place string) string   { return "edition " + place }
func deletionKind(place string) string  { return "deletion " + place }

// alone locks the publisher, and holds its place among all servers, until the function
// that it returns is called.
func (p *publisher) alone(ctx context.Context) (unlock func(), err error) {
	p.mu.Lock()
	if p.Shared == nil {
		return p.mu.Unlock, nil
	}
	release, err := p.Shared.Alone(ctx, "place "+p.Place)
	if err != nil {
		p.mu.Unlock()
		return nil, err
	}
	return func() {
		release()
		p.mu.Unlock()
	}, nil
}

// sharedAmendment is a tick that another server took.
type sharedAmendment struct {
	Version int64
	Done    agenda.DoneEntry
}

// share tells the other servers of a tick; the publisher is locked.
func (p *publisher) share(ctx context.Context, version int64, done *agenda.DoneEntry) error {
	if p.Shared == nil || done == nil {
		return nil
	}
	told, err := json.Marshal(sharedAmendment{version, *done})
	if err != nil {
		return err
	}
	return p.Shared.Remember(ctx, amendmentKind(p.Place), done.UID, string(told), amendmentLasts)
}

// learn takes over the ticks of other servers that an edition does not know of; the
// publisher is locked.
func (p *publisher) learn(ctx context.Context, b *edition) error {
	if p.Shared == nil {
		return nil
	}
	all, err := p.Shared.RecallAll(ctx, amendmentKind(p.Place))
	if err != nil {
		return err
	}
	for _, uid := range slices.Sorted(maps.Keys(all)) {
		var a sharedAmendment
		if err := json.Unmarshal([]byte(all[uid]), &a); err != nil {
			return fmt.Errorf("a tick of another server: %w", err)
		}
		known := slices.ContainsFunc(p.amended, func(own amendment) bool { return own.version == a.Version })
		if a.Version > b.version && !known {
			p.amended = append(p.amended, amendment{a.Version, doneIn(&a.Done)})
		}
	}
	slices.SortStableFunc(p.amended, func(a, b amendment) int { return cmp.Compare(a.version, b.version) })
	return nil
}

// doneIn shows an entry as done; nothing where there is none.
func doneIn(done *agenda.DoneEntry) func(*agenda.Agenda) {
	return func(a *agenda.Agenda) {
		if done != nil {
			*a = a.WithDone(*done)
		}
	}
}

// outdone reports whether another server has given out an edition of newer records; the
// publisher is locked.
func (p *publisher) outdone(ctx context.Context, b *edition) (bool, error) {
	if p.Shared == nil {
		return false, nil
	}
	text, ok, err := p.Shared.Recall(ctx, editionKind(p.Place), "version")
	if err != nil || !ok {
		return false, err
	}
	version, err := strconv.ParseInt(text, 10, 64)
	return version > b.version, err
}

// tellVersion tells the other servers of which records an edition is; the publisher is
// locked.
func (p *publisher) tellVersion(ctx context.Context, b *edition) error {
	if p.Shared == nil || p.toldVersion == b.version {
		return nil
	}
	if err := p.Shared.Remember(ctx, editionKind(p.Place), "version", strconv.FormatInt(b.version, 10), editionLasts); err != nil {
		return err
	}
	p.toldVersion = b.version
	return nil
}

// abreast sees to it that what is given out to task apps here is no older than what any
// server has given out, so that a token of one is good at all.
func (p *publisher) abreast(ctx context.Context) error {
	if p.Shared == nil || p.SyncStore == nil {
		return nil
	}
	behind, err := p.behind(ctx)
	if err != nil || !behind {
		return err
	}
	unlock, err := p.alone(ctx)
	if err != nil {
		return err
	}
	defer unlock()
	_, err = p.catchUp(ctx)
	return err
}

// behind reports whether other servers gave out changes that are not known here.
func (p *publisher) behind(ctx context.Context) (bool, error) {
	b := p.now.Load()
	if b == nil || b.todos == nil {
		return true, nil
	}
	number, err := p.Shared.SyncNumber(ctx, b.agenda.Place)
	return number != b.todos.Number, err
}

// catchUp returns an edition that knows what other servers gave out; the publisher is
// locked. Ticks are taken over as they are; for more than that the plan is made anew.
func (p *publisher) catchUp(ctx context.Context) (*edition, error) {
	b := p.now.Load()
	if b == nil || p.Shared == nil {
		return p.fresh(ctx)
	}
	outdone, err := p.outdone(ctx, b)
	if err != nil {
		return nil, err
	}
	if outdone {
		return p.make(ctx)
	}
	behind, err := p.behind(ctx)
	if err != nil || !behind {
		return b, err
	}
	again := &edition{version: b.version, agenda: b.agenda}
	again.forecast.Store(b.forecast.Load())
	if err := p.giveOut(ctx, again); err != nil {
		return nil, err
	}
	return p.now.Load(), nil
}

// deleted is a deletion as it is remembered for all servers.
type deleted struct {
	At    time.Time
	Entry string // UID
	Task  string
	Sent  bool // whether it was a task that came from an app
	Was   schedule.Mark
}

// recallDeletions returns the deletions of the last while, in the order of time.
func (c collection) recallDeletions(ctx context.Context, since time.Time) ([]deleted, error) {
	if c.Shared != nil {
		all, err := c.Shared.RecallAll(ctx, deletionKind(c.Place))
		if err != nil {
			return nil, err
		}
		c.deletions = nil
		for _, key := range slices.Sorted(maps.Keys(all)) {
			var d deleted
			if err := json.Unmarshal([]byte(all[key]), &d); err != nil {
				return nil, fmt.Errorf("a deletion of another server: %w", err)
			}
			c.deletions = append(c.deletions, d)
		}
		slices.SortStableFunc(c.deletions, func(a, b deleted) int { return a.At.Compare(b.At) })
	}
	c.deletions = slices.DeleteFunc(c.deletions, func(d deleted) bool { return !d.At.After(since) })
	return c.deletions, nil
}

// rememberDeletion keeps a deletion for a while, anew where it is known.
func (c collection) rememberDeletion(ctx context.Context, d deleted) error {
	i := slices.IndexFunc(c.deletions, func(known deleted) bool { return known.Entry == d.Entry })
	if i >= 0 {
		c.deletions[i] = d
	} else {
		c.deletions = append(c.deletions, d)
	}
	if c.Shared == nil {
		return nil
	}
	text, err := json.Marshal(d)
	if err != nil {
		return err
	}
	return c.Shared.Remember(ctx, deletionKind(c.Place), d.Entry, string(text), 2*deletionsWithin)
}

// Told has the servers' watch look at once: another server, or a command, has written.
func (s *Server) Told() { s.publisher().nudge() }

// Told has the watch look at once: another server, or a command, has written.
func (p *Places) Told() { p.work().nudge() }

// nudge asks the watch to look now.
func (p *places) nudge() {
	select {
	case p.wake <- struct{}{}:
	default: // it is going to
	}
}
