package agenda

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/say/customary"
)

// Agenda is what goes to a calendar: a place with what is coming.
type Agenda struct {
	Place   string         // id
	Name    string         // for people
	Zone    *time.Location // of the place
	Today   record.Date
	Base    string        // address of the pages, for links back; empty where none are served
	Entries []AgendaEntry // the routine and orders first, then sitting by sitting
	Done    []DoneEntry   // what was done within a year, oldest first

	// The same once more, for calendars: an entry for each sitting, for each visit
	// and for each day of work done.
	Sittings []SittingEntry
	Visits   []VisitEntry
	Booked   []BookedEntry
	DoneDays []DoneDay
	Grouped  bool // calendars show these, and not an entry for each task

	// The routine, task by task, for task apps alone; none where a round is one entry.
	RoutineOpen []AgendaEntry
	RoutineDone []DoneEntry // the last time that each was done

	Cancelled []CancelledEntry // what went out and is neither open nor done

	Equipment []day.EquipmentInfo // what stands at the place, by id

	given  int               // the highest number that a UID of these was given
	stands stands            // the reasons told for the days of turns
	says   map[string]string // by UID, what the last publication told of windows

	telling map[string]string // by id of the equipment, what to call it where there are several of its kind
	alarms  record.Alarms     // as the owner wants them
	told    customary.Units   // in what the owner has quantities told
	guarded map[string]bool
	values  map[string]string // by task
	sent    map[string]SentAs // by task
}

// AgendaEntry is one task in the calendar.
type AgendaEntry struct {
	UID       string // equipment, task and last service: the same until it is done
	Due       day.Due
	Start     time.Time // in the place's zone; midnight of its day where AllDay
	Minutes   float64
	AllDay    bool
	Tentative bool      // the window is still wide
	EveryDays int       // it recurs every so many days; 0 for once
	Unnamed   bool      // its title says enough: it is about the only piece of a kind, or about none
	Sequence  int       // how often its content changed since it was first published
	Changed   time.Time // publication that last changed it

	Alarms []time.Duration // how long before Start reminders go off; negative for after
	Told   customary.Units // in what its quantities are told

	// What only task apps need to know.
	Order   bool        // it is no task, but something to order
	Guarded bool        // licensed or for safety: deleted, it comes back
	Values  string      // what writes its values down, quoted where it is typed, where a tick is not enough; else empty
	Routine []string    // ids of the tasks that one entry of daily routine stands for
	Next    record.Date // of what recurs, the first day on which not all of it was done
	Sent    SentAs      // of what came from an app, how it was sent
}

// SentAs is how an app sent a to-do that became a task: it keeps its identity
// until it is done for the first time.
type SentAs struct {
	UID  string // empty for what is ours
	Name string // last part of its address
}

// tentativeDays is how wide a window may be, from early to late, before its
// entry is only tentative and for the whole day.
const tentativeDays = 60

// Of returns what goes to the calendar of a place; with routine, or where the place
// wants it so, each round of the routine as one entry that recurs. What the last publication did not hold yet
// stands with the start of today.
func Of(f *day.Forecast, routine bool) Agenda {
	d, zone := f.Day, f.Day.Zone
	routine = routine || d.Place.RoutineWish().InCalendar
	a := Agenda{Place: d.Place.ID, Name: cmp.Or(d.Place.Name, d.Place.ID), Zone: zone, Today: d.Today, alarms: d.Place.Reminders(), Grouped: !d.Place.SingleEntries, told: customary.For(d.Place)}
	for _, e := range d.Book.Equipment() {
		a.Equipment = append(a.Equipment, day.EquipmentInfo{Equipment: e.ID, Name: e.Title()})
	}
	published := publishedEntries(f.Day.Book)
	dues := map[string]day.Due{}
	a.tell(d)
	for _, due := range f.Due() {
		dues[due.Task] = due
		if due.OnItsDay && due.Likely != nil && due.Visit == nil { // a visit has an entry of its own
			a.add(AgendaEntry{UID: uid(a.Place, due), Due: due, Start: max(*due.Likely, a.Today).In(zone), Minutes: due.Minutes, AllDay: true}, published)
		}
	}
	for _, round := range f.Rounds() {
		switch {
		case !routine:
			a.addRoutineTasks(round, dues, published)
		case len(round.Tasks) > 0:
			a.addRoutine(round, dues, published)
		}
	}
	for _, order := range f.Orders() {
		a.addOrder(order, dues[order.Task], published)
	}
	for _, s := range f.Sittings() {
		a.addSitting(s, dues, published)
	}
	for _, visit := range f.Appointments() {
		a.addVisit(visit, dues, published)
	}
	a.addBooked(f, dues, published)
	a.addDone(f, routine, published)
	a.stands, a.says = standsOf(d.Book), map[string]string{}
	for uid, was := range published {
		a.says[uid] = was.Says
	}
	a.addGroups(f, published)
	a.addCancelled(d, published)
	return a
}

