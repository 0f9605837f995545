package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
)

func newUseShow(a *app) *cobra.Command {
	var machine, by, from, to string
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Litres, shots, kilograms and hours, where they come from, and what is to come",
		Long: `Adds up what a machine drew and ground by day, week or month, lists the records that the totals
came from, compares them with bags of coffee and the water meter, and shows what is to be expected
of the days to come: the likely amount, and the bounds that one chance in ten each lies beyond.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			first, err := dateFlag("--from", from)
			if err != nil {
				return err
			}
			last, err := dateFlag("--to", to)
			if err != nil {
				return err
			}
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				show, err := d.ShowUse(day.UseQuery{Machine: machine, By: day.Period(by), From: first, To: last})
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, show)
				}
				printUse(a.tellOwner(cmd.OutOrStdout(), d.Place), show)
				return nil
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&machine, "machine", "", "id of the machine, where there is more than one")
	flags.StringVar(&by, "by", string(day.ByWeek), "day, week or month")
	flags.StringVar(&from, "from", "", "the first day (default: 14 days, 8 weeks or 12 months back)")
	flags.StringVar(&to, "to", "", "the last day (default: today)")
	return a.answers(cmd)
}

// printUse shows the use of a machine: cautions first.
func printUse(w io.Writer, s day.UseShow) {
	fmt.Fprintf(w, "%s  [%s]\n", s.Name, s.Machine)
	for _, c := range s.Cautions {
		printWrapped(w, "  ! ", c)
	}
	fmt.Fprintln(w)
	table := inColumns(w, strings.ToUpper(string(s.By))+"\tLITRES\tSHOTS\tKG\tHOURS HOT\tDAYS")
	for _, p := range append(s.Periods, s.Total) {
		name := periodName(s.By, p)
		if p.From == s.Total.From && p.To == s.Total.To && len(s.Periods) > 1 {
			name = "total"
		}
		fmt.Fprintf(table, "%s\t%.1f\t%.0f\t%.2f\t%.1f\t%s\n", name, p.Litres, p.Shots, p.Kilograms, p.HotHours, p.RestsOn())
		if len(s.Periods) == 1 {
			break // it is the total
		}
	}
	table.Flush()
	printSources(w, s)
	printForecast(w, s)
}

func periodName(by day.Period, p day.UsePeriod) string {
	switch by {
	case day.ByDay:
		return p.From.String()
	case day.ByMonth:
		return p.From.String()[:7]
	}
	return p.From.String() + " to " + p.To.String()
}

func printSources(w io.Writer, s day.UseShow) {
	fmt.Fprintln(w, "\nWhere it comes from:")
	table := inColumns(w, "")
	for _, o := range s.Sources {
		name := o.Basis
		if o.Record > 0 {
			name = fmt.Sprintf("%s, record %d", o.Basis, o.Record)
		}
		note := o.Says
		if o.NotCounted > 0 {
			note = strings.TrimPrefix(fmt.Sprintf("%s; %s not counted, since a more trusted record has them", note, counted(o.NotCounted, "day")), "; ")
		}
		fmt.Fprintf(table, "  %s\t%s\t%.0f shots\t%s\n", name, counted(o.Days, "day"), o.Shots, note)
	}
	table.Flush()
	for _, m := range s.Measured {
		line := fmt.Sprintf("%s, %s to %s: %.2f %s measured, %.2f accounted for", m.Of, m.From, m.To, m.Measured, m.Unit, m.Accounted)
		switch {
		case m.Wrong != "":
			line = fmt.Sprintf("%s, %s to %s: corrects nothing: %s", m.Of, m.From, m.To, m.Wrong)
		case m.Rest > 0.005 || m.Rest < -0.005:
			line += fmt.Sprintf(", %.2f unexplained", m.Rest)
		}
		printWrapped(w, "  ", line)
	}
}

func printForecast(w io.Writer, s day.UseShow) {
	fmt.Fprintln(w, "\nWhat is to come, likely (one chance in ten below, one above):")
	table := inColumns(w, "")
	for _, f := range s.Forecast {
		fmt.Fprintf(table, "  next %d days\t%s litres\t%s shots\t%s kg\t%.0f hours hot\n", f.Days, f.Litres.Text(1), f.Shots.Text(0), f.Kilograms.Text(2), f.HotHours)
	}
	table.Flush()
	var week []string
	for _, d := range s.Week {
		week = append(week, fmt.Sprintf("%s %.1f", d.Day[:3], d.Shots))
	}
	fmt.Fprintf(w, "  shots by weekday: %s\n", strings.Join(week, ", "))
	fmt.Fprintln(w, "\nWhere several records speak of a day, the first of these counts:")
	for i, t := range s.Trust {
		printWrapped(w, fmt.Sprintf("  %d. ", i+1), t)
	}
}
