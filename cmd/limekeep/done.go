package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

func newDone(a *app) *cobra.Command {
	var date, finding string
	var service record.Service
	var left float64
	var looked bool
	cmd := &cobra.Command{
		Use:   "done TASK",
		Short: "Write down that a task was done, and what was found",
		Long: `Writes down that a task was done. TASK is its id as "limekeep tasks" shows it, or as much of it
as no other task shares. What was found teaches the next forecast: ` + strings.Join(record.ScaleFindings(), ", ") + ` for scale,
` + strings.Join(record.PartFindings(), ", ") + ` for parts.`,
		Example: `  limekeep done backflush-detergent
  limekeep done descale/steam --finding film --grams 2.1 --date 2026-03-28
  limekeep done group-gasket --looked --finding worn`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			on, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			if !(left >= 0 && left <= 95) { // nor NaN
				return &record.FieldError{Field: "--left", Value: figure.Exact(left), Want: "0 to 95, per cent of what was there"}
			}
			service.Task, service.Finding, service.Left = args[0], record.Finding(finding), left/100
			if looked {
				service.Left = record.OnlyLooked
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.Done(ctx, d, on, service)
				return a.answered(ctx, cmd, j, d, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&date, "date", "", "the day it was done (default: today)")
	flags.StringVar(&finding, "finding", "", "what was found before it was put right")
	numberFlag(flags, &service.Grams, "grams", "scale that came off, g")
	numberFlag(flags, &left, "left", "per cent that the work left in place")
	flags.BoolVar(&looked, "looked", false, "nothing was done but look: the part goes on as it was, and what was seen counts")
	flags.StringVar(&service.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
