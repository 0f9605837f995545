package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
)

func newAwayList(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "list",
		Short: "List the times away",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				return printRows(cmd, a, d.Aways(), "No time away is written down.", "", func(l day.AwayLine) string {
					return fmt.Sprintf("%d\t%s", l.Record, l.Says)
				})
			})
		},
	})
}
