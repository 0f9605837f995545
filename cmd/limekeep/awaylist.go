package main

import (
	"context"
	"fmt"
	"text/tabwriter"

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
				lines := d.Aways()
				if a.asJSON {
					return printJSON(cmd, lines)
				}
				if len(lines) == 0 {
					fmt.Fprintln(cmd.OutOrStdout(), "No time away is written down.")
					return nil
				}
				table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 8, 2, ' ', 0)
				for _, l := range lines {
					fmt.Fprintf(table, "%d\t%s\n", l.Record, l.Says)
				}
				return table.Flush()
			})
		},
	})
}
