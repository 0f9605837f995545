package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/cmd/limekeep/intake/fleetfile"
	"limekeep/schedule"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newFleetList(a *app) *cobra.Command {
	group, asCSV := "", false
	cmd := a.answers(&cobra.Command{
		Use:   "list",
		Short: "List the places, by group; as a table that \"fleet setup\" takes",
		Long: `Lists the places. With --csv it is a table for a spreadsheet: change cells of it and give it to
"limekeep fleet setup". A cell that begins like a formula has an apostrophe before it.`,
		Example: "  limekeep fleet list --group \"Blue Cups\"\n  limekeep fleet list --csv > places.csv",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				rows, err := h.fleetRows(ctx, m, group)
				switch {
				case err != nil:
					return err
				case a.asJSON:
					return printJSON(cmd, rows)
				case asCSV:
					return writeFleetCSV(cmd.OutOrStdout(), rows)
				}
				table := inColumns(cmd.OutOrStdout(), "PLACE\tNAME\tGROUP\tADDRESS\tWATER\tMACHINE\tSHOTS A DAY")
				for _, r := range rows {
					fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", r["place"], r["name"], r["group"], r["address"], r["water district"], r["machine"], r["weekday shots"])
				}
				return table.Flush()
			})
		},
	})
	cmd.Flags().StringVar(&group, "group", "", "only places of this chain or customer")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "as a table for a spreadsheet")
	return cmd
}

// fleetColumns are what a table of places holds, in order; fleetfile says what each is.
var fleetColumns = []string{"place", "name", "zone", "address", "group", "water district", "machine", "serial", "weekday shots", "weekend shots"}

// fleetRows lists the places of a group, or all, with what a table holds of each.
func (h *house) fleetRows(ctx context.Context, m schedule.Moment, group string) ([]map[string]string, error) {
	places, err := h.days.Records.Places(ctx)
	if err != nil {
		return nil, err
	}
	if len(places) == 0 {
		return nil, schedule.ErrNoPlace
	}
	rows, groups := []map[string]string{}, []string{}
	for _, place := range places {
		m.Place = place
		d, err := h.days.Open(ctx, m)
		if err != nil {
			return nil, err
		}
		if g := d.Place.Group; g != "" {
			groups = append(groups, g)
		}
		if group != "" && !strings.EqualFold(group, d.Place.Group) {
			continue
		}
		rows = append(rows, fleetRow(journal.SetupOf(d)))
	}
	if len(rows) == 0 {
		return nil, &record.UnknownError{What: "group", Name: group, Known: distinct(groups)}
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

func writeFleetCSV(w io.Writer, rows []map[string]string) error {
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

// distinct returns words once each, in their order.
func distinct(words []string) []string {
	var once []string
	seen := map[string]bool{}
	for _, w := range words {
		if !seen[w] {
			seen[w] = true
			once = append(once, w)
		}
	}
	return once
}
