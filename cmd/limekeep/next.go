package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
)

func newNext(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "next",
		Short: "The next sitting: cautions, making safe, what to have there, timetable",
		Long: `Prints the next sitting as it is done: what can hurt and how to make safe first, then what to
have there, the timetable with heating, cooling and waits, and how each task is written down.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foreseeEach(cmd, func(f *day.Forecast) error {
				p := f.Plan()
				if a.asJSON {
					if len(p.Sittings) == 0 {
						return printJSON(cmd, nil)
					}
					return printJSON(cmd, p.Sittings[0])
				}
				w := cmd.OutOrStdout()
				if len(p.Sittings) == 0 {
					fmt.Fprintf(w, "No sitting is planned from %s to %s.\n", p.Today, p.Until)
				} else {
					printSitting(w, p.Sittings[0])
				}
				if len(p.Rounds) > 0 {
					fmt.Fprintln(w, "\nRoutine, beside it:")
					printRounds(w, p.Rounds)
				}
				return nil
			})
		},
	})
}

// printSitting writes a sitting as it is done.
func printSitting(w io.Writer, s day.SittingInfo) {
	fmt.Fprintf(w, "%s to %s, %.0f minutes", s.Start.Format("Mon 2 January 2006, 15:04"), s.End().Format("15:04"), s.Minutes)
	if s.Long {
		fmt.Fprint(w, ": longer than usual, since "+s.WhyLong)
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, "\nBefore you start:")
	printLines(w, "  ! ", s.Cautions)
	for _, r := range s.MakeSafe {
		printWrapped(w, "Make safe, in this order, before: ", strings.Join(r.Tasks, "; ")+".")
		printNumbered(w, r.Steps)
		for _, then := range r.Then {
			printWrapped(w, "  then, ", then.Task+": "+strings.Join(then.Steps, " "))
		}
	}
	if len(s.Parts) > 0 {
		fmt.Fprintln(w, "\nParts and consumables:")
		printLines(w, "  - ", s.Parts)
	}
	if len(s.Tools) > 0 {
		fmt.Fprintln(w, "\nTools to have there:")
		printLines(w, "  - ", s.Tools)
	}
	fmt.Fprintln(w, "\nTimetable:")
	for _, step := range s.Steps {
		lead := "  " + step.At.Format("15:04") + "  "
		says := step.Says
		if step.Task != "" && step.What == "work" {
			says = fmt.Sprintf("%s, %.0f minutes  [%s]", step.Says, step.Minutes, step.Task)
		}
		printWrapped(w, lead, says)
	}
	fmt.Fprintln(w, "\nHow each is done and written down: `limekeep steps TASK`.")
}
