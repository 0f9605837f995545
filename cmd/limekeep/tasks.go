package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/water/figure"
)

func newTasks(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "tasks",
		Short: "Every task of the place's equipment, with its limits",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				tasks := d.Tasks()
				if a.asJSON {
					return printJSON(cmd, tasks)
				}
				table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 8, 2, ' ', 0)
				fmt.Fprintln(table, "TASK\tTITLE\tWHO\tMINUTES\tGAUGE\tLIMIT")
				for _, t := range tasks {
					if t.Off {
						fmt.Fprintf(table, "%s\t%s\t%s\t%s\tswitched off\t\n", t.Task, t.Title, t.Who, figure.Exact(t.Minutes))
						continue
					}
					for i, g := range t.Gauges {
						limit := fmt.Sprintf("%s / %s / %s %s", figure.AtMost(g.Low, 3), figure.AtMost(g.Usual, 3), figure.AtMost(g.High, 3), g.Unit)
						if g.Low == g.High { // one figure, such as a maker's months in days
							limit = fmt.Sprintf("%s %s", figure.AtMost(g.Usual, 1), g.Unit)
						}
						if i == 0 {
							fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\n", t.Task, t.Title, t.Who, figure.Exact(t.Minutes), g.Name, limit)
						} else {
							fmt.Fprintf(table, "\t\t\t\t%s\t%s\n", g.Name, limit)
						}
					}
				}
				return table.Flush()
			})
		},
	})
}
