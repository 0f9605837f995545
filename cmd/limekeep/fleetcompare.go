package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

func newFleetCompare(a *app) *cobra.Command {
	var group, order string
	var asCSV, fresh bool
	cmd := a.answers(&cobra.Command{
		Use:   "compare",
		Short: "Put places beside each other: scale, use, water, what is overdue, score",
		Long: `Puts places beside each other, those that need most looking at first: what is wrong, what a week
more of waiting costs in minutes as the planner counts it, tasks past their likely date, the scale of
the vessel that holds the most, use to come, the hardness of the newest test of the supply (d: that
of its district), and how many findings lay in their window, where so many were to.

The figures are those of the last forecast of each place, which "limekeep serve" and "limekeep
replan" work out; --fresh works out those that are older than today, which takes a while.`,
		Example: "  limekeep fleet compare\n  limekeep fleet compare --group \"Blue Cups\" --by scale --csv > scale.csv",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if !slices.Contains(day.ComparisonOrders(), order) {
				return record.NotKnown("--by", &record.UnknownError{What: "order", Name: order, Known: day.ComparisonOrders()})
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				all, waiting, err := h.standings(ctx, m, fresh)
				if err != nil {
					return err
				}
				if waiting, err = h.ofGroup(ctx, m, waiting, group); err != nil {
					return err
				}
				c := day.Compare(all, waiting, group, order)
				if len(c.Places)+len(waiting) == 0 && group != "" {
					var groups []string
					for _, s := range all {
						if s.Group != "" {
							groups = append(groups, s.Group)
						}
					}
					return &record.UnknownError{What: "group", Name: group, Known: distinct(groups)}
				}
				switch {
				case a.asJSON:
					return printJSON(cmd, c)
				case asCSV:
					return csvfile.Write(cmd.OutOrStdout(), day.ComparisonColumns, c.Rows())
				}
				printCompared(cmd.OutOrStdout(), c)
				return nil
			})
		},
	})
	flags := cmd.Flags()
	flags.StringVar(&group, "group", "", "only places of this chain or customer")
	flags.StringVar(&order, "by", day.ByHarm, "in which order: "+strings.Join(day.ComparisonOrders(), ", "))
	flags.BoolVar(&asCSV, "csv", false, "as a table for a spreadsheet")
	flags.BoolVar(&fresh, "fresh", false, "work out those places anew whose figures are not of today")
	return cmd
}

// ofGroup returns which of some places belong to a group; all where it is empty. Of a
// place that was never worked out only its records say so.
func (h *house) ofGroup(ctx context.Context, m schedule.Moment, places []string, group string) ([]string, error) {
	if group == "" {
		return places, nil
	}
	var of []string
	for _, place := range places {
		m.Place = place
		d, err := h.days.Open(ctx, m)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", place, err)
		}
		if strings.EqualFold(d.Place.Group, group) {
			of = append(of, place)
		}
	}
	return of, nil
}

// standings returns how places stood last, and the ids of those of which nothing is known.
func (h *house) standings(ctx context.Context, m schedule.Moment, fresh bool) (all []day.Standing, waiting []string, err error) {
	places, err := h.days.Records.Places(ctx)
	if err != nil {
		return nil, nil, err
	}
	if len(places) == 0 {
		return nil, nil, schedule.ErrNoPlace
	}
	today := m.Today
	if today.IsZero() {
		today = record.DateOf(time.Now())
	}
	for _, place := range places {
		s, err := day.KeptStanding(ctx, h.db, place, today+1) // where a new day has begun already
		if err != nil {
			return nil, nil, err
		}
		if fresh && (s == nil || s.Today < today) {
			m.Place = place
			if err := h.foresee(ctx, m, func(f *day.Forecast) error {
				worked := f.Standing()
				s = &worked
				return nil
			}); err != nil {
				return nil, nil, fmt.Errorf("%s: %w", place, err)
			}
		}
		if s == nil {
			waiting = append(waiting, place)
			continue
		}
		all = append(all, *s)
	}
	return all, waiting, nil
}

func printCompared(w io.Writer, c day.Comparison) {
	if len(c.Places) > 0 {
		table := inColumns(w, "PLACE\tWRONG\tA WEEK COSTS\tOVERDUE\tMOST SCALE\tSHOTS A DAY\tLITRES\tHARDNESS\tHELD\tAS OF")
		for _, s := range c.Places {
			scale, hardness, held := "", "not tested", ""
			if s.Scale != nil {
				scale = fmt.Sprintf("%.0f g (%.0f to %.0f) %s", s.Scale.Grams.Likely, s.Scale.Grams.Low, s.Scale.Grams.High, s.Scale.Name)
			}
			if s.Hardness != nil {
				hardness = fmt.Sprintf("%.0f mg/L", s.Hardness.MgPerL)
				if s.Hardness.District {
					hardness += " d"
				}
			}
			if s.Found > 0 {
				held = fmt.Sprintf("%.0f %% of %d, promised %.0f %%", 100*s.Held, s.Found, 100*s.HeldPromised)
			}
			fmt.Fprintf(table, "%s\t%d\t%.0f min\t%d\t%s\t%.0f\t%.1f\t%s\t%s\t%s\n", s.Name, s.Alarms, s.HarmMinutes, s.Past, scale, s.ShotsADay, s.LitresADay, hardness, held, s.Today)
		}
		_ = table.Flush() // to the terminal, as all that is printed
		t := c.Total
		fmt.Fprintf(w, "All %d: %.0f shots and %.0f litres a day; %s overdue, %d more within a month; a week more of waiting costs %.0f minutes.\n", len(c.Places), t.ShotsADay, t.LitresADay, say.Count(t.Past, "task"), t.Soon, t.HarmMinutes)
	}
	if n := len(c.Waiting); n > 0 {
		printWrapped(w, "", fmt.Sprintf("Not worked out yet: %s. \"limekeep serve\" and \"limekeep replan\" do so, or --fresh here and now.", listed(c.Waiting)))
	}
}
