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
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.AddBag(ctx, d, on, bag)
				return a.answered(ctx, cmd, j, d, written, err)
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
