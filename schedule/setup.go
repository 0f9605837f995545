package schedule

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"limekeep/schedule/record"
)

// Setup is a whole place as its owner describes it.
type Setup struct {
	Place     record.Place
	Equipment []record.Equipment
	Care      record.OwnCare // what the owner changes of the care catalogue
}

// Changed tells what a setup changed.
type Changed struct {
	Place   string   `json:"place"`
	Added   []string `json:"added"`
	Changed []string `json:"changed"`
	Retired []string `json:"retired"`
}

// Nothing tells whether the setup said only what was known already.
func (c Changed) Nothing() bool { return len(c.Added)+len(c.Changed)+len(c.Retired) == 0 }

// Validate checks a setup by itself.
func (s Setup) Validate() error {
	if err := s.Place.Validate(); err != nil {
		return err
	}
	if len(s.Equipment) == 0 {
		return &record.FieldError{Field: "equipment", Want: "at least one machine, grinder or water line"}
	}
	for _, e := range s.Equipment {
		if err := e.Validate(); err != nil {
			return fmt.Errorf("%s: %w", e.ID, err)
		}
	}
	if err := s.Care.Validate(); err != nil {
		return fmt.Errorf("care: %w", err)
	}
	return record.ValidateTogether(s.Equipment)
}

// SetUp makes the records say what the setup says. Equipment is known by its
// id: what is new is added, what differs from what was known on the given day
// gets a new version from that day on, what is no longer there is retired and
// keeps its history. A setup that says nothing new changes nothing.
func (j *Journal) SetUp(ctx context.Context, today record.Date, s Setup) (Changed, error) {
	if err := s.Validate(); err != nil {
		return Changed{}, err
	}
	if err := j.Days.Catalogue.CheckOwn(s.Equipment, s.Care); err != nil {
		return Changed{}, err
	}
	m := Moment{Place: s.Place.ID, Today: today}
	if today.IsZero() {
		zone, err := s.Place.Location()
		if err != nil {
			return Changed{}, err
		}
		m.Today = record.DateOf(j.Days.Now().In(zone))
	}
	first := m.Today
	for _, e := range s.Equipment {
		if err := notLater(e.ID+".bought", e.Bought, m.Today); err != nil {
			return Changed{}, err
		}
		if err := notLater(e.ID+".looked_after", e.LookedAfter, m.Today); err != nil {
			return Changed{}, err
		}
		if e.Line != nil {
			for i, t := range e.Line.Treatment {
				if err := notLater(fmt.Sprintf("%s.treatment[%d].fitted", e.ID, i), t.Fitted, m.Today); err != nil {
					return Changed{}, err
				}
			}
		}
		first = min(first, e.Bought)
	}
	book, err := j.Days.Records.Read(ctx, m.Place, EndOfTime)
	if err != nil {
		return Changed{}, err
	}
	changed := Changed{Place: s.Place.ID, Added: []string{}, Changed: []string{}, Retired: []string{}}
	var entries []record.Entry
	then := record.NewBook(m.Today, book.Entries, nil)
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
			if kindOf(v.Body) != kindOf(e) {
				return Changed{}, fmt.Errorf("%s: %w", e.ID, &record.FieldError{Field: "id", Value: e.ID,
					Want: "another id: this one has the history of a " + kindOf(v.Body)})
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
	if len(entries) == 0 {
		return changed, nil
	}
	_, err = j.Days.Records.Append(ctx, entries...)
	return changed, err
}

// same compares what two bodies say, not how they came about.
func same(a, b any) bool {
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
}

func kindOf(e record.Equipment) string {
	switch {
	case e.Machine != nil:
		return "machine"
	case e.Grinder != nil:
		return "grinder"
	case e.Tools != nil:
		return "tools"
	}
	return "water line"
}
