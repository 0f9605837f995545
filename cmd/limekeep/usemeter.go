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

func newUseMeter(a *app) *cobra.Command {
	var date, changed, rolls string
	var reading record.MeterReading
	cmd := &cobra.Command{
		Use:   "meter READING",
		Short: "Write down what the water meter shows",
		Long: `Writes down what the water meter of a line shows, in litres, or in cubic metres with m3 behind the
figure. Two readings say what the line drew in between: they correct the sums of those days, and what
no drink explains is shown as a rest. When a meter is changed, give the last figure of the old one and
with --new-meter the first of the new one. When it runs over its last figure, give that with
--rolls-over.`,
		Example: `  limekeep use meter 10432
  limekeep use meter 10.432m3 --date 2026-03-01
  limekeep use meter 20114 --new-meter 0`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			on, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			if reading.Litres, err = readLitres("reading", args[0]); err != nil {
				return err
			}
			if cmd.Flags().Changed("new-meter") {
				start, err := readLitres("--new-meter", changed)
				if err != nil {
					return err
				}
				reading.NewStart = &start
			}
			if rolls != "" {
				if reading.RollsOverLitres, err = readLitres("--rolls-over", rolls); err != nil {
					return err
				}
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.AddMeterReading(ctx, d, on, reading)
				return a.answered(ctx, cmd, j, d, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&date, "date", "", "the day, at the end of which it was read (default: today)")
	flags.StringVar(&reading.Line, "line", "", "id of the water line, where there is more than one")
	flags.StringVar(&changed, "new-meter", "", "what a new meter showed when it was fitted after this reading")
	flags.StringVar(&rolls, "rolls-over", "", "the figure at which the meter begins again at 0")
	flags.StringVar(&reading.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}

// readLitres reads litres, or cubic metres with m3 behind them.
func readLitres(field, text string) (float64, error) {
	lower := strings.ToLower(strings.TrimSpace(text))
	scale := 1.0
	for _, unit := range []string{"m3", "m³"} {
		if rest, ok := strings.CutSuffix(lower, unit); ok {
			lower, scale = rest, 1000
		}
	}
	if scale == 1 {
		lower = strings.TrimSuffix(strings.TrimSuffix(lower, "litres"), "l")
	}
	value, err := figure.Read(lower)
	if err != nil {
		return 0, record.NotANumber(field, text, "litres, such as 10432, or cubic metres, such as 10.432m3", err)
	}
	return value * scale, nil
}
