package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

func newDue(a *app) *cobra.Command {
	var all bool
	cmd := &cobra.Command{
		Use:   "due",
		Short: "What to do next, what is past, and what comes soon",
		Long: `Says what is wrong, the next sitting, whom to call, what is past its likely date and what comes
within a month. With --all it lists every task with its likely date, the window around it (one
chance in ten before it, one after it) and the sitting it is planned for; --json always does.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foreseeEach(cmd, func(f *day.Forecast) error {
				dues := f.Due()
				if a.asJSON {
					return printJSON(cmd, dues)
				}
				if !all {
					printBrief(cmd.OutOrStdout(), f.Brief())
					return nil
				}
				for _, w := range f.Warnings() {
					printWrapped(cmd.OutOrStdout(), "", "WARNING: "+w)
					fmt.Fprintln(cmd.OutOrStdout())
				}
				return printDues(cmd.OutOrStdout(), dues, f.Day.Today)
			})
		},
	}
	cmd.Flags().BoolVar(&all, "all", false, "list every task")
	return a.answers(cmd)
}

// printDues writes what is due, the soonest first, a line each.
func printDues(w io.Writer, dues []day.Due, today record.Date) error {
	if len(dues) == 0 {
		fmt.Fprintln(w, "Nothing falls due: there is no equipment that wears.")
		return nil
	}
	table := inColumns(w, "LIKELY\tWINDOW\tSITTING\tTASK")
	for _, d := range dues {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s  [%s]\n", likelyText(d, today), windowText(d), sittingText(d), d.Title, d.Task)
	}
	return table.Flush()
}

func likelyText(d day.Due, today record.Date) string {
	switch {
	case d.Beyond:
		return "beyond 5 years"
	case d.Overdue:
		return d.Likely.String() + " overdue"
	case *d.Likely == today:
		return d.Likely.String() + " today"
	}
	return d.Likely.String()
}

func windowText(d day.Due) string {
	return dateText(d.Early) + " to " + dateText(d.Late)
}

func sittingText(d day.Due) string {
	switch {
	case d.Routine:
		return "daily routine"
	case d.OnItsDay && d.Overdue:
		return "now" // it goes with a time away, and with no sitting
	case d.OnItsDay && d.Visit == nil:
		return "on its day"
	case d.Booked != nil:
		return "visit " + d.Booked.On.String()
	case d.Sitting == nil && d.Visit != nil:
		return "visit " + d.Visit.String()
	case d.Sitting == nil:
		return "-"
	}
	return d.Sitting.Format("Mon 2006-01-02 15:04")
}
