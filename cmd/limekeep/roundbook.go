package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/ical"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

// bookedThere is a visit of a round that was booked, for JSON.
type bookedThere struct {
	Place string `json:"place"`
	journal.Receipt
}

func newRoundBook(a *app) *cobra.Command {
	var by string
	cmd := a.answers(&cobra.Command{
		Use:   "book DATE [PLACE...]",
		Short: "Book the visits of a day of the round, or those at some places",
		Long: `Plans the week of the day as "limekeep round" does and books what it proposes for that day: each visit
stands in the plan and the calendar of its place from then on, and the round keeps it when it is
planned anew. "limekeep visit" moves and withdraws.`,
		Example: "  limekeep round book 2026-04-14 --round round.yaml\n  limekeep round book 2026-04-14 blue --by Anna",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			on, err := dateFlag("date", args[0])
			if err != nil {
				return err
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				return a.bookRound(ctx, cmd, h, m, on, args[1:], by)
			})
		},
	})
	cmd.Flags().StringVar(&by, "by", "", "who comes (default: who the round file names)")
	return cmd
}

// bookRound books what the round of a day's week proposes for that day.
func (a *app) bookRound(ctx context.Context, cmd *cobra.Command, h *house, m schedule.Moment, on record.Date, places []string, by string) error {
	monday := round.NextMonday(on - 6) // of the day's own week
	planned, err := a.planRound(ctx, h, m, monday.String(), 1)
	if err != nil {
		return err
	}
	if by == "" {
		by = planned.Who
	}
	var bookings []journal.Booking
	var proposed []string
	for _, d := range planned.Days {
		for _, v := range d.Visits {
			if d.On != on || v.Booked != 0 {
				continue
			}
			if proposed = append(proposed, v.Place); len(places) > 0 && !slices.Contains(places, v.Place) {
				continue
			}
			visit := v.Booking()
			visit.By = by
			m.Place = v.Place
			if err := h.foresee(ctx, m, func(f *day.Forecast) error {
				bookings = append(bookings, journal.Booking{Day: f.Day, By: f, Visit: visit})
				return nil
			}); err != nil {
				return fmt.Errorf("%s: %w", v.Place, err)
			}
		}
	}
	for _, place := range places {
		if !slices.Contains(proposed, place) {
			return &record.UnknownError{What: "visit of " + on.String() + " that is not booked, at the place", Name: place, Known: proposed}
		}
	}
	receipts, err := h.journal.BookVisits(ctx, bookings)
	if err != nil {
		return err
	}
	booked := make([]bookedThere, len(receipts))
	for i, r := range receipts {
		booked[i] = bookedThere{bookings[i].Day.Place.ID, r}
	}
	if a.asJSON {
		return printJSON(cmd, booked)
	}
	if len(booked) == 0 {
		fmt.Fprintf(cmd.OutOrStdout(), "The round proposes nothing for %s that is not booked.\n", on.Long())
	}
	for _, b := range booked {
		fmt.Fprintf(cmd.OutOrStdout(), "%s: record %d, %s\n", b.Place, b.Record, b.What)
	}
	return nil
}

func newRoundCalendar(a *app) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "calendar",
		Short: "The visits that are booked, over all places, as a calendar file",
		Long: `Prints the visits that are booked at all places, or at those that --place names, as one iCalendar file;
with --out it is written there. "limekeep serve" gives it out as well, at an address of its own.`,
		Example: "  limekeep round calendar --out round.ics",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				settings, err := a.roundSettings()
				if err != nil {
					return err
				}
				places, err := h.roundPlaces(ctx, m.Place)
				if err != nil {
					return err
				}
				base := strings.TrimRight(a.settings.GetString("base"), "/")
				var all []agenda.Agenda
				for _, place := range places {
					m.Place = place
					issue, err := h.publisher.Preview(ctx, m)
					if err != nil {
						return fmt.Errorf("%s: %w", place, err)
					}
					if issue.Agenda.Base = base; base != "" {
						issue.Agenda.Base += web.Under(place)
					}
					all = append(all, issue.Agenda)
				}
				write := func(w io.Writer) error { return ical.EncodeVisits(w, ical.RoundName(settings.Who), all) }
				if out == "" {
					return write(cmd.OutOrStdout())
				}
				if err := mayWrite(out); err != nil {
					return err
				}
				return writeWhole(out, write)
			})
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "write to this file (default: standard output)")
	baseFlag(cmd)
	return cmd
}
