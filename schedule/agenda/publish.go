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

// Preview returns what goes to the calendar of a moment, and writes nothing.
func (p *Publisher) Preview(ctx context.Context, m schedule.Moment) (Issue, error) {
	f, err := p.forecast(ctx, m)
	if err != nil {
		return Issue{}, err
	}
	return Issue{Agenda: Of(f, p.Routine), Forecast: f, Version: f.Day.Version()}, nil
}

func (p *Publisher) forecast(ctx context.Context, m schedule.Moment) (*day.Forecast, error) {
	d, err := p.Days.Open(ctx, m)
	if err != nil {
		return nil, err
	}
	return d.Forecast(ctx)
}

// Issue is an agenda that goes out.
type Issue struct {
	Agenda   Agenda
	Forecast *day.Forecast // that it was made from, with its plan
	Version  int64         // of the records that it tells of, itself among them
	Wrote    bool          // whether it differs from the one before, and was kept
}

// mostTries bounds how often a publication is made anew since another was kept
// while it was made.
const mostTries = 5

// Publish returns the agenda of a moment as it goes out, and keeps it, with the
// turns planned later, if anything of it differs from the last one. A publication
// follows on the last one, whoever else publishes. What is written down while it is
// made is for the next one: where much is written, what goes out would else never be
// done.
func (p *Publisher) Publish(ctx context.Context, m schedule.Moment) (Issue, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for try := 1; ; try++ {
		issue, err := p.publish(ctx, m)
		if !errors.Is(err, schedule.ErrOtherPublication) || try == mostTries {
			return issue, err
		}
	}
}

func (p *Publisher) publish(ctx context.Context, m schedule.Moment) (Issue, error) {
	f, err := p.forecast(ctx, m)
	if err != nil {
		return Issue{}, err
	}
	if f, err = f.Published(ctx); err != nil {
		return Issue{}, err
	}
	issue := Issue{Agenda: Of(f, p.Routine), Forecast: f, Version: f.Day.Version()}
	now := p.Days.Now().UTC().Truncate(time.Second)
	next, differs := publication(f, &issue.Agenda, now)
	if !differs {
		return issue, nil
	}
	last, _ := f.Day.Book.LastPublished()
	id, err := p.Days.Records.AppendAfter(ctx, last.ID, record.Entry{Place: issue.Agenda.Place, Effective: issue.Agenda.Today, Entered: now, Source: p.Source, Body: next})
	if err != nil {
		return issue, err
	}
	issue.Wrote = true
	place, _ := f.Day.Book.Place()
	alone, err := p.alone(ctx, issue, id, place.District)
	if err != nil {
		return issue, err
	}
	if alone {
		issue.Version = id
	}
	return issue, nil
}

// alone reports whether nothing but the publication was written down at its place since
// the records were read that it tells of, nor of its water district, which is empty where
// it is of none. What is written of another place lies between.
func (p *Publisher) alone(ctx context.Context, issue Issue, id int64, district string) (bool, error) {
	if id == issue.Version+1 {
		return true, nil
	}
	if district != "" {
		shared, err := p.Days.Records.VersionOf(ctx, schedule.DistrictBook(district))
		if err != nil || shared > issue.Version {
			return false, err
		}
	}
	alone := true
	err := p.Days.Records.History(ctx, issue.Agenda.Place, issue.Version, func(e record.Entry) error {
		alone = alone && e.ID == id
		return nil
	})
	return alone, err
}

// publication makes the record of an agenda that goes out, and stamps what
// changed with the time. It reports whether it differs from the last one.
func publication(f *day.Forecast, a *Agenda, now time.Time) (record.Publication, bool) {
	last, published := f.Day.Book.LastPublication()
	before := publishedEntries(f.Day.Book)
	next := record.Publication{At: now, Turns: f.Turns(), Expected: f.Expected(), ModelLogSD: f.ModelLogSD()}
	a.stands.keep(next.Turns)
	next.Found, next.ExpectedSince = f.Found()
	differs := !published || len(a.Entries) != len(last.Entries) || !slices.Equal(next.Turns, last.Turns)
	changed := func(uid, content string) time.Time {
		if was, ok := before[uid]; ok && was.Content == content {
			return was.Changed
		}
		differs = true
		return now
	}
	open := func(e *AgendaEntry) record.PublishedSitting {
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
		return p
	}
	for i := range a.Entries {
		next.Entries = append(next.Entries, open(&a.Entries[i]))
	}
	for i := range a.RoutineOpen {
		next.Routine = append(next.Routine, open(&a.RoutineOpen[i]))
	}
	done := func(e *DoneEntry) {
		e.Changed = changed(e.UID, e.Content())
		next.Done = append(next.Done, record.PublishedDone{UID: e.UID, Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed})
	}
	for i := range a.Done {
		done(&a.Done[i])
	}
	for i := range a.RoutineDone {
		done(&a.RoutineDone[i])
	}
	differs = differs || len(next.Routine) != len(last.Routine) || len(next.Done) != len(last.Done)
	for i := range a.Cancelled {
		e := &a.Cancelled[i]
		e.Changed = changed(e.UID, e.Content())
		next.Cancelled = append(next.Cancelled, record.PublishedCancelled{
			UID: e.UID, Start: e.Start, AllDay: e.AllDay, Group: e.Group, Booked: e.Booked, Alone: e.Alone, Tasks: e.tasks, Since: e.Since,
			Content: e.Content(), Sequence: e.Sequence, Changed: e.Changed,
		})
	}
	differs = differs || len(next.Cancelled) != len(last.Cancelled)
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
	for i := range a.Booked {
		e := &a.Booked[i]
		e.Changed = changed(e.UID, e.Content())
		all = append(all, record.PublishedGroup{
			UID: e.UID, Kind: record.BookedGroup, Start: e.Visit.Begins, Tasks: uidsOf(e.Tasks),
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
