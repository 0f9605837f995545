package schedule

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"time"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// Agenda is what goes to a calendar: a place with what is coming.
type Agenda struct {
	Place   string         // id
	Name    string         // for people
	Zone    *time.Location // of the place
	Today   record.Date
	Base    string        // address of the pages, for links back; empty where none are served
	Entries []AgendaEntry // routines first, then sitting by sitting
}

// AgendaEntry is one task in the calendar.
type AgendaEntry struct {
	UID       string // equipment, task and last service: the same until it is done
	Due       Due
	Start     time.Time // in the place's zone; midnight of its day where AllDay
	Minutes   float64
	AllDay    bool
	Tentative bool      // the window is still wide
	Sequence  int       // how often its content changed since it was first published
	Changed   time.Time // publication that last changed it
}

// tentativeDays is how wide a window may be, from early to late, before its
// entry is only tentative and for the whole day.
const tentativeDays = 60

// Agenda gives what goes to the calendar of a place. It writes nothing: what
// the last publication did not hold yet stands with the start of today.
func (d *Desk) Agenda(ctx context.Context, m Moment) (Agenda, error) {
	o, err := d.look(ctx, m)
	if err != nil {
		return Agenda{}, err
	}
	zone, err := o.place.Location()
	if err != nil {
		return Agenda{}, err
	}
	a := Agenda{Place: o.place.ID, Name: o.place.Name, Zone: zone, Today: o.moment.Today}
	published := map[string]record.PublishedSitting{}
	if last, ok := o.book.LastPublication(); ok {
		for _, e := range last.Entries {
			published[e.UID] = e
		}
	}
	dues := map[string]Due{}
	for _, due := range d.dues(o) {
		dues[due.Task] = due
		if (due.Routine || due.OnItsDay) && due.Likely != nil {
			a.add(due, max(*due.Likely, a.Today).In(zone), true, published)
		}
	}
	for _, s := range o.sittings {
		a.addSitting(s, dues, published)
	}
	return a, nil
}

// addSitting lays the tasks of a sitting end to end.
func (a *Agenda) addSitting(s plan.Sitting, dues map[string]Due, published map[string]record.PublishedSitting) {
	start := s.Start
	for _, task := range s.Tasks {
		due := dues[task]
		if wide(due) && !due.Overdue {
			a.add(due, s.Date().In(a.Zone), true, published)
		} else {
			a.add(due, start, false, published)
		}
		start = start.Add(time.Duration(due.Minutes * float64(time.Minute)))
	}
}

// wide tells whether a task's window says little about its day.
func wide(d Due) bool {
	return d.Early == nil || d.Late == nil || *d.Late-*d.Early > tentativeDays
}

func (a *Agenda) add(due Due, start time.Time, allDay bool, published map[string]record.PublishedSitting) {
	e := AgendaEntry{
		UID: uid(a.Place, due), Due: due, Start: start, Minutes: due.Minutes,
		AllDay: allDay, Tentative: wide(due) && !due.Overdue,
		Changed: a.Today.In(a.Zone),
	}
	if was, ok := published[e.UID]; ok {
		e.Sequence, e.Changed = was.Sequence, was.Changed
		if was.Content != e.Content() {
			e.Sequence, e.Changed = was.Sequence+1, a.Today.In(a.Zone)
		}
	}
	a.Entries = append(a.Entries, e)
}

// uid names an entry for as long as its task is not done.
func uid(place string, d Due) string {
	return fmt.Sprintf("%s.%s.%d@limekeep", place, d.Task, d.Served)
}

// Content is a fingerprint of all that the entry shows.
func (e AgendaEntry) Content() string {
	shown, err := json.Marshal(struct {
		Start                time.Time
		Minutes              float64
		AllDay, Tentative    bool
		Title, Name          string
		Cautions, Safe, Says []string
	}{e.Start, e.Minutes, e.AllDay, e.Tentative, e.Due.Title, e.Due.Name, e.Due.Cautions, e.Due.MakeSafe, e.Due.Why})
	if err != nil {
		panic("an agenda entry is plain data: " + err.Error()) // cannot happen: no channels, functions or cycles
	}
	sum := sha256.Sum256(shown)
	return hex.EncodeToString(sum[:8])
}

// Publish keeps the agenda as it goes out, if it differs from the last one.
func (d *Desk) Publish(ctx context.Context, m Moment) (bool, error) {
	m, err := d.Settle(ctx, m)
	if err != nil {
		return false, err
	}
	a, err := d.Agenda(ctx, m)
	if err != nil {
		return false, err
	}
	book, _, m, err := d.open(ctx, m)
	if err != nil {
		return false, err
	}
	last, published := book.LastPublication()
	before := map[string]record.PublishedSitting{}
	for _, e := range last.Entries {
		before[e.UID] = e
	}
	now := d.Now().UTC().Truncate(time.Second)
	next := record.Publication{At: now}
	differs := !published || len(a.Entries) != len(last.Entries)
	for _, e := range a.Entries {
		p := record.PublishedSitting{
			UID: e.UID, Task: e.Due.Task, Start: e.Start, Minutes: e.Minutes, AllDay: e.AllDay,
			Content: e.Content(), Sequence: e.Sequence, Changed: now,
		}
		if was, ok := before[e.UID]; ok && was.Content == p.Content {
			p.Changed = was.Changed
		} else {
			differs = true
		}
		next.Entries = append(next.Entries, p)
	}
	if !differs {
		return false, nil
	}
	_, err = d.Records.Append(ctx, d.entry(m, m.Today, next))
	return true, err
}
