package record

import (
	"cmp"
	"slices"
	"strings"
)

// Book is all that is known of one place on a day: the records effective on or
// before it that nothing has voided, and the use of each day up to it.
type Book struct {
	Until   Date
	Entries []Entry  // by effective day, then by id
	Days    []UseDay // by machine, then by day, then by record

	byKind    map[Kind][]Entry            // in the book's order
	services  map[string][]Dated[Service] // by task, in the book's order
	equipment []Equipment                 // that stands there on the book's day, by id
}

// Dated is a record's body with what its entry says.
type Dated[B Body] struct {
	ID   int64
	On   Date
	Body B
}

// Addition is what was written down of one place after a certain record.
type Addition struct {
	Entries []Entry  // by id, those that void others among them
	Days    []UseDay // that these brought
}

// NewBook puts entries and days in order. Entries that are voided, or effective
// after until, are left out, so that a caller may hand over all it has.
func NewBook(until Date, entries []Entry, days []UseDay) *Book {
	voided := map[int64]bool{}
	for _, e := range entries {
		if v, ok := e.Body.(Void); ok {
			voided[v.Record] = true
		}
	}
	kept := make([]Entry, 0, len(entries))
	for _, e := range entries {
		if e.Effective <= until && e.Voided == 0 && !voided[e.ID] {
			kept = append(kept, e)
		}
	}
	slices.SortStableFunc(kept, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.Effective, b.Effective), cmp.Compare(a.ID, b.ID))
	})
	sorted := make([]UseDay, 0, len(days))
	for _, d := range days {
		if d.Date <= until && !voided[d.Record] {
			sorted = append(sorted, d)
		}
	}
	slices.SortStableFunc(sorted, func(a, b UseDay) int {
		return cmp.Or(strings.Compare(a.Machine, b.Machine), cmp.Compare(a.Date, b.Date), cmp.Compare(a.Record, b.Record))
	})
	count := map[Kind]int{}
	for _, e := range kept {
		count[e.Kind()]++
	}
	byKind := make(map[Kind][]Entry, len(count))
	for kind, n := range count {
		byKind[kind] = make([]Entry, 0, n)
	}
	for _, e := range kept {
		byKind[e.Kind()] = append(byKind[e.Kind()], e)
	}
	services := map[string][]Dated[Service]{}
	for _, e := range byKind[KindService] {
		if s, ok := e.Body.(Service); ok {
			services[s.Task] = append(services[s.Task], Dated[Service]{ID: e.ID, On: e.Effective, Body: s})
		}
	}
	return &Book{Until: until, Entries: kept, Days: sorted, byKind: byKind, services: services, equipment: standing(kept)}
}

// With returns the book once something was added: what is voided by it is gone, and of
// publications, which are never taken back, just the last is there.
func (b *Book) With(added Addition) *Book {
	last := int64(0)
	for _, list := range [][]Entry{b.byKind[KindPublication], added.Entries} {
		for _, e := range list {
			if e.Kind() == KindPublication && e.Effective <= b.Until {
				last = max(last, e.ID)
			}
		}
	}
	entries := slices.Concat(b.Entries, added.Entries)
	entries = slices.DeleteFunc(entries, func(e Entry) bool { return e.Kind() == KindPublication && e.ID != last })
	return NewBook(b.Until, entries, slices.Concat(b.Days, added.Days))
}

// By returns the book of an earlier day. Where a later publication hides the one that was
// the last by then, false: that is known to the records alone.
func (b *Book) By(until Date) (*Book, bool) {
	if p, ok := b.LastPublished(); ok && p.On > until {
		return nil, false
	}
	if b.nothingAfter(until) {
		same := *b // whose slices nobody changes
		same.Until = until
		return &same, true
	}
	return NewBook(until, b.Entries, b.Days), true
}

// nothingAfter reports whether all there is was effective by a day.
func (b *Book) nothingAfter(until Date) bool {
	return (len(b.Entries) == 0 || b.Entries[len(b.Entries)-1].Effective <= until) &&
		!slices.ContainsFunc(b.Days, func(d UseDay) bool { return d.Date > until })
}

// Last returns the number of the record that was written down last; 0 where the book is
// empty.
func (b *Book) Last() int64 {
	last := int64(0)
	for _, e := range b.Entries {
		last = max(last, e.ID)
	}
	return last
}

// standing lists the equipment that entries leave at the place, by id.
func standing(entries []Entry) []Equipment {
	current := map[string]Equipment{}
	for _, e := range entries {
		switch body := e.Body.(type) {
		case Equipment:
			current[body.ID] = body
		case Retired:
			delete(current, body.Equipment)
		}
	}
	list := make([]Equipment, 0, len(current))
	for _, e := range current {
		list = append(list, e)
	}
	slices.SortFunc(list, func(a, b Equipment) int { return strings.Compare(a.ID, b.ID) })
	return list
}

