package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

func newVan(a *app) *cobra.Command {
	cmd := a.answers(&cobra.Command{
		Use:   "van",
		Short: "What is in the van",
		Long: `Lists what was counted in the van: by the last count, what came since, and what services used up
at places that do not count it themselves. "limekeep round" says what to load and to order.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				items, used, err := h.itemsEverywhere(ctx, m)
				if err != nil {
					return err
				}
				book, err := h.days.Records.Read(ctx, round.VanPlace, schedule.EndOfTime)
				if err != nil {
					return err
				}
				return printRows(cmd, a, round.VanOf(book, items, used).Items, "", "THERE\tDAYS TO COME\tITEM", func(x round.VanItem) string {
					there := "not counted"
					if x.Counted {
						there = fmt.Sprint(x.Count)
					}
					return fmt.Sprintf("%s\t%g\t%s", there, x.LeadDays, x.Item)
				})
			})
		},
	})
	cmd.AddCommand(
		newVanSet(a, "set ITEM COUNT", "Write down how many there are in the van", func(s *record.Stock, x float64) { s.Count = &x }),
		newVanSet(a, "came ITEM COUNT", "Write down what was put into the van", func(s *record.Stock, x float64) { s.Came = x }),
		newVanSet(a, "lead ITEM DAYS", "Write down how many days an order takes", func(s *record.Stock, x float64) { s.LeadDays = &x }),
	)
	return cmd
}

// newVanSet makes one of the commands that write down what is in the van.
func newVanSet(a *app, use, short string, set func(*record.Stock, float64)) *cobra.Command {
	return a.answers(&cobra.Command{
		Use: use, Short: short, Long: short + ". ITEM may be as much of its name as no other item shares.", Args: cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			x, err := record.Number("number", args[1], "a number such as 3")
			if err != nil {
				return err
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				items, _, err := h.itemsEverywhere(ctx, m)
				if err != nil {
					return err
				}
				s := record.Stock{}
				if s.Item, err = oneItem(items, args[0]); err != nil {
					return err
				}
				set(&s, x)
				id, err := h.setVanOn(ctx, m.Today, s, "command")
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, struct {
						Record int64 `json:"record"`
					}{id})
				}
				fmt.Fprintf(cmd.OutOrStdout(), "record %d: in the van, %s\n", id, s.Item)
				return nil
			})
		},
	})
}

// setVan writes down one thing of what is in the van, today.
func (h *house) setVan(ctx context.Context, s record.Stock, source string) (int64, error) {
	return h.setVanOn(ctx, 0, s, source)
}

// setVanOn writes it down on a day; today where that is zero.
func (h *house) setVanOn(ctx context.Context, on record.Date, s record.Stock, source string) (int64, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	now := h.days.Now()
	if on.IsZero() {
		on = record.DateOf(now)
	}
	ids, err := h.days.Records.Append(ctx, record.Entry{Place: round.VanPlace, Effective: on, Entered: now.UTC().Truncate(time.Second), Source: source, Body: s})
	if err != nil {
		return 0, err
	}
	return ids[0], nil
}

// itemsEverywhere lists what the tasks of all places use up, and what services used up.
func (h *house) itemsEverywhere(ctx context.Context, m schedule.Moment) (items []string, used []day.PartUse, err error) {
	places, err := h.days.Records.Places(ctx)
	if err != nil {
		return nil, nil, err
	}
	for _, place := range places {
		m.Place = place
		d, err := h.days.Open(ctx, m)
		if err != nil {
			return nil, nil, err
		}
		used = append(used, d.PartsUsed(d.Today-366)...)
		for _, item := range d.Items() {
			if !slices.Contains(items, item) {
				items = append(items, item)
			}
		}
	}
	slices.Sort(items)
	return items, used, nil
}

// oneItem finds an item by its name, or as much of it as no other shares.
func oneItem(items []string, name string) (string, error) {
	var found []string
	for _, item := range items {
		if item == name {
			return item, nil
		}
		if name != "" && strings.Contains(strings.ToLower(item), strings.ToLower(name)) {
			found = append(found, item)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return "", &record.UnknownError{What: "item", Name: name, Known: items}
	}
	return "", &record.UnknownError{What: "item", Name: name, Known: found, Many: true}
}
