package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func newUse(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "use", Short: "What was drawn and ground"}
	cmd.AddCommand(newUseAdd(a), newUseImport(a))
	return cmd
}

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
			return a.ask(cmd, func(ctx context.Context, desk *schedule.Desk, m schedule.Moment) error {
				written, err := desk.AddUse(ctx, m, machine, from, last, row, note)
				return a.written(cmd, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&machine, "machine", "", "id of the machine, where there is more than one")
	flags.StringVar(&date, "date", "", "the day, or the first of several (default: today)")
	flags.StringVar(&to, "to", "", "the last of several days")
	flags.Float64Var(&row.Shots, "shots", 0, "shots pulled")
	flags.Float64Var(&row.DoseGrams, "dose", 0, "dry coffee a shot, g (default: by habit)")
	flags.Float64Var(&row.YieldGrams, "yield", 0, "drink a shot, g (default: by habit)")
	flags.Float64Var(&row.Steamed, "steamed", 0, "how many of the shots got steamed milk")
	flags.Float64Var(&row.HotWaterLitres, "hot-water", 0, "hot water drawn from the steam boiler, litres")
	flags.StringVar(&note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}

func newUseImport(a *app) *cobra.Command {
	var machine string
	cmd := &cobra.Command{
		Use:   "import FILE.csv",
		Short: "Write down a file of use, all of it or nothing",
		Long: `Writes a CSV file of use down, all of it or nothing. The first row names the columns, in any
order: date (2026-03-31, or with a time, 2026-03-31 07:40), shots (1 where left out), dose_g,
yield_g, seconds, steamed, hot_water_l. The file counts as complete from its first day to its
last: a day in between without a row was a day without a shot. Rows that an earlier file
brought already are not counted twice.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			file, err := os.Open(args[0])
			if err != nil {
				return fmt.Errorf("the file of use cannot be read: %w", err)
			}
			defer file.Close()
			return a.ask(cmd, func(ctx context.Context, desk *schedule.Desk, m schedule.Moment) error {
				result, err := desk.ImportUse(ctx, m, machine, filepath.Base(args[0]), readUseFile(file))
				if err != nil {
					return fmt.Errorf("%s: %w; nothing was written", args[0], err)
				}
				if a.asJSON {
					return printJSON(cmd, result)
				}
				out := cmd.OutOrStdout()
				if result.ID == 0 {
					fmt.Fprintf(out, "took 0 rows: all %d were known already\n", result.Known)
					return nil
				}
				fmt.Fprintf(out, "took %d rows from %s to %s as record %d", result.Added, result.From, result.To, result.ID)
				if result.Known > 0 {
					fmt.Fprintf(out, "; %d more were known already", result.Known)
				}
				fmt.Fprintln(out)
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&machine, "machine", "", "id of the machine, where there is more than one")
	return a.answers(cmd)
}
