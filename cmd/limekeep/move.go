package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

func newMove(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "move TASK [DATE | next | skip | fix | free]",
		Short: "Put the next turn of a task on another day, and see what that risks",
		Long: `Moves the next turn of a task. It stays there until the task is done or moved again. With the
task alone it moves nothing, and says where the turn stands and what the next slot would risk.

  DATE   on this day, also where it is no preferred time
  next   on the next slot after the one it is planned for
  skip   not in the slot it is planned for; the plan chooses a later one
  fix    on the day it is planned for, whatever comes
  free   wherever the plan puts it`,
		Example: "  limekeep move group-gasket 2026-04-11\n  limekeep move descale/steam next",
		Args:    cobra.RangeArgs(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 {
				return a.showPosition(cmd, args[0])
			}
			move, to := day.Move(args[1]), record.Date(0)
			switch move {
			case day.MoveNext, day.MoveSkip, day.MoveFix, day.MoveFree:
			default:
				date, err := record.ParseDate(args[1])
				if err != nil {
					return &record.FieldError{Field: "date", Value: args[1], Want: "a day such as 2026-04-11, or next, skip, fix or free"}
				}
				move, to = day.MoveTo, date
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				moved, err := j.MoveTask(ctx, d, args[0], move, to)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, moved)
				}
				fmt.Fprintf(cmd.OutOrStdout(), "record %d, %s\n", moved.Record, moved.Task)
				printWrapped(cmd.OutOrStdout(), "", moved.Says)
				return nil
			})
		},
	})
}

// showPosition shows where the next turn of a task stands.
func (a *app) showPosition(cmd *cobra.Command, task string) error {
	return a.foresee(cmd, func(f *day.Forecast) error {
		s, err := f.Positions().Of(task, 0)
		if err != nil {
			return err
		}
		if a.asJSON {
			return printJSON(cmd, s)
		}
		w := cmd.OutOrStdout()
		fmt.Fprintln(w, s.Task)
		if !s.Movable {
			fmt.Fprintln(w, "It gets no sitting, so there is nothing to move.")
			return nil
		}
		printWrapped(w, "", s.Says)
		switch {
		case s.Fixed != nil:
			printWrapped(w, "", fmt.Sprintf("You fixed it on %s.", s.Fixed.Long()))
		case s.After != nil:
			printWrapped(w, "", fmt.Sprintf("You put it off beyond %s.", s.After.Long()))
		}
		if s.Next != nil {
			printWrapped(w, "", fmt.Sprintf("The next slot is on %s: %s chance that its limit is passed by then.", s.Next.Long(), figure.Percent(s.NextRisk)))
		}
		return nil
	})
}
