package main

import (
	"context"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newAwayAdd(a *app) *cobra.Command {
	var from, to string
	var away record.Away
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Write down a time away, past or to come",
		Long: `Writes down that nobody draws anything from a day to another: a holiday, or a machine switched off
for the summer. It may lie ahead. Left without --to it lasts until "limekeep away end". A day on
which something was written down all the same counts as written.`,
		Example: `  limekeep away add --from 2026-07-06 --to 2026-07-19
  limekeep away add --machine lever --from 2026-06-01 --note 'switched off for the summer'`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var err error
			if away.From, away.To, err = dateFlags(from, to); err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.AddAway(ctx, d, away)
				return a.answered(ctx, cmd, j, d, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&from, "from", "", "the first day away (default: today)")
	flags.StringVar(&to, "to", "", "the last day away (default: left open)")
	flags.StringVar(&away.Machine, "machine", "", "id of the machine that is switched off (default: all of the place)")
	flags.BoolVar(&away.Frost, "frost", false, "it may freeze where the machine stands")
	flags.StringVar(&away.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
