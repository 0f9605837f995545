package main

import (
	"context"
	"strconv"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newAwayEnd(a *app) *cobra.Command {
	var last string
	cmd := &cobra.Command{
		Use:   "end [RECORD]",
		Short: "Give the last day of a time away that was left open",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			date, err := dateFlag("--to", last)
			if err != nil {
				return err
			}
			var id int64
			if len(args) == 1 {
				if id, err = strconv.ParseInt(args[0], 10, 64); err != nil || id <= 0 {
					return &record.FieldError{Field: "record", Value: args[0], Want: "the number of a record, as `limekeep away list` shows it"}
				}
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.EndAway(ctx, d, id, date)
				return a.written(cmd, written, err)
			})
		},
	}
	cmd.Flags().StringVar(&last, "to", "", "the last day away (default: today)")
	return a.answers(cmd)
}
