package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

func newWhy(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "why TASK",
		Short: "Why a task falls due then, with the numbers",
		Long: `Says when a task falls due, by which of its gauges and by what use, water and findings; what was
assumed, and the one answer that would replace it; then what can hurt, and how to make safe. TASK is
its id as "limekeep tasks" shows it, or as much of it as no other task shares.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.foresee(cmd, func(f *day.Forecast) error {
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

// printDue writes one task in full: when and why first, since that was asked; then
// what to heed before any work on it.
func printDue(w io.Writer, d day.Due, today record.Date) {
	fmt.Fprintf(w, "%s  [%s]\n\n", say.OfTask(d.Title, d.Name), d.Task)
	if d.Rests != "" {
		printLines(w, "  - ", d.Why)
	} else {
		fmt.Fprintf(w, "Likely due %s, window %s, sitting %s.\n", likelyText(d, today), windowText(d), sittingText(d))
		for _, g := range d.Gauges {
			fmt.Fprintf(w, "  %s %.2f  %s\n", bar(g.Reading), g.Reading, g.Name)
		}
		fmt.Fprintln(w, "Why:")
		printLines(w, "  - ", d.Why)
	}
	fmt.Fprintln(w, "\nBefore you start:")
	printLines(w, "  ! ", d.Cautions)
	fmt.Fprintln(w, "Make safe, in this order:")
	printNumbered(w, d.MakeSafe)
}

// bar draws a reading from 0 to 1; what is beyond the limit shows at its end.
func bar(reading float64) string {
	const width = 20
	full := int(reading * width)
	if full > width {
		return "[" + strings.Repeat("#", width) + ">"
	}
	return "[" + strings.Repeat("#", max(full, 0)) + strings.Repeat(".", width-max(full, 0)) + "]"
}
