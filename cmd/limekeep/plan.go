package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/say"
	"limekeep/water/figure"
)

func newPlan(a *app) *cobra.Command {
	var why bool
	cmd := &cobra.Command{
		Use:   "plan",
		Short: "The sittings to come, with what to have there",
		Long: `Lists the sittings of the months to come: when, what is done in which order, and what to have
there; then what has to be ordered, and what cannot be met with the reason. Slots come from the
preferred times of the place, less the days you blocked and what your own calendar file says
(--busy). With --why it says what each task risks and gives up, and what the plan weighs. With
--months it shows fewer of them, or plans for more.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			shown := a.fewerMonths(cmd)
			return a.foreseeEach(cmd, func(f *day.Forecast) error {
				info := f.Plan()
				if shown > 0 {
					info = info.UpTo(f.Day.Today.AddMonths(shown))
				}
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

// fewerMonths returns how many months of the plan are to be shown where fewer were asked for
// than are planned; 0 for all. The plan stays the one that "due" and the calendar tell of: one
// of fewer months would be another, from its first sitting on.
func (a *app) fewerMonths(cmd *cobra.Command) int {
	asked := a.settings.GetInt("months")
	if !cmd.Flags().Changed("months") || asked < 1 || asked >= day.DefaultPlanMonths {
		return 0
	}
	a.settings.Set("months", day.DefaultPlanMonths)
	return asked
}

// printPlan writes the sittings of a plan.
func printPlan(w io.Writer, p day.PlanInfo, why bool) {
	if p.OwnCalendar != "" {
		printWrapped(w, "", p.OwnCalendar)
		fmt.Fprintln(w)
	}
	if p.CatchUp != nil {
		printWrapped(w, "", p.CatchUp.Says)
		fmt.Fprintln(w)
	}
	if len(p.Sittings) == 0 {
		fmt.Fprintf(w, "No sitting is needed, or none can be had, from %s to %s.\n", p.Today, p.Until)
	}
	for _, s := range p.Sittings {
		fmt.Fprintf(w, "%s, %s of %s minutes", s.Start.Format("Mon 2006-01-02 15:04"), figure.Exact(s.Minutes), figure.Exact(s.Room))
		if s.Long {
			fmt.Fprint(w, ", longer than usual: "+s.WhyLong)
		}
		if len(s.States) > 0 {
			fmt.Fprintf(w, "; %s", strings.Join(s.States, ", "))
		}
		fmt.Fprintln(w)
		printTimetable(w, s, why)
		if len(s.Parts) > 0 {
			printWrapped(w, "  parts: ", strings.Join(s.Parts, "; "))
		}
		if len(s.Tools) > 0 {
			printWrapped(w, "  tools: ", strings.Join(s.Tools, "; "))
		}
	}
	if len(p.Orders) > 0 {
		fmt.Fprintln(w, "\nTo order:")
		for _, o := range p.Orders {
			printWrapped(w, "  - ", fmt.Sprintf("%s × %s by %s. %s", figure.Exact(o.Short), o.Item, o.By.Long(), o.Says))
		}
	}
	if len(p.Booked) > 0 {
		fmt.Fprintln(w, "\nBooked:")
		printBooked(w, p.Booked)
	}
	if len(p.Visits) > 0 {
		fmt.Fprintln(w, "\nTo book, with a workshop or licensed people:")
		for _, v := range p.Visits {
			fmt.Fprintf(w, "  call by %s for %s: %s (%s)\n", v.CallBy.Long(), v.On.Long(), v.Name, v.Who)
			for _, t := range v.Turns {
				printLine(w, "    - ", t.Title, "  ["+t.Task+"]")
			}
		}
	}
	if len(p.CannotMeet) > 0 {
		fmt.Fprintln(w, "\nCannot be met:")
		for _, c := range p.CannotMeet {
			printUnmet(w, c)
		}
	}
	if len(p.Rounds) > 0 {
		fmt.Fprintln(w, "\nRoutine, without sittings:")
		printRounds(w, p.Rounds)
	}
	if why {
		fmt.Fprintln(w, "\nWhy:")
		for _, s := range p.Why {
			printWrapped(w, "  - ", s)
		}
	}
}

// printUnmet writes what cannot be met, why, and what would help.
func printUnmet(w io.Writer, c day.CannotMeetInfo) {
	name := c.Task
	if name == "" {
		name = "a sitting"
	}
	if c.Turn > 1 {
		name += fmt.Sprintf(", turn %d", c.Turn)
	}
	printWrapped(w, "  - ", fmt.Sprintf("%s: %s %s", name, c.Reason, c.WayOut))
}

// printTimetable writes what happens in a sitting: each task when it is begun,
// and the machines' switching between.
func printTimetable(w io.Writer, s day.SittingInfo, why bool) {
	begun := map[string]bool{}
	for _, step := range s.Steps {
		if begun[step.Task] {
			continue // its waits and what comes after them are told in full with --json
		}
		clock := "  " + step.At.Format("15:04") + "  "
		i := slices.IndexFunc(s.Turns, func(t day.TurnInfo) bool { return t.Task == step.Task })
		if i < 0 {
			printWrapped(w, clock, step.Says)
			continue
		}
		begun[step.Task] = true
		t, more := s.Turns[i], ""
		if t.Pinned {
			more = ", fixed by you"
		}
		if len(t.Covers) > 0 {
			more += "; counts for " + strings.Join(t.Covers, ", ")
		}
		printLine(w, clock, say.OfTask(t.Title, t.Name), "  ["+t.Task+"]", more)
		if why {
			printWrapped(w, "         ", t.Why)
		}
	}
}
