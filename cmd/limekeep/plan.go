package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
)

func newPlan(a *app) *cobra.Command {
	var why bool
	cmd := &cobra.Command{
		Use:   "plan",
		Short: "The sittings to come, with what to have there",
		Long: `Lists the sittings of the months to come: when, what is done in which order, and what to have
there; then what has to be ordered, and what cannot be met with the reason. Slots come from the
preferred times of the place, less the days you blocked and what your own calendar file says
(--busy). With --why it says what each task risks and gives up, and what the plan weighs.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foresee(cmd, func(f *day.Forecast) error {
				info := f.Plan()
				if a.asJSON {
					return printJSON(cmd, info)
				}
				printPlan(cmd.OutOrStdout(), info, why)
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&why, "why", false, "say why, with the numbers")
	return a.answers(cmd)
}

// printPlan writes the sittings of a plan.
func printPlan(w io.Writer, p day.PlanInfo, why bool) {
	if len(p.Sittings) == 0 {
		fmt.Fprintf(w, "No sitting is needed, or none can be had, from %s to %s.\n", p.Today, p.Until)
	}
	for _, s := range p.Sittings {
		fmt.Fprintf(w, "%s, %g of %g minutes", s.Start.Format("Mon 2006-01-02 15:04"), s.Minutes, s.Room)
		if len(s.States) > 0 {
			fmt.Fprintf(w, "; %s", strings.Join(s.States, ", "))
		}
		fmt.Fprintln(w)
		for i, t := range s.Turns {
			pinned := ""
			if t.Pinned {
				pinned = ", fixed by you"
			}
			fmt.Fprintf(w, "  %d. %s, %s  [%s]%s\n", i+1, t.Title, t.Name, t.Task, pinned)
			if why {
				printWrapped(w, "     ", t.Why)
			}
		}
		if len(s.Kit) > 0 {
			printWrapped(w, "  kit: ", strings.Join(s.Kit, "; "))
		}
	}
	if len(p.Orders) > 0 {
		fmt.Fprintln(w, "\nTo order:")
		for _, o := range p.Orders {
			printWrapped(w, "  - ", fmt.Sprintf("%g × %s by %s. %s", o.Short, o.Item, o.By.Long(), o.Says))
		}
	}
	if len(p.Conflicts) > 0 {
		fmt.Fprintln(w, "\nCannot be met:")
		for _, c := range p.Conflicts {
			name := c.Task
			if name == "" {
				name = "a sitting"
			}
			if c.Turn > 1 {
				name += fmt.Sprintf(", turn %d", c.Turn)
			}
			printWrapped(w, "  - ", fmt.Sprintf("%s: %s", name, c.Reason))
		}
	}
	if len(p.Routine) > 0 {
		fmt.Fprintln(w, "\nDaily routine, without sittings: "+strings.Join(p.Routine, ", "))
	}
	if why {
		fmt.Fprintln(w, "\nWhy:")
		for _, s := range p.Why {
			printWrapped(w, "  - ", s)
		}
	}
}
