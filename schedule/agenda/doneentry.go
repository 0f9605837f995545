package agenda

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// DoneEntry is a task that was done, as a calendar shows it. It keeps the UID
// that the task had while it was open.
type DoneEntry struct {
	UID       string
	Task      string
	Equipment string // id
	Name      string // of the equipment, for people
	Unnamed   bool   // its title says enough: the place has no other of its kind
	Title     string
	On        record.Date // the day it was done
	Record    int64       // what says so
	Entered   time.Time   // when that was written down
	Source    string      // the door it came in by
	Says      string      // what was found
	Sequence  int         // how often its content changed since it was first published
	Changed   time.Time   // publication that last changed it
	Sent      SentAs      // of what came from an app, how it was sent
}

// addDone adds what was done, as far back as the owner wants it. What belongs to the daily routine is
// left out, as it is of what is to come; but task apps are told of the last time that
// each of its tasks was done, where they have an entry for each.
func (a *Agenda) addDone(f *day.Forecast, rounds bool, published map[string]record.PublishedSitting) {
	daily := map[string]bool{}
	for _, task := range f.Routine() {
		daily[task] = true
	}
	entries := map[int64]record.Entry{}
	for _, e := range f.Day.Book.Entries {
		entries[e.ID] = e
	}
	for _, duty := range f.Day.Duties {
		if daily[duty.ID] && rounds {
			continue
		}
		before := int64(0)
		var last *DoneEntry
		for _, s := range day.ServicesOf(f.Day.Book, duty) {
			entry := entries[s.ID]
			if other, ok := entry.Body.(record.Service); ok && other.Task != duty.ID {
				before = s.ID
				continue // it shows as what covers this
			}
			if s.On > a.Today-record.Date(f.Day.Place.DaysDone()) {
				done := NewDoneEntry(f.Day, duty, before, entry)
				if before == 0 {
					done.Sent = a.sent[duty.ID]
				}
				last = &done
				if !daily[duty.ID] {
					a.Done = append(a.Done, done)
				}
			}
			before = s.ID
		}
		if daily[duty.ID] && last != nil {
			a.RoutineDone = append(a.RoutineDone, *last)
		}
	}
	slices.SortFunc(a.Done, func(x, y DoneEntry) int {
		return cmp.Or(cmp.Compare(x.On, y.On), cmp.Compare(x.Record, y.Record), strings.Compare(x.UID, y.UID))
	})
	for i := range a.Done {
		e := &a.Done[i]
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
	}
	for i := range a.RoutineDone {
		e := &a.RoutineDone[i]
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
	}
}

// NewDoneEntry makes the entry of a service whose predecessor is a record.
func NewDoneEntry(d *day.Day, duty care.Duty, before int64, entry record.Entry) DoneEntry {
	return DoneEntry{
		UID:  entryUID(d.Place.ID, duty.ID, before),
		Task: duty.ID, Equipment: duty.Equipment.ID, Name: duty.Equipment.Title(), Unnamed: d.TellingName(duty.Equipment.ID) == "", Title: duty.Title,
		On: entry.Effective, Record: entry.ID, Entered: entry.Entered, Source: entry.Source, Says: say.Found(entry.Body),
	}
}

// Content is a fingerprint of all that the entry shows.
func (e DoneEntry) Content() string {
	return fingerprint(struct {
		On                  record.Date
		Record              int64
		Title, Name         string
		Says, Source, State string
		Unnamed             bool
	}{e.On, e.Record, e.Title, e.Name, e.Says, e.Source, "done", e.Unnamed})
}