// all returns the bodies of one kind that pass a test, in the book's order.
func all[B Body](b *Book, keep func(B) bool) []Dated[B] {
	var found []Dated[B]
	var kind B
	for _, e := range b.byKind[kind.kind()] {
		if body, ok := e.Body.(B); ok && keep(body) {
			found = append(found, Dated[B]{ID: e.ID, On: e.Effective, Body: body})
		}
	}
	return found
}

// Place returns the place as it stands on the book's day; false where none was
// set up yet.
func (b *Book) Place() (Place, bool) {
	versions := all(b, func(Place) bool { return true })
	if len(versions) == 0 {
		return Place{}, false
	}
	return versions[len(versions)-1].Body, true
}

// Equipment returns what stands at the place on the book's day, by id. It
// is shared by all who ask: to change it, copy it.
func (b *Book) Equipment() []Equipment { return slices.Clip(b.equipment) }

// Find returns the piece of equipment with an id.
func (b *Book) Find(id string) (Equipment, error) {
	var ids []string
	for _, e := range b.Equipment() {
		if e.ID == id {
			return e, nil
		}
		ids = append(ids, e.ID)
	}
	return Equipment{}, &UnknownError{What: "equipment", Name: id, Known: ids}
}

// Versions returns all that was ever said of a piece of equipment, oldest first.
func (b *Book) Versions(id string) []Dated[Equipment] {
	return all(b, func(e Equipment) bool { return e.ID == id })
}

// WaterTests returns the tests of a line, oldest first, those of its district among them:
// these have the line as well, and their district.
func (b *Book) WaterTests(line string) []Dated[WaterTest] {
	district := ""
	if p, ok := b.Place(); ok {
		district = p.District
	}
	tests := all(b, func(t WaterTest) bool { return t.Line == line || t.District != "" && t.District == district })
	for i := range tests {
		tests[i].Body.Line = line
	}
	return tests
}

// Services returns the services of a task, oldest first. They are shared by all who ask: to
// change them, copy them.
func (b *Book) Services(task string) []Dated[Service] { return slices.Clip(b.services[task]) }

// OwnCare returns what the owner changes of the care catalogue on the book's day;
// nothing where no place file ever said so. Its day is the day it was said.
func (b *Book) OwnCare() Dated[OwnCare] {
	versions := all(b, func(OwnCare) bool { return true })
	if len(versions) == 0 {
		return Dated[OwnCare]{}
	}
	return versions[len(versions)-1]
}

// Checks returns the condition checks of a piece of equipment, oldest first.
func (b *Book) Checks(equipment string) []Dated[Measurement] {
	return all(b, func(m Measurement) bool { return m.Equipment == equipment })
}

// UseBatches returns the batches of use of a machine.
func (b *Book) UseBatches(machine string) []Dated[UseBatch] {
	return all(b, func(u UseBatch) bool { return u.Machine == machine })
}

// Aways returns the periods away that were written down for a machine or for the
// whole place.
func (b *Book) Aways(machine string) []Dated[Away] {
	return all(b, func(a Away) bool { return a.Machine == "" || a.Machine == machine })
}

// Guests returns the guests that were written down for a machine or for the whole
// place.
func (b *Book) Guests(machine string) []Dated[Guests] {
	return all(b, func(g Guests) bool { return g.Machine == "" || g.Machine == machine })
}

// MeterReadings returns the readings of a line's meter, oldest first.
func (b *Book) MeterReadings(line string) []Dated[MeterReading] {
	return all(b, func(r MeterReading) bool { return r.Line == line })
}

// Bags returns the bags of coffee that a grinder finished, oldest first.
func (b *Book) Bags(grinder string) []Dated[Bag] {
	return all(b, func(x Bag) bool { return x.Grinder == grinder })
}

// DaysOf returns what was written down with a row of a machine's days, oldest
// first; a day of which several batches speak is there once for each.
func (b *Book) DaysOf(machine string) []UseDay {
	from, _ := slices.BinarySearchFunc(b.Days, machine, func(d UseDay, m string) int { return strings.Compare(d.Machine, m) })
	to := from
	for to < len(b.Days) && b.Days[to].Machine == machine {
		to++
	}
	return b.Days[from:to]
}

// LastPublication returns the plan that was published last; false where none was.
func (b *Book) LastPublication() (Publication, bool) {
	last, found := b.LastPublished()
	return last.Body, found
}

// LastPublished returns the record of the plan that was published last; false where
// none was.
func (b *Book) LastPublished() (Dated[Publication], bool) {
	var last Dated[Publication]
	found := false
	for _, p := range all(b, func(Publication) bool { return true }) {
		if !found || !p.Body.At.Before(last.Body.At) {
			last, found = p, true
		}
	}
	return last, found
}
