package main

import (
	"context"
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

func newVisit(a *app) *cobra.Command {
	cmd := a.answers(&cobra.Command{
		Use:   "visit",
		Short: "Visits that were booked: who comes, when and for what",
		Long: `Lists the visits that were booked at the place and are not done. What a visit was booked for stands
in the plan and in the calendar at the time of the visit, and in no sitting. "limekeep round" proposes
visits over many places, and "limekeep round book" books them.`,
		Example: "  limekeep visit",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foreseeEach(cmd, func(f *day.Forecast) error {
				booked := f.Visits().On(f.Day)
				if a.asJSON {
					return printJSON(cmd, booked)
				}
				if len(booked) == 0 {
					fmt.Fprintln(cmd.OutOrStdout(), "No visit is booked.")
				}
				printBooked(cmd.OutOrStdout(), booked)
				return nil
			})
		},
	})
	cmd.AddCommand(newVisitBook(a), newVisitRisk(a), newVisitMove(a), newVisitWithdraw(a))
	return cmd
}

// printBooked writes visits with their tasks.
func printBooked(w io.Writer, booked []day.BookedInfo) {
	for _, v := range booked {
		by, missed := "", ""
		if v.By != "" {
			by = " by " + v.By
		}
		if v.Missed {
			missed = ": MISSED, move it or withdraw it"
		}
		fmt.Fprintf(w, "  %s at %s, %.0f minutes%s (record %d)%s\n", v.On.Long(), v.At, v.Minutes, by, v.Record, missed)
		for _, t := range v.Turns {
			counts := ""
			if with := v.CountsWith(t.Task); with != "" {
				counts = ", counts with “" + with + "”"
			}
			fmt.Fprintf(w, "    - %s  [%s]%s\n", say.OfTask(t.Title, t.Name), t.Task, counts)
		}
	}
}

func newVisitBook(a *app) *cobra.Command {
	var v record.BookedVisit
	cmd := a.answers(&cobra.Command{
		Use:   "book DATE TIME TASK...",
		Short: "Write down that somebody comes",
		Long: `Books a visit on a day, at the time of arriving, for some tasks. A task may be as much of its id as
no other shares; what counts as done with one is booked with it.`,
		Example: "  limekeep visit book 2026-04-14 09:30 descale/steam safety-valve --by Anna --minutes 90",
		Args:    cobra.MinimumNArgs(3),
		RunE: func(cmd *cobra.Command, args []string) error {
			var err error
			if v.On, err = dateFlag("date", args[0]); err != nil {
				return err
			}
			v.At, v.Tasks = args[1], nil
			for _, task := range args[2:] {
				v.Tasks = append(v.Tasks, record.BookedTask{Task: task})
			}
			return a.write(cmd, withForecast(func(ctx context.Context, j *journal.Journal, d *day.Day, f *day.Forecast) error {
				written, err := j.BookVisit(ctx, d, f, v)
				return a.written(cmd, written, err)
			}))
		},
	})
	v.Minutes = 60
	numberFlag(cmd.Flags(), &v.Minutes, "minutes", "minutes there, from arriving to leaving")
	cmd.Flags().StringVar(&v.By, "by", "", "who comes")
	cmd.Flags().StringVar(&v.Note, "note", "", "a note")
	return cmd
}

// withForecast works the forecast of a day out, for do to write on it.
func withForecast(do func(context.Context, *journal.Journal, *day.Day, *day.Forecast) error) func(context.Context, *journal.Journal, *day.Day) error {
	return func(ctx context.Context, j *journal.Journal, d *day.Day) error {
		f, err := d.Forecast(ctx)
		if err != nil {
			return err
		}
		return do(ctx, j, d, f)
	}
}

func newVisitRisk(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:     "risk RECORD [DATE]",
		Short:   "What another day of a visit would risk, or withdrawing it",
		Long:    "Tells what another day would risk, task by task, or without a day what it would risk to withdraw the\nvisit and have nobody come for four weeks after. Nothing is written down.",
		Example: "  limekeep visit risk 57 2026-04-21\n  limekeep visit risk 57",
		Args:    cobra.RangeArgs(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, to, err := visitArgs(args)
			if err != nil {
				return err
			}
			return a.ofRecord(cmd, id, withForecast(func(_ context.Context, _ *journal.Journal, _ *day.Day, f *day.Forecast) error {
				visit, err := f.Day.BookedVisit(id)
				if err != nil {
					return err
				}
				var risk day.VisitRisk
				if to.IsZero() {
					risk, err = f.Visits().IfWithdrawn(visit)
				} else {
					risk, err = f.Visits().IfMoved(visit, to)
				}
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, risk)
				}
				printVisitRisk(cmd.OutOrStdout(), risk)
				return nil
			}))
		},
	})
}

// visitArgs reads the record of a visit and a day, which may be left out.
func visitArgs(args []string) (id int64, on record.Date, err error) {
	if id, err = strconv.ParseInt(args[0], 10, 64); err != nil {
		return 0, 0, &record.FieldError{Field: "record", Value: args[0], Want: "the number of a visit, as `limekeep visit` shows it"}
	}
	if len(args) > 1 {
		on, err = dateFlag("date", args[1])
	}
	return id, on, err
}

func printVisitRisk(w io.Writer, risk day.VisitRisk) {
	printWrapped(w, "", risk.Worst)
	for _, t := range risk.Tasks {
		printWrapped(w, "  - ", fmt.Sprintf("%s: %s", say.OfTask(t.Title, t.Name), t.Says))
	}
}

func newVisitMove(a *app) *cobra.Command {
	var minutes float64
	cmd := a.answers(&cobra.Command{
		Use:     "move RECORD DATE TIME",
		Short:   "Put a visit on another day or at another time",
		Long:    "Moves a visit: another record stands in its place, and its entry in calendars stays the same one.\n\"limekeep visit risk\" tells first what that risks.",
		Example: "  limekeep visit move 57 2026-04-21 14:00",
		Args:    cobra.ExactArgs(3),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, to, err := visitArgs(args)
			if err != nil {
				return err
			}
			return a.ofRecord(cmd, id, withForecast(func(ctx context.Context, j *journal.Journal, d *day.Day, f *day.Forecast) error {
				was, err := d.BookedVisit(id)
				if err != nil {
					return err
				}
				risk, err := f.Visits().IfMoved(was, to)
				if err != nil {
					return err
				}
				written, err := j.MoveVisit(ctx, d, f, id, record.BookedVisit{On: to, At: args[2], Minutes: minutes})
				if err == nil && !a.asJSON {
					printVisitRisk(cmd.OutOrStdout(), risk)
				}
				return a.written(cmd, written, err)
			}))
		},
	})
	numberFlag(cmd.Flags(), &minutes, "minutes", "minutes there, from arriving to leaving (default: as before)")
	return cmd
}

func newVisitWithdraw(a *app) *cobra.Command {
	var why string
	cmd := a.answers(&cobra.Command{
		Use:     "withdraw RECORD",
		Short:   "Write down that nobody comes; the tasks go back to the plan",
		Long:    "Withdraws a visit: its tasks go back to the plan of the place. \"limekeep visit risk\" tells first what\nthat risks.",
		Example: "  limekeep visit withdraw 57 --why ill",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, _, err := visitArgs(args)
			if err != nil {
				return err
			}
			return a.ofRecord(cmd, id, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.WithdrawVisit(ctx, d, id, why)
				return a.written(cmd, written, err)
			})
		},
	})
	cmd.Flags().StringVar(&why, "why", "", "why it was withdrawn")
	return cmd
}
