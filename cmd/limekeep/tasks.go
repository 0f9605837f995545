package main

import (
	"context"
	"fmt"
	"strings"

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
				return a.answerIn(cmd, d.Place, func() error {
					return printRows(cmd, a, d.Tasks(), "", "TASK\tTITLE\tWHO\tMINUTES\tGAUGE\tLIMIT", func(t day.TaskInfo) string {
						head := fmt.Sprintf("%s\t%s\t%s\t%s\t", t.Task, t.Title, t.Who, figure.Exact(t.Minutes))
						if t.Off {
							return head + "switched off\t"
						}
						lines := make([]string, len(t.Gauges))
						for i, g := range t.Gauges {
							limit := fmt.Sprintf("%s / %s / %s %s", figure.AtMost(g.Low, 3), figure.AtMost(g.Usual, 3), figure.AtMost(g.High, 3), g.Unit)
							if g.Low == g.High { // one figure, such as a maker's months in days
								limit = fmt.Sprintf("%s %s", figure.AtMost(g.Usual, 1), g.Unit)
							}
							lines[i] = fmt.Sprintf("%s%s\t%s", head, g.Name, limit)
							head = "\t\t\t\t"
						}
						return strings.Join(lines, "\n")
					})
				})
			})
		},
	})
}
