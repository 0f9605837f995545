package main

import (
	"context"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// newStockSet makes one of the commands that write stock down: set, came and lead.
func newStockSet(a *app, use, short string, set func(*record.Stock, float64)) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   use,
		Short: short,
		Long:  short + ". ITEM may be as much of its name as no other item shares.",
		Args:  cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			x, err := record.Number("number", args[1], "a number such as 3")
			if err != nil {
				return err
			}
			s := record.Stock{Item: args[0]}
			set(&s, x)
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.SetStock(ctx, d, s)
				return a.written(cmd, written, err)
			})
		},
	})
}
