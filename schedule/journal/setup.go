package journal

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// Changed tells what a setup changed.
type Changed struct {
	Place   string   `json:"place"`
	Added   []string `json:"added"`
	Changed []string `json:"changed"`
	Retired []string `json:"retired"`

	Records []int64 `json:"-"` // numbers of the records that say so
}

// Nothing tells whether the setup said only what was known already.
func (c Changed) Nothing() bool { return len(c.Added)+len(c.Changed)+len(c.Retired) == 0 }

// SetUp makes the records say what the setup says. Equipment is known by its
// id: what is new is added, what differs from what was known on the given day
// gets a new version from that day on, what is no longer there is retired and
// keeps its history. A setup that says nothing new changes nothing.
func (j *Journal) SetUp(ctx context.Context, today record.Date, s schedule.Setup) (Changed, error) {
	all, err := j.SetUpAll(ctx, today, []schedule.Setup{s}, false)
	if err != nil {
		return Changed{}, err
	}
	return all[0], nil
}

// SetUpAll is SetUp of several places: all of them or none. A preview tells what would
// change, and changes nothing. today is that of each place where zero.
func (j *Journal) SetUpAll(ctx context.Context, today record.Date, setups []schedule.Setup, preview bool) ([]Changed, error) {
	all, counts := make([]Changed, len(setups)), make([]int, len(setups))
	var entries []record.Entry
	for i, s := range setups {
		changed, needed, err := j.setUp(ctx, today, s)
		if err != nil {
			return nil, err
		}
		all[i], counts[i] = changed, len(needed)
		entries = append(entries, needed...)
	}
	if preview || len(entries) == 0 {
		return all, nil
	}
	ids, err := j.Days.Records.Append(ctx, entries...)
	if err != nil {
		return nil, err
	}
	for i := range all {
		all[i].Records, ids = ids[:counts[i]:counts[i]], ids[counts[i]:]
	}
	return all, nil
}

// setUp returns what a setup changes, and the records that would say so.
func (j *Journal) setUp(ctx context.Context, today record.Date, s schedule.Setup) (Changed, []record.Entry, error) {
	m := schedule.Moment{Place: s.Place.ID, Today: today}
	if today.IsZero() {
		zone, err := s.Place.Location()
		if err != nil {
			return Changed{}, nil, err
		}
		m.Today = record.DateOf(j.Days.Now().In(zone))
	}
	if err := CheckSetUp(j.Days.Catalogue, m.Today, s); err != nil {
		return Changed{}, nil, err
	}
	first := m.Today
	book, err := j.Days.Records.Read(ctx, m.Place, schedule.EndOfTime)
	if err != nil {
		return Changed{}, nil, err
	}
	changed := Changed{Place: s.Place.ID, Added: []string{}, Changed: []string{}, Retired: []string{}}
	var entries []record.Entry
	then := record.NewBook(m.Today, book.Entries, nil)
	s.Equipment = completed(s.Equipment, then, m.Today)
	for _, e := range s.Equipment {
		first = min(first, e.Bought)
	}
	if known, ok := then.Place(); !ok {
		entries = append(entries, j.entry(m.Place, first, s.Place))
		changed.Added = append(changed.Added, s.Place.ID)
	} else if !same(known, s.Place) {
		entries = append(entries, j.entry(m.Place, m.Today, s.Place))
		changed.Changed = append(changed.Changed, s.Place.ID)
	}
	current := then.Equipment()
	for _, e := range s.Equipment {
		versions := book.Versions(e.ID)
		for _, v := range versions {
			if say.EquipmentKind(v.Body) != say.EquipmentKind(e) {
				return Changed{}, nil, fmt.Errorf("%s: %w", e.ID, &record.FieldError{Field: "id", Value: e.ID,
					Want: "another id: this one has the history of a " + say.EquipmentKind(v.Body)})
			}
		}
		i := slices.IndexFunc(current, func(c record.Equipment) bool { return c.ID == e.ID })
		switch {
		case i < 0 && len(versions) == 0:
			entries = append(entries, j.entry(m.Place, e.Bought, e))
			changed.Added = append(changed.Added, e.ID)
		case i < 0: // it comes back
			entries = append(entries, j.entry(m.Place, m.Today, e))
			changed.Added = append(changed.Added, e.ID)
		case !same(current[i], e):
			entries = append(entries, j.entry(m.Place, m.Today, e))
			changed.Changed = append(changed.Changed, e.ID)
		}
	}
	for _, c := range current {
		if !slices.ContainsFunc(s.Equipment, func(e record.Equipment) bool { return e.ID == c.ID }) {
			entries = append(entries, j.entry(m.Place, m.Today, record.Retired{Equipment: c.ID}))
			changed.Retired = append(changed.Retired, c.ID)
		}
	}
	if !same(then.OwnCare().Body, s.Care) {
		entries = append(entries, j.entry(m.Place, m.Today, s.Care))
		changed.Changed = append(changed.Changed, "care")
	}
	return changed, entries, nil
}

// completed fills in what a place file leaves out of equipment. A line that does
// not say since when it is there is as old as the oldest machine on it.
func completed(equipment []record.Equipment, then *record.Book, today record.Date) []record.Equipment {
	all := slices.Clone(equipment)
	for i, e := range all {
		known, err := then.Find(e.ID)
		all[i] = e.Completed(known, err == nil, today)
	}
	for i, e := range all {
		if e.Line == nil || !equipment[i].Bought.IsZero() {
			continue
		}
		if _, err := then.Find(e.ID); err == nil {
			continue
		}
		for _, m := range all {
			if m.Machine != nil && m.Machine.Line == e.ID {
				all[i].Bought = min(all[i].Bought, m.Bought)
			}
		}
	}
	return all
}

// CheckSetUp checks a setup against the catalogue and the day on which it is told,
// and returns all that is wrong with it.
func CheckSetUp(c *care.Catalogue, today record.Date, s schedule.Setup) error {
	wrong := []error{s.Validate()}
	for _, e := range s.Equipment {
		wrong = append(wrong, day.NotLater(e.ID+".bought", e.Bought, today), day.NotLater(e.ID+".looked_after", e.LookedAfter, today))
		wrong = append(wrong, day.NotLater(e.ID+".records_from", e.RecordsFrom, today))
		for i, p := range e.Past {
			wrong = append(wrong, day.NotLater(fmt.Sprintf("%s.past[%d].on", e.ID, i), p.On, today))
		}
		if e.Line != nil {
			for i, t := range e.Line.Treatment {
				wrong = append(wrong, day.NotLater(fmt.Sprintf("%s.treatment[%d].fitted", e.ID, i), t.Fitted, today))
			}
		}
	}
	return record.AllOf(append(wrong, c.CheckOwn(s.Equipment, s.Care), c.CheckPasts(s.Equipment))...)
}

// same compares what two bodies say, not how they came about.
func same(a, b any) bool {
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
}
