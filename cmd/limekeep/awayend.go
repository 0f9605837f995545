package main

import (
	"context"
	"strconv"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func newAwayEnd(a *app) *cobra.Command {
	var last string
	cmd := &cobra.Command{
		Use:   "end [RECORD]",
		Short: "Give the last day of a time away that was left open",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := dateFlag("--to", last)
			if err != nil {
				return err
			}
			var id int64
			if len(args) == 1 {
				if id, err = strconv.ParseInt(args[0], 10, 64); err != nil || id <= 0 {
					return &record.FieldError{Field: "record", Value: args[0], Want: "the number of a record, as `limekeep away list` shows it"}
				}
			}
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.EndAway(ctx, d, id, day)
				return a.written(cmd, written, err)
			})
		},
	}
	cmd.Flags().StringVar(&last, "to", "", "the last day away (default: today)")
	return a.answers(cmd)
}
