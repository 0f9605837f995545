package api

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/cmd/limekeep/intake/fleetfile"
	"limekeep/schedule"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// fleetColumns are what a table of places holds, in order; fleetfile says what each is.
var fleetColumns = []string{"place", "name", "zone", "address", "group", "water district", "machine", "serial", "weekday shots", "weekend shots"}

// Table lists the places of a group, or all where it is empty, with what a table holds of
// each by its column. A group that no place belongs to is an error that matches
// record.ErrUnknown.
func (f *FleetSetUp) Table(ctx context.Context, today record.Date, group string) ([]map[string]string, error) {
	places, err := f.Days.Records.Places(ctx)
	if err != nil {
		return nil, err
	}
	if len(places) == 0 {
		return nil, schedule.ErrNoPlace
	}
	rows, groups := []map[string]string{}, []string{}
	for _, place := range places {
		d, err := f.Days.Open(ctx, schedule.Moment{Place: place, Today: today})
		if err != nil {
			return nil, err
		}
		if g := d.Place.Group; g != "" && !slices.Contains(groups, g) {
			groups = append(groups, g)
		}
		if group != "" && !strings.EqualFold(group, d.Place.Group) {
			continue
		}
		rows = append(rows, fleetRow(journal.SetupOf(d)))
	}
	if len(rows) == 0 {
		return nil, &record.UnknownError{What: "group", Name: group, Known: groups}
	}
	return rows, nil
}

// fleetRow is what a table holds of a place; of its machine where it has just one.
func fleetRow(s schedule.Setup) map[string]string {
	p := s.Place
	row := map[string]string{"place": p.ID, "name": p.Name, "zone": p.Zone, "address": p.Address, "group": p.Group, "water district": p.District}
	var machines []record.Equipment
	for _, e := range s.Equipment {
		if e.Machine != nil {
			machines = append(machines, e)
		}
	}
	if len(machines) == 1 {
		m := machines[0]
		row["machine"], row["serial"] = m.Name, m.Serial
		if habit := m.Machine.Habit; habit.WeekdayShots+habit.WeekendShots > 0 {
			row["weekday shots"], row["weekend shots"] = fmt.Sprint(habit.WeekdayShots), fmt.Sprint(habit.WeekendShots)
		}
	}
	return row
}

// WriteFleetTable writes such rows as a file that Apply takes.
func WriteFleetTable(w io.Writer, rows []map[string]string) error {
	var wanted []string
	for _, c := range fleetColumns {
		if fleetfile.FieldOf(c) != "" {
			wanted = append(wanted, c)
		}
	}
	return csvfile.Write(w, wanted, func(yield func([]string) bool) {
		cells := make([]string, len(wanted))
		for _, r := range rows {
			for i, c := range wanted {
				cells[i] = r[c]
			}
			if !yield(cells) {
				return
			}
		}
	})
}
