package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/water/figure"
)

func newDue(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "due",
		Short: "What falls due, and when",
		Long: `Lists every task with its likely date, the window around it (one chance in ten before it, one
after it) and the sitting it is planned for.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foresee(cmd, func(f *schedule.Forecast) error {
				dues := f.Due()
				if a.asJSON {
					return printJSON(cmd, dues)
				}
				for _, w := range f.Warnings() {
					printWrapped(cmd.OutOrStdout(), "", "WARNING: "+w)
					fmt.Fprintln(cmd.OutOrStdout())
				}
				return printDues(cmd.OutOrStdout(), dues, f.Day.Today)
			})
		},
	})
}

func newWhy(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "why TASK",
		Short: "Why a task falls due then, with the numbers",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.foresee(cmd, func(f *schedule.Forecast) error {
				due, err := f.DueOf(args[0])
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, due)
				}
				printDue(cmd.OutOrStdout(), due, f.Day.Today)
				return nil
			})
		},
	})
}

func newTasks(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "tasks",
		Short: "Every task of the place's equipment, with its limits",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(_ context.Context, d *schedule.Day) error {
				tasks := d.Tasks()
				if a.asJSON {
					return printJSON(cmd, tasks)
				}
				table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 8, 2, ' ', 0)
				fmt.Fprintln(table, "TASK\tTITLE\tWHO\tMINUTES\tGAUGE\tLIMIT")
				for _, t := range tasks {
					if t.Off {
						fmt.Fprintf(table, "%s\t%s\t%s\t%g\tswitched off\t\n", t.Task, t.Title, t.Who, t.Minutes)
						continue
					}
					for i, g := range t.Gauges {
						limit := fmt.Sprintf("%s / %s / %s %s", figure.AtMost(g.Low, 3), figure.AtMost(g.Usual, 3), figure.AtMost(g.High, 3), g.Unit)
						if i == 0 {
							fmt.Fprintf(table, "%s\t%s\t%s\t%g\t%s\t%s\n", t.Task, t.Title, t.Who, t.Minutes, g.Name, limit)
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

func newHistory(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "history",
		Short: "Everything that was written down",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(ctx context.Context, d *schedule.Day) error {
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
