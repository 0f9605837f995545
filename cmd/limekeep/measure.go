package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

func newMeasure(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "measure",
		Short: "Condition checks: flow, warm-up, shot time, temperature, pressure, scale",
		Long: `Writes condition checks down and shows where they lead. Take each check the same way every time:
what counts is how it moves. One reading far off the others is shown and not followed.`,
	}
	cmd.AddCommand(
		a.newCheck(record.Flow, "Grams that run through a group without a portafilter in a set time", "--grams 180 --seconds 20",
			func(f *pflag.FlagSet, m *record.Measurement) {
				numberFlag(f, &m.Grams, "grams", "water caught, g")
				numberFlag(f, &m.Seconds, "seconds", "in this time, s")
				f.StringVar(&m.Part, "group", "", "id of the group, where there is more than one")
			}),
		a.newCheck(record.WarmUpTime, "Minutes from cold until a vessel's heating first stops", "--minutes 8.5 --from 20 --vessel brew",
			func(f *pflag.FlagSet, m *record.Measurement) {
				numberFlag(f, &m.Minutes, "minutes", "until the heating first stops, minutes")
				numberFlag(f, &m.FromCelsius, "from", "temperature it started from, °C (default: 20)")
				f.StringVar(&m.Part, "vessel", "", "id of the vessel, where there is more than one")
			}),
		a.newCheck(record.ShotTime, "Seconds a shot takes at a setting, dose and yield", "--seconds 28 --setting 14 --dose 18 --yield 36",
			func(f *pflag.FlagSet, m *record.Measurement) {
				numberFlag(f, &m.Seconds, "seconds", "from the pump's start, s")
				numberFlag(f, &m.Setting, "setting", "of the grinder, in clicks from its zero point")
				numberFlag(f, &m.DoseGrams, "dose", "dry coffee, g")
				numberFlag(f, &m.YieldGrams, "yield", "drink in the cup, g")
			}),
		a.newCheck(record.BrewTemperature, "Temperature of the water at the group", "--celsius 91.5",
			func(f *pflag.FlagSet, m *record.Measurement) {
				numberFlag(f, &m.Celsius, "celsius", "highest steady reading, °C")
				f.StringVar(&m.Part, "group", "", "id of the group, where it matters")
			}),
		a.newCheck(record.PumpPressure, "Pressure of the pump against a blind basket", "--bar 9.1",
			func(f *pflag.FlagSet, m *record.Measurement) {
				numberFlag(f, &m.Bar, "bar", "reading once it stands, bar")
			}),
		a.newCheck(record.ReferenceMass, "What the weighing scale shows for a known mass", "--shown 99.9 --mass 100",
			func(f *pflag.FlagSet, m *record.Measurement) {
				numberFlag(f, &m.ShownGrams, "shown", "what the scale shows, g")
				numberFlag(f, &m.MassGrams, "mass", "what the mass weighs, g")
			}),
		newMeasureShow(a),
	)
	return cmd
}

// ofFigure says in an error about a figure of a check which flag it is of, and that nothing was
// given where nothing was.
func ofFigure(flags *pflag.FlagSet, err error) error {
	var wrong *record.FieldError
	if !errors.As(err, &wrong) {
		return err
	}
	name := strings.TrimSuffix(wrong.Field, "_grams")
	flag := flags.Lookup(name)
	if flag == nil {
		return err
	}
	named := *wrong
	if named.Field = "--" + name; !flag.Changed {
		named.Value = ""
	}
	return &named
}

// newCheck makes the command that writes one kind of check down.
func (a *app) newCheck(kind record.MeasurementKind, short, example string, figures func(*pflag.FlagSet, *record.Measurement)) *cobra.Command {
	var date string
	m := record.Measurement{Kind: kind}
	cmd := &cobra.Command{
		Use:     spell.Kind(kind),
		Short:   short,
		Example: fmt.Sprintf("  limekeep measure %s %s", spell.Kind(kind), example),
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			on, err := dateFlag("--date", date)
			if err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				written, err := j.Measure(ctx, d, on, m)
				return a.answered(ctx, cmd, j, d, written, ofFigure(cmd.Flags(), err))
			})
		},
	}
	flags := cmd.Flags()
	figures(flags, &m)
	flags.StringVar(&m.Equipment, "of", "", "id of the machine, grinder or tools, where there is more than one")
	flags.StringVar(&date, "date", "", "the day it was read (default: today)")
	flags.StringVar(&m.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}
