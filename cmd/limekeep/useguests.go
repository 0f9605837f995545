package main

import (
	"context"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newUseGuests(a *app) *cobra.Command {
	var from, to string
	var guests record.Guests
	cmd := &cobra.Command{
		Use:     "guests",
		Short:   "Write down days on which guests drink, past or to come",
		Example: `  limekeep use guests --from 2026-12-24 --to 2026-12-28 --shots 8`,
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var err error
			if guests.From, guests.To, err = dateFlags(from, to); err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.AddGuests(ctx, d, guests)
				return a.answered(ctx, cmd, j, d, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&from, "from", "", "the first day (default: today)")
	flags.StringVar(&to, "to", "", "the last day (default: the first)")
	numberFlag(flags, &guests.Shots, "shots", "shots a day on top of the habit")
	flags.StringVar(&guests.Machine, "machine", "", "id of the machine (default: all of the place)")
	flags.StringVar(&guests.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
