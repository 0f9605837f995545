package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule"
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
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.AddMeterReading(ctx, d, on, reading)
				return a.written(cmd, written, err)
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

// readGrams reads grams, or kilograms with kg behind them.
func readGrams(field, text string) (float64, error) {
	lower := strings.ToLower(strings.TrimSpace(text))
	scale := 1.0
	if rest, ok := strings.CutSuffix(lower, "kg"); ok {
		lower, scale = rest, 1000
	} else {
		lower = strings.TrimSuffix(lower, "g")
	}
	value, err := figure.Read(lower)
	if err != nil {
		return 0, record.NotANumber(field, text, "grams of coffee, such as 250, or 1kg", err)
	}
	return value * scale, nil
}

func newUseBag(a *app) *cobra.Command {
	var date, opened string
	var bag record.Bag
	cmd := &cobra.Command{
		Use:   "bag GRAMS",
		Short: "Write down a bag of coffee that is finished",
		Long: `Writes down that a bag of coffee was finished. It went through the grinder between the day it was
opened and the day it was finished, and so says what days nobody wrote down came to. Left without
--opened it was opened when the bag before it was finished.`,
		Example: `  limekeep use bag 250 --opened 2026-02-20 --beans 'house blend'`,
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			on, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			if bag.Opened, err = dateFlag("--opened", opened); err != nil {
				return err
			}
			if bag.Grams, err = readGrams("grams", args[0]); err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.AddBag(ctx, d, on, bag)
				return a.written(cmd, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&date, "date", "", "the day it was finished (default: today)")
	flags.StringVar(&opened, "opened", "", "the day it was opened (default: when the one before was finished)")
	flags.StringVar(&bag.Grinder, "grinder", "", "id of the grinder, where there is more than one")
	flags.StringVar(&bag.Beans, "beans", "", "what coffee it was")
	flags.StringVar(&bag.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}

func newUseGuests(a *app) *cobra.Command {
	var from, to string
	var guests record.Guests
	cmd := &cobra.Command{
		Use:     "guests",
		Short:   "Write down days on which guests drink, past or to come",
		Example: `  limekeep use guests --from 2026-12-24 --to 2026-12-28 --shots 8`,
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var err error
			if guests.From, guests.To, err = dateFlags(from, to); err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.AddGuests(ctx, d, guests)
				return a.written(cmd, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&from, "from", "", "the first day (default: today)")
	flags.StringVar(&to, "to", "", "the last day (default: the first)")
	numberFlag(flags, &guests.Shots, "shots", "shots a day on top of the habit")
	flags.StringVar(&guests.Machine, "machine", "", "id of the machine (default: all of the place)")
	flags.StringVar(&guests.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
