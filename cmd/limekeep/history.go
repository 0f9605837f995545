package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
)

func newHistory(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "history",
		Short: "Everything that was written down",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(ctx context.Context, d *day.Day) error {
				lines, err := d.History(ctx)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, lines)
				}
				table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 8, 2, ' ', 0)
				fmt.Fprintln(table, "RECORD\tDAY\tKIND\tFROM\tSAYS")
				for _, l := range lines {
					mark := ""
					if l.Voided != 0 {
						mark = fmt.Sprintf("  VOID by record %d", l.Voided)
					}
					fmt.Fprintf(table, "%d\t%s\t%s\t%s\t%s%s\n", l.Record, l.On, l.Kind, l.Source, l.Says, mark)
				}
				return table.Flush()
			})
		},
	})
}
