package main

import (
	"context"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newBlock(a *app) *cobra.Command {
	var to string
	var blocked record.Blocked
	cmd := &cobra.Command{
		Use:   "block DATE",
		Short: "Keep a day, or a run of days, free of sittings",
		Long:  "Writes down that no sitting may be on a day, or from it to another. `limekeep void` of the record\nopens the days again.",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			var err error
			if blocked.From, err = dateFlag("date", args[0]); err != nil {
				return err
			}
			if blocked.To, err = dateFlag("--to", to); err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.Block(ctx, d, blocked)
				return a.written(cmd, written, err)
			})
		},
	}
	cmd.Flags().StringVar(&to, "to", "", "the last day to block (default: the same)")
	cmd.Flags().StringVar(&blocked.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
