package agenda

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Publisher keeps what went out, so that the next plan holds to it and an entry's
// sequence counts its changes.
type Publisher struct {
	Days    *day.Opener
	Source  string // the door: "command", "page"
	Routine bool   // whether the calendar shows the daily routine, as one entry that recurs

	mu sync.Mutex // one publication at a time, so that each follows on the one before
}

// Agenda returns what goes to the calendar of a moment, and writes nothing.
func (p *Publisher) Agenda(ctx context.Context, m schedule.Moment) (Agenda, error) {
	f, err := p.forecast(ctx, m)
	if err != nil {
		return Agenda{}, err
	}
	return Of(f, p.Routine), nil
}

func (p *Publisher) forecast(ctx context.Context, m schedule.Moment) (*day.Forecast, error) {
	d, err := p.Days.Open(ctx, m)
	if err != nil {
		return nil, err
	}
	return d.Forecast(ctx)
}

// mostTries bounds how often a publication is made anew since something was
// written down while it was made.
const mostTries = 5

// Publish returns the agenda of a moment as it goes out, and keeps it, with the
// turns planned later, if anything of it differs from the last one. It reports
// whether it did. A publication follows on all that is written down, the last one
// among it, whoever else publishes.
func (p *Publisher) Publish(ctx context.Context, m schedule.Moment) (Agenda, bool, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for try := 1; ; try++ {
		a, wrote, err := p.publish(ctx, m)
		if !errors.Is(err, schedule.ErrOtherVersion) || try == mostTries {
			return a, wrote, err
		}
	}
}

func (p *Publisher) publish(ctx context.Context, m schedule.Moment) (Agenda, bool, error) {
	f, err := p.forecast(ctx, m)
	if err != nil {
		return Agenda{}, false, err
	}
	f = f.Published()
	a := Of(f, p.Routine)
	now := p.Days.Now().UTC().Truncate(time.Second)
	next, differs := publication(f, &a, now)
	if !differs {
		return a, false, nil
	}
	_, err = p.Days.Records.AppendAt(ctx, f.Day.Version(), record.Entry{Place: a.Place, Effective: a.Today, Entered: now, Source: p.Source, Body: next})
	return a, err == nil, err
}

// publication makes the record of an agenda that goes out, and stamps what
// changed with the time. It reports whether it differs from the last one.
func publication(f *day.Forecast, a *Agenda, now time.Time) (record.Publication, bool) {
	last, published := f.Day.Book.LastPublication()
	before := publishedEntries(f.Day.Book)
	next := record.Publication{At: now, Turns: f.Turns()}
	differs := !published || len(a.Entries) != len(last.Entries) || len(a.Done) != len(last.Done) || !slices.Equal(next.Turns, last.Turns)
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
			Says: e.Due.WindowSentence(), Early: dateOrZero(e.Due.Early), Likely: dateOrZero(e.Due.Likely), Late: dateOrZero(e.Due.Late), Vague: e.Tentative,
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
	next.Groups, next.GroupsGiven = publishedGroups(a, changed), a.given
	return next, differs || len(next.Groups) != len(last.Groups)
}

// publishedGroups makes the records of the entries for several tasks, and stamps
// what changed.
func publishedGroups(a *Agenda, changed func(uid, content string) time.Time) []record.PublishedGroup {
	var all []record.PublishedGroup
	for i := range a.Sittings {
		e := &a.Sittings[i]
		e.Changed = changed(e.UID, e.Content())
		all = append(all, record.PublishedGroup{
			UID: e.UID, Kind: record.SittingGroup, Start: e.Sitting.Start, Tasks: uidsOf(e.Tasks),
			Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed,
		})
	}
	for i := range a.Visits {
		e := &a.Visits[i]
		e.Changed = changed(e.UID, e.Content())
		all = append(all, record.PublishedGroup{
			UID: e.UID, Kind: record.VisitGroup, Of: e.Visit.Equipment, Start: e.Day.In(a.Zone), Tasks: uidsOf(e.Tasks),
			Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed,
		})
	}
	for i := range a.DoneDays {
		e := &a.DoneDays[i]
		e.Changed = changed(e.UID, e.Content())
		uids := make([]string, len(e.Done))
		for k, d := range e.Done {
			uids[k] = d.UID
		}
		all = append(all, record.PublishedGroup{
			UID: e.UID, Kind: record.DoneGroup, Start: e.On.In(a.Zone), Done: e.On, Tasks: uids,
			Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed,
		})
	}
	return all
}

func dateOrZero(d *record.Date) record.Date {
	if d == nil {
		return 0
	}
	return *d
}
