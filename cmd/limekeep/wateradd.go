package main

import (
	"context"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newWaterAdd(a *app) *cobra.Command {
	var line, after, date, note, district string
	var measured measuredFlags
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Write a water test down",
		Long: `Writes a water test down. Each value is a number, its unit, and, where it differs from
--method, how it was measured: --hardness "12 dH by drop", --ph "7.6 by meter",
--conductivity "430 µS/cm". A spread of your own follows the unit: "12 dH ± 0.5".

With --district it is the water of a whole district, and counts once for all places that are on it
(water_district in their place file), each with what its water has of its own: within a tenth either
way in seven of ten (assumption). A place's own test outweighs it.`,
		Example: `  limekeep water add --hardness "14 dH" --alkalinity "11 dH" --method drop --ph "7.5 by meter"
  limekeep water add --district graz-west --hardness "14.2 dH" --alkalinity "11 dH" --method laboratory`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			on, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			values, err := measured.test()
			if err != nil {
				return err
			}
			test := record.WaterTest{Line: line, After: after, Note: note, Test: values, District: district}
			if district != "" {
				return a.addDistrictTest(cmd, on, test)
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.AddWaterTest(ctx, d, on, test)
				return a.answered(ctx, cmd, j, d, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&line, "line", "", "id of the water line, where there is more than one")
	flags.StringVar(&after, "after", "", "id of the treatment the sample was taken behind (default: the supply itself)")
	flags.StringVar(&district, "district", "", "id of the water district that was tested, in place of a line: it counts for all places on it")
	flags.StringVar(&date, "date", "", "day of the test (default: today)")
	flags.StringVar(&note, "note", "", "anything worth remembering")
	measured = newMeasuredFlags(flags)
	return a.answers(cmd)
}