// tell notes what task apps need to know of the tasks of a day.
func (a *Agenda) tell(d *day.Day) {
	a.guarded, a.values, a.sent, a.telling = map[string]bool{}, map[string]string{}, map[string]SentAs{}, map[string]string{}
	for _, e := range a.Equipment {
		a.telling[e.Equipment] = d.TellingName(e.Equipment)
	}
	for _, duty := range d.Duties {
		a.guarded[duty.ID] = duty.Task.Safety || duty.Task.Who.Booked()
		if day.NeedsValues(duty) {
			a.values[duty.ID] = d.Quote(day.ToDo(duty))
		}
	}
	for _, t := range d.Book.AppTasks() {
		a.sent[t.Body.TaskID()] = SentAs{UID: t.Body.UID, Name: t.Body.Name}
	}
}

// publishedEntries gives the entries of the last publication by UID, those that
// were done among them.
func publishedEntries(book *record.Book) map[string]record.PublishedSitting {
	published := map[string]record.PublishedSitting{}
	last, _ := book.LastPublication()
	for _, e := range last.Entries {
		published[e.UID] = e
	}
	for _, e := range last.Routine {
		published[e.UID] = e
	}
	for _, e := range last.Groups {
		published[e.UID] = record.PublishedSitting{UID: e.UID, Start: e.Start, Content: e.Content, Sequence: e.Sequence, Changed: e.Changed}
	}
	for _, e := range last.Cancelled {
		published[e.UID] = record.PublishedSitting{UID: e.UID, Start: e.Start, Content: e.Content, Sequence: e.Sequence, Changed: e.Changed}
	}
	for _, e := range last.Done {
		published[e.UID] = record.PublishedSitting{UID: e.UID, Content: e.Content, Sequence: e.Sequence, Changed: e.Changed}
	}
	return published
}

// addSitting adds the tasks of a sitting, each when its timetable begins it. Only
// the next turn of a task has an entry: that is what its UID stands for.
func (a *Agenda) addSitting(s plan.Sitting, dues map[string]day.Due, published map[string]record.PublishedSitting) {
	for _, turn := range s.Turns {
		start := s.Begins(turn.Task)
		due := dues[turn.Task]
		if turn.Number == 1 {
			id := uid(a.Place, due)
			vague := wide(due) && !due.Overdue && !turn.Pinned
			if was, ok := published[id]; ok && sameWindow(due, was, a.Today) {
				vague = was.Vague && !turn.Pinned
				due = due.WithWindowSentence(was.Says)
			}
			e := AgendaEntry{UID: id, Due: due, Start: start, Minutes: due.Minutes, Tentative: vague}
			if vague {
				e.Start, e.AllDay = s.Date().In(a.Zone), true
			}
			a.add(e, published)
		}
	}
}

// addVisit adds the tasks of a visit on the day to call somebody by. What should
// have been called for already stands on the day it was last said.
func (a *Agenda) addVisit(visit plan.Appointment, dues map[string]day.Due, published map[string]record.PublishedSitting) {
	for _, turn := range visit.Turns {
		if turn.Number != 1 {
			continue
		}
		due := dues[turn.Task]
		e := AgendaEntry{UID: uid(a.Place, due), Due: due, Start: max(visit.CallBy, a.Today).In(a.Zone), Minutes: due.Minutes, AllDay: true}
		if was, ok := published[e.UID]; ok {
			if sameWindow(due, was, a.Today) {
				e.Due = due.WithWindowSentence(was.Says)
			}
			if visit.CallBy <= a.Today {
				e.Start = a.calledOn(record.DateOf(was.Start)).In(a.Zone)
			}
		}
		a.add(e, published)
	}
}

// callAgain is after how many days a call that nobody made is said anew (assumption).
const callAgain = 28

