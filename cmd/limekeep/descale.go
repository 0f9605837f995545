package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/water/descaling"
)

func newDescale(a *app) *cobra.Command {
	var acid string
	var query advice.DescaleQuery
	cmd := &cobra.Command{
		Use:   "descale VESSEL",
		Short: "How to take the scale out of a vessel, or why a workshop must",
		Long: `Plans the descaling of one vessel from what the forecast says is in it: which acid, how much of
it, how many baths, how warm and how long, when a bath is spent and when the rinse is done. What
can hurt and how to make safe come first. VESSEL is machine/vessel, or the vessel's id where no
other machine has one of that name.

The acid is planned for the upper end of the estimate, which nine vessels in ten do not exceed, but
for 20 g at most; how many baths are likely to do stands beside it. A bath in the vessel itself is
never larger than the vessel; all but steam boilers are pumped through from a container. Aluminium,
a maker's prohibition, more than 1 mm or 20 g likely, and crust or flakes of which some is left are
refused: that is an answer too, and the exit status is 0. In JSON "refused" is then true and "baths"
null.`,
		Example: `  limekeep descale steam
  limekeep descale machine/brew --acid lactic --litres 0.6 --json`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			query.Vessel = args[0]
			var err error
			if query.Acid, err = parseAcid(acid); err != nil {
				return err
			}
			if flag := cmd.Flags().Lookup("litres"); flag.Changed && query.Litres == 0 {
				return &record.FieldError{Field: "--litres", Value: "0", Want: "0.02 to 100 litres, what one bath holds"}
			}
			return a.foresee(cmd, func(f *day.Forecast) error {
				plan, err := advice.Descale(f, query)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, plan)
				}
				return printDescaling(cmd.OutOrStdout(), plan)
			})
		},
	}
	cmd.Flags().StringVar(&acid, "acid", "citric", "citric, lactic or sulfamic")
	numberFlag(cmd.Flags(), &query.Litres, "litres", "what one bath holds (default: what the vessel holds)")
	return a.answers(cmd)
}

// parseAcid reads the name of an acid, with or without the word acid.
func parseAcid(text string) (descaling.Acid, error) {
	name := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(text)), " acid")
	for _, acid := range descaling.Acids() {
		if strings.TrimSuffix(string(acid), " acid") == name {
			return acid, nil
		}
	}
	return "", &record.FieldError{Field: "--acid", Value: text, Want: "one of citric, lactic, sulfamic"}
}

// printDescaling writes a plan: what can hurt first.
func printDescaling(w io.Writer, d advice.Descaling) error {
	out := sheetFor(w)
	fmt.Fprintf(out, "%s  [%s]\n\nBefore you start:\n", say.OfTask(d.Title, d.Name), d.Task)
	for _, c := range d.Cautions {
		printWrapped(out, "  ! ", c)
	}
	out.WriteString("Make safe, in this order:\n")
	printNumbered(out, d.MakeSafe)

	since := "since " + d.Fresh.Long()
	if d.Unknown {
		since = "since nobody knows when"
	}
	fmt.Fprintf(out, "\nScale in it today, %s        likely  10 to 90 %%\n", since)
	fmt.Fprintf(out, "  %-43s %s\n", "in all, g", rangeText(d.Grams, 2))
	fmt.Fprintf(out, "  %-43s %s\n", "on the heated wall, mm", rangeText(d.MM, 3))
	for _, doubt := range d.Doubts {
		printWrapped(out, "  - ", doubt)
	}

	switch {
	case d.Refused:
		out.WriteString("\nNot to be descaled by its owner:\n")
		for _, reason := range d.Reasons {
			printWrapped(out, "  - ", reason)
		}
		printWrapped(out, "", d.Instead)
	case d.Clean:
		out.WriteString("\nThere is nothing to descale: by the forecast the vessel is as good as clean.\n")
	default:
		printBaths(out, d.Baths)
		out.WriteString("\nSteps:\n")
		printNumbered(out, d.Steps)
	}
	fmt.Fprintf(out, "\nAfterwards, with what you found:\n  %s\n", d.WriteDown)
	_, err := w.Write(out.Bytes())
	return err
}

// printBaths writes what to weigh, and when a bath and the rinse are done.
func printBaths(w io.Writer, b *advice.BathPlan) {
	where := "in the vessel itself"
	if b.Circulated {
		where = "in a container, pumped through from there and back"
	}
	fmt.Fprintf(w, "\nBaths of %s, %s:\n", b.Acid, where)
	line := func(name, format string, values ...any) {
		fmt.Fprintf(w, "  %-43s %s\n", name, unitsOf(w).Text(fmt.Sprintf(format, values...)))
	}
	if b.Baths == b.LikelyBaths {
		line("baths, one after the other", "%d", b.Baths)
	} else {
		line("baths, one after the other", "up to %d, likely %d", b.Baths, b.LikelyBaths)
	}
	for _, way := range b.Way {
		printWrapped(w, "  - ", way)
	}
	line("water each", "%.3g litres", b.LitresEach)
	line("grams of pure acid each", "%.1f, excess included (%.1f without)", b.GramsEach, b.LeastGramsEach)
	line("grams of pure acid to have ready", "%.0f", b.AcidGrams)
	line("at most", "%.0f °C and %.0f minutes each", b.MostCelsius, b.MostMinutes)
	line("gas from each", "up to %.2g litres of CO2: never in a closed vessel", b.CO2LitresEach)
	fmt.Fprintln(w, "A bath is spent, or the work done, when:")
	for _, sign := range b.SpentSigns {
		printWrapped(w, "  - ", sign)
	}
	fmt.Fprintln(w, "Rinse:")
	printWrapped(w, "  - ", fmt.Sprintf("at least %.2g litres, until pH is within %.1f and conductivity within %.0f %% of the feed; then throw away the first %s of drinks.",
		b.RinseLitres, b.RinsePHWithin, 100*b.RinseConductivityShare, litresText(b.DiscardLitres)))
	fmt.Fprintln(w, "Why so much:")
	for _, why := range b.Why {
		printWrapped(w, "  - ", why)
	}
}

func litresText(litres float64) string {
	if litres == 1 {
		return "litre"
	}
	return fmt.Sprintf("%.2g litres", litres)
}
