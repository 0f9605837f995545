package agenda

import (
	"slices"
	"strings"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// CancelledEntry is an entry that went out, is open no longer and was not done: its
// work went into other entries, or is not to be done any more. A calendar that an
// entry is imported into keeps it until it is told (RFC 5545, 3.8.1.11).
type CancelledEntry struct {
	UID      string
	Summary  string
	Start    time.Time
	AllDay   bool
	Group    bool        // it was the entry of a sitting or visit, else of a single task
	Booked   bool        // of a visit that was booked
	Alone    bool        // it was of no sitting or visit, so that calendars of either sort had it
	Since    record.Date // when it was cancelled
	Sequence int
	Changed  time.Time // publication that last changed it

	tasks     []string // by the UIDs that each goes by alone
	equipment []string // ids
}

// cancelledDays is for how long an entry is shown as cancelled after its day, or
// after it was cancelled where that is later. Assumption: longer than calendars
// wait to look again.
const cancelledDays = 30

// mostCancelled is how many are shown at most, those cancelled last: what goes out would grow
// with each service that is written down and taken back (assumption: more than a plan has
// sittings).
const mostCancelled = 100

// addCancelled adds what the last publication had open, or cancelled not long ago,
// and is neither open nor done now.
func (a *Agenda) addCancelled(d *day.Day, published map[string]record.PublishedSitting) {
	there := map[string]bool{}
	for _, e := range a.Entries {
		there[e.UID] = true
	}
	for _, e := range a.Done {
		there[e.UID] = true
	}
	for _, e := range a.Sittings {
		there[e.UID] = true
	}
	for _, e := range a.Visits {
		there[e.UID] = true
	}
	for _, e := range a.Booked {
		there[e.UID] = true
	}
	for _, e := range a.DoneDays {
		there[e.UID] = true
	}
	add := func(e CancelledEntry, tasks []string) {
		if len(a.Cancelled) == mostCancelled || there[e.UID] || max(record.DateOf(e.Start.In(a.Zone)), e.Since)+cancelledDays < a.Today {
			return
		}
		e.tasks = tasks
		e.Summary, e.equipment = nameOf(a.Place, d.Duties, tasks)
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
		a.Cancelled = append(a.Cancelled, e)
	}
	last, _ := d.Book.LastPublication() // what it had cancelled comes last, the newest first
	grouped := map[string]bool{}
	for _, e := range last.Groups {
		for _, uid := range e.Tasks {
			grouped[uid] = true
		}
	}
	for _, e := range last.Entries {
		add(CancelledEntry{UID: e.UID, Start: e.Start, AllDay: e.AllDay, Alone: !grouped[e.UID], Since: a.Today}, []string{e.UID})
	}
	for _, e := range last.Groups {
		if e.Done.IsZero() {
			add(CancelledEntry{UID: e.UID, Start: e.Start, AllDay: e.Kind == record.VisitGroup, Group: true, Booked: e.Kind == record.BookedGroup, Since: a.Today}, e.Tasks)
		}
	}
	for _, e := range last.Cancelled {
		add(CancelledEntry{UID: e.UID, Start: e.Start, AllDay: e.AllDay, Group: e.Group, Booked: e.Booked, Alone: e.Alone, Since: e.Since}, e.Tasks)
	}
}

// nameOf names the tasks behind some UIDs, and lists their equipment.
func nameOf(place string, duties []care.Duty, uids []string) (summary string, equipment []string) {
	var turns []day.TurnInfo
	for _, uid := range uids {
		i := slices.IndexFunc(duties, func(d care.Duty) bool { return strings.HasPrefix(uid, place+"."+d.ID+".") })
		if i < 0 {
			continue // it is not to be done any more, or no task: routine, or something to order
		}
		turns = append(turns, day.TurnInfo{Task: duties[i].ID, Title: duties[i].Title})
		if id := duties[i].Equipment.ID; !slices.Contains(equipment, id) {
			equipment = append(equipment, id)
		}
	}
	if len(turns) == 0 {
		return "Machine care", equipment
	}
	return nameTurns(turns), equipment
}

// Content is a fingerprint of all that the entry shows.
func (e CancelledEntry) Content() string {
	return fingerprint(struct {
		Start          time.Time
		AllDay         bool
		Summary, State string
	}{e.Start.UTC(), e.AllDay, e.Summary, "cancelled"})
}
