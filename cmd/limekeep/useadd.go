package main

import (
	"context"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newUseAdd(a *app) *cobra.Command {
	var machine, date, to, note string
	var row record.UseRow
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Write down what was drawn on a day, or on some days together",
		Long: `Writes down all that was drawn on a day, or from --date to --to together. A day that is
written down counts as it stands; every other day counts by the habit in the place file.`,
		Example: `  limekeep use add --shots 4 --steamed 2
  limekeep use add --date 2026-03-02 --to 2026-03-08 --shots 23 --steamed 9`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			from, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			last, err := dateFlag("--to", to)
			if err != nil {
				return err
			}
			if !cmd.Flags().Changed("shots") {
				return &record.FieldError{Field: "--shots", Want: "how many shots were pulled, 0 for a day without"}
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.AddUse(ctx, d, journal.UseEntry{
					Machine: machine, From: from, To: last, Sum: row, Note: note,
					MilkUnsaid: !cmd.Flags().Changed("steamed"), HotWaterUnsaid: !cmd.Flags().Changed("hot-water"),
				})
				return a.written(cmd, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&machine, "machine", "", "id of the machine, where there is more than one")
	flags.StringVar(&date, "date", "", "the day, or the first of several (default: today)")
	flags.StringVar(&to, "to", "", "the last of several days")
	numberFlag(flags, &row.Shots, "shots", "shots pulled")
	numberFlag(flags, &row.DoseGrams, "dose", "dry coffee a shot, g (default: by habit)")
	numberFlag(flags, &row.YieldGrams, "yield", "drink a shot, g (default: by habit)")
	numberFlag(flags, &row.Steamed, "steamed", "how many of the shots got steamed milk (default: by habit)")
	numberFlag(flags, &row.HotWaterLitres, "hot-water", "hot water drawn from the steam boiler, litres (default: by habit)")
	flags.StringVar(&note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
