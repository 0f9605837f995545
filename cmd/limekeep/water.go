package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

func newWater(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "water", Short: "Water tests"}
	cmd.AddCommand(newWaterAdd(a), newWaterTable(a), newWaterJudge(a), newWaterCompare(a))
	return cmd
}

// quantityFlag names a quantity on the command line.
func quantityFlag(q water.Quantity) string { return strings.ReplaceAll(string(q), " ", "-") }

func newWaterAdd(a *app) *cobra.Command {
	var line, after, date, note string
	var measured measuredFlags
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Write a water test down",
		Long: `Writes a water test down. Each value is a number, its unit, and, where it differs from
--method, how it was measured: --hardness "12 dH by drop", --ph "7.6 by meter",
--conductivity "430 µS/cm". A spread of your own follows the unit: "12 dH ± 0.5".`,
		Example: `  limekeep water add --hardness "14 dH" --alkalinity "11 dH" --method drop --ph "7.5 by meter"`,
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			on, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			values, err := measured.test()
			if err != nil {
				return err
			}
			test := record.WaterTest{Line: line, After: after, Note: note, Test: values}
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.AddWaterTest(ctx, d, on, test)
				return a.written(cmd, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&line, "line", "", "id of the water line, where there is more than one")
	flags.StringVar(&after, "after", "", "id of the treatment the sample was taken behind (default: the supply itself)")
	flags.StringVar(&date, "date", "", "day of the test (default: today)")
	flags.StringVar(&note, "note", "", "anything worth remembering")
	measured = newMeasuredFlags(flags)
	return a.answers(cmd)
}

// parseMeasured reads "12 dH ± 0.5 by drop": a number, a unit, and where given
// a spread and a method.
func parseMeasured(q water.Quantity, text string, method water.Method) (water.Measured, error) {
	m := water.Measured{Quantity: q, Method: method}
	rest := strings.TrimSpace(text)
	if before, how, ok := strings.Cut(rest, " by "); ok {
		parsed, err := water.ParseMethod(strings.TrimSpace(how))
		if err != nil {
			return m, err
		}
		m.Method, rest = parsed, strings.TrimSpace(before)
	}
	if before, spread, ok := strings.Cut(rest, "±"); ok {
		sd, err := record.Number("spread", spread, "a number behind the ±, in the same unit")
		if err != nil {
			return m, err
		}
		m.Spread, rest = sd, strings.TrimSpace(before)
	}
	digits := strings.IndexFunc(rest, func(r rune) bool { return !strings.ContainsRune("+-0123456789.,eE", r) })
	if digits > 0 && strings.ContainsAny(rest[digits-1:digits], "eE") {
		digits--
	}
	if digits < 0 {
		digits = len(rest)
	}
	value, err := figure.Read(rest[:digits])
	if err != nil {
		return m, record.NotANumber(string(q), text, fmt.Sprintf("a number and its unit, such as \"12 %s\"", q.Unit()), err)
	}
	m.Value, m.Unit = value, q.Unit()
	unit := strings.TrimSpace(rest[digits:])
	if unit == "" && q == water.PH {
		return m, nil
	}
	if m.Unit, err = water.ParseUnit(unit); err != nil {
		return m, err
	}
	return m, nil
}

// dateFlag reads a date flag; empty is the zero date.
func dateFlag(name, text string) (record.Date, error) {
	if text == "" {
		return 0, nil
	}
	d, err := record.ParseDate(text)
	return d, rename(err, name)
}
