package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
)

func newMeasureShow(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "show [TASK]",
		Short: "Where all condition checks lead, or those alone that do a task",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.foresee(cmd, func(f *day.Forecast) error {
				var all []day.ConditionInfo
				var err error
				if len(args) == 1 {
					all, err = f.Conditions().Of(args[0])
				} else {
					all = f.Conditions().All()
				}
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, all)
				}
				printConditions(cmd.OutOrStdout(), all)
				return nil
			})
		},
	})
}

func printConditions(w io.Writer, all []day.ConditionInfo) {
	if len(all) == 0 {
		fmt.Fprintln(w, "Nothing was measured yet: `limekeep measure --help` lists the checks.")
	}
	for i, c := range all {
		if i > 0 {
			fmt.Fprintln(w)
		}
		of := c.Equipment
		if c.Part != "" {
			of += ", " + c.Part
		}
		fmt.Fprintf(w, "%s of %s  [%s]\n", c.Kind, of, c.Task)
		for _, r := range c.Readings {
			mark := ""
			switch {
			case r.FarOff:
				mark = "  far off: not followed"
			case r.Before:
				mark = "  before a sudden change"
			}
			fmt.Fprintf(w, "  %s  %s %s%s\n", r.On, signed(r.Value), c.Unit, mark)
		}
		for _, s := range c.Says {
			printWrapped(w, "  - ", s)
		}
	}
}

// signed writes a reading's distance from the first, which itself stands at no distance and
// has no sign.
func signed(x float64) string {
	if text := fmt.Sprintf("%+.2f", x); text != "+0.00" && text != "-0.00" {
		return text
	}
	return "0.00"
}