// calledOn gives the day of a call that should have been made already and was published for a
// day: it stays there, so that it does not move every day, but not for ever, since nobody
// looks for it weeks ago.
func (a *Agenda) calledOn(was record.Date) record.Date {
	if was < a.Today && was > a.Today-callAgain {
		return was
	}
	return a.Today
}

// addRoutine adds one entry for a round of the routine. It starts on the day it
// was first published, so that it stays the same.
func (a *Agenda) addRoutine(round plan.Routine, dues map[string]day.Due, published map[string]record.PublishedSitting) {
	e := AgendaEntry{
		UID:       fmt.Sprintf("%s.routine@limekeep", a.Place),
		Due:       day.Due{Task: round.Tasks[0], Name: a.Name, Title: "Daily routine"},
		Start:     round.From.In(a.Zone),
		AllDay:    true,
		EveryDays: round.EveryDays,
	}
	if round.EveryDays > 1 {
		e.UID = fmt.Sprintf("%s.routine.%d@limekeep", a.Place, round.EveryDays)
		e.Due.Title = fmt.Sprintf("Routine of every %d days", round.EveryDays)
	}
	if was, ok := published[e.UID]; ok {
		on := record.DateOf(was.Start)
		if round.Wished && on.Weekday() != round.From.Weekday() {
			on = round.From // the owner wants it on another day
		}
		e.Start = on.In(a.Zone)
	}
	first, every := record.DateOf(e.Start), record.Date(round.EveryDays)
	after := func(day record.Date) record.Date { // the next day of the round after a day
		if day < first {
			return first
		}
		return first + ((day-first)/every+1)*every
	}
	e.Next = after(max(a.Today, first-1))
	var titles []string
	for _, task := range round.Tasks {
		due := dues[task]
		titles = append(titles, say.OfTask(due.Title, a.telling[due.Equipment]))
		e.Routine = append(e.Routine, due.Task)
		next := first
		if due.LastService != nil && *due.LastService >= first {
			next = after(*due.LastService)
		}
		e.Next = min(e.Next, next)
		e.Minutes += due.Minutes
		e.Due.Minutes = e.Minutes
		e.Due.Cautions = day.Merge(e.Due.Cautions, due.Cautions)
		e.Due.MakeSafe = day.Merge(e.Due.MakeSafe, due.MakeSafe)
	}
	e.Due.Why = []string{"It comes round too often for sittings: " + strings.Join(titles, "; ") + "."}
	a.add(e, published)
}

// addOrder adds a reminder to order. What should have been ordered already
// stands on the day it was first said.
func (a *Agenda) addOrder(o day.OrderInfo, due day.Due, published map[string]record.PublishedSitting) {
	e := AgendaEntry{
		UID:    fmt.Sprintf("%s.order.%s.%d@limekeep", a.Place, slug(o.Item), o.Record),
		Due:    day.Due{Task: due.Task, Equipment: due.Equipment, Name: a.Name, Title: "Order: " + o.Item, Why: []string{o.Says}},
		Start:  max(o.By, a.Today).In(a.Zone),
		AllDay: true,
		Order:  true,
	}
	if was, ok := published[e.UID]; ok && record.DateOf(was.Start) < a.Today && o.By <= a.Today {
		e.Start = record.DateOf(was.Start).In(a.Zone)
	}
	a.add(e, published)
}

// wide tells whether a task's window says little about its day.
func wide(d day.Due) bool {
	return d.Early == nil || d.Late == nil || *d.Late-*d.Early > tentativeDays
}

// By how much a window may move before an entry says so: a share of its width, a
// share of the time until then, and a few days count as nothing. Less would
// change every entry every day, and nobody would plan otherwise.
const (
	windowMoves    = 0.1
	windowNears    = 0.05
	windowMoveDays = 3
)

// sameWindow tells whether a window is still much the same as it was said to be.
func sameWindow(d day.Due, was record.PublishedSitting, today record.Date) bool {
	if was.Says == "" || (d.Early == nil) != was.Early.IsZero() || (d.Likely == nil) != was.Likely.IsZero() || (d.Late == nil) != was.Late.IsZero() {
		return false
	}
	slack := float64(windowMoveDays)
	if d.Likely != nil {
		slack = max(slack, windowNears*float64(*d.Likely-today))
	}
	if d.Early != nil && d.Late != nil {
		slack = max(slack, windowMoves*float64(*d.Late-*d.Early))
	}
	near := func(a *record.Date, b record.Date) bool {
		return a == nil || math.Abs(float64(*a-b)) <= slack
	}
	return near(d.Early, was.Early) && near(d.Likely, was.Likely) && near(d.Late, was.Late)
}

