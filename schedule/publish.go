package schedule

import (
	"context"
	"errors"
	"slices"
	"time"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// mostTries bounds how often a publication is made anew since something was
// written down while it was made.
const mostTries = 5

// Publish gives the agenda of a moment as it goes out, and keeps it, with the
// turns planned later, if anything of it differs from the last one. It tells
// whether it did. A publication follows on all that is written down, the last one
// among it, whoever else publishes.
func (d *Desk) Publish(ctx context.Context, m Moment) (Agenda, bool, error) {
	d.publishing.Lock()
	defer d.publishing.Unlock()
	for try := 1; ; try++ {
		a, wrote, err := d.publish(ctx, m)
		if !errors.Is(err, ErrOtherVersion) || try == mostTries {
			return a, wrote, err
		}
	}
}

func (d *Desk) publish(ctx context.Context, m Moment) (Agenda, bool, error) {
	o, err := d.look(ctx, m)
	if err != nil {
		return Agenda{}, false, err
	}
	o.settle()
	a, err := d.agenda(o)
	if err != nil {
		return Agenda{}, false, err
	}
	next, differs := d.publication(o, &a)
	if !differs {
		return a, false, nil
	}
	_, err = d.Records.AppendAt(ctx, o.version, d.entry(o.moment, o.moment.Today, next))
	return a, err == nil, err
}

// publication makes the record of an agenda that goes out, and stamps what
// changed with its time. It tells whether it differs from the last one.
func (d *Desk) publication(o *outlook, a *Agenda) (record.Publication, bool) {
	last, published := o.book.LastPublication()
	before := publishedEntries(o.book)
	now := d.Now().UTC().Truncate(time.Second)
	next := record.Publication{At: now, Later: laterTurns(o.plan)}
	differs := !published || len(a.Entries) != len(last.Entries) || len(a.Done) != len(last.Done) || !slices.Equal(next.Later, last.Later)
	changed := func(uid, content string) time.Time {
		if was, ok := before[uid]; ok && was.Content == content {
			return was.Changed
		}
		differs = true
		return now
	}
	for i := range a.Entries {
		e := &a.Entries[i]
		e.Changed = changed(e.UID, e.Content())
		p := record.PublishedSitting{
			UID: e.UID, Task: e.Due.Task, Start: e.Start, Minutes: e.Minutes, AllDay: e.AllDay,
			Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed,
			Says: e.Due.said(), Early: dateOrZero(e.Due.Early), Likely: dateOrZero(e.Due.Likely), Late: dateOrZero(e.Due.Late), Vague: e.Tentative,
		}
		if was, ok := before[e.UID]; ok && was.Says == p.Says {
			// The window it speaks of stands as well, so that small steps add up.
			p.Early, p.Likely, p.Late = was.Early, was.Likely, was.Late
		}
		next.Entries = append(next.Entries, p)
	}
	for i := range a.Done {
		e := &a.Done[i]
		e.Changed = changed(e.UID, e.Content())
		next.Done = append(next.Done, record.PublishedDone{UID: e.UID, Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed})
	}
	return next, differs
}

// laterTurns gives the turns of a plan that have no entry yet.
func laterTurns(p plan.Plan) []record.PublishedTurn {
	var later []record.PublishedTurn
	for _, s := range p.Sittings {
		for _, t := range s.Turns {
			if t.Number > 1 {
				later = append(later, record.PublishedTurn{Task: t.Task, On: s.Date()})
			}
		}
	}
	return later
}

func dateOrZero(d *record.Date) record.Date {
	if d == nil {
		return 0
	}
	return *d
}