func (a *Agenda) add(e AgendaEntry, published map[string]record.PublishedSitting) {
	e.Alarms = a.alarms.TimedBefore()
	if e.AllDay {
		e.Alarms = a.alarms.AllDayBefore()
	}
	if !e.Order && e.EveryDays == 0 {
		e.Guarded, e.Values = a.guarded[e.Due.Task], a.values[e.Due.Task]
		if e.Due.Served == 0 {
			e.Sent = a.sent[e.Due.Task]
		}
	}
	e.Unnamed, e.Told = a.unnamed(e), a.told
	e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
	a.Entries = append(a.Entries, e)
}

// unnamed reports whether an entry shows no name beside its title.
func (a *Agenda) unnamed(e AgendaEntry) bool {
	return e.Order || e.EveryDays > 0 || a.telling[e.Due.Equipment] == ""
}

// stamp gives the sequence and the time of the last change of an entry: what was
// published with the same content keeps them.
func (a *Agenda) stamp(uid, content string, published map[string]record.PublishedSitting) (int, time.Time) {
	was, ok := published[uid]
	switch {
	case !ok:
		return 0, a.Today.In(a.Zone)
	case was.Content != content:
		return was.Sequence + 1, a.Today.In(a.Zone)
	}
	return was.Sequence, was.Changed
}

// Content is a fingerprint of all that the entry shows.
func (e AgendaEntry) Content() string {
	return fingerprint(struct {
		Start             time.Time
		Minutes           float64
		AllDay, Tentative bool
		Title, Name       string
		Cautions, Safe    []string
		Says              string
		EveryDays         int
		Unnamed           bool
		Alarms            []time.Duration
		Told              string `json:",omitempty"`
	}{e.Start, e.Minutes, e.AllDay, e.Tentative, e.Due.Title, e.Due.Name, e.Due.Cautions, e.Due.MakeSafe, e.Due.WindowSentence(), e.EveryDays, e.Unnamed, e.Alarms, e.Told.String()})
}

// fingerprint sums up what is shown.
func fingerprint(shown any) string {
	text, err := json.Marshal(shown)
	if err != nil {
		panic("an entry is plain data: " + err.Error()) // cannot happen: no channels, functions or cycles
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// Of gives the part of an agenda that is about one piece of equipment; false
// where the place has none of that id.
func (a Agenda) Of(equipment string) (Agenda, bool) {
	i := slices.IndexFunc(a.Equipment, func(e day.EquipmentInfo) bool { return e.Equipment == equipment })
	if i < 0 {
		return Agenda{}, false
	}
	part := a
	part.Name = a.Equipment[i].Name
	part.Entries = slices.DeleteFunc(slices.Clone(a.Entries), func(e AgendaEntry) bool { return e.Due.Equipment != equipment })
	part.Sittings = slices.DeleteFunc(slices.Clone(a.Sittings), func(e SittingEntry) bool {
		return !slices.ContainsFunc(e.Tasks, func(t EntryTask) bool { return t.Equipment == equipment })
	})
	part.Visits = slices.DeleteFunc(slices.Clone(a.Visits), func(e VisitEntry) bool { return e.Visit.Equipment != equipment })
	part.Booked = slices.DeleteFunc(slices.Clone(a.Booked), func(e BookedEntry) bool {
		return !slices.ContainsFunc(e.Tasks, func(t EntryTask) bool { return t.Equipment == equipment })
	})
	part.DoneDays = slices.DeleteFunc(slices.Clone(a.DoneDays), func(d DoneDay) bool {
		return !slices.ContainsFunc(d.Done, func(e DoneEntry) bool { return e.Equipment == equipment })
	})
	part.Cancelled = slices.DeleteFunc(slices.Clone(a.Cancelled), func(e CancelledEntry) bool { return !slices.Contains(e.equipment, equipment) })
	part.RoutineOpen, part.RoutineDone = nil, nil // task apps have the whole place
	part.Done = slices.DeleteFunc(slices.Clone(a.Done), func(e DoneEntry) bool { return e.Equipment != equipment })
	return part, true
}
