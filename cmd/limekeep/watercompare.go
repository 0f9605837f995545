package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say/customary"
	"limekeep/water"
	"limekeep/water/figure"
)

func newWaterCompare(a *app) *cobra.Command {
	var query advice.CompareQuery
	var kinds, sources []string
	var method string
	cmd := &cobra.Command{
		Use:   "compare",
		Short: "Put the present water beside others",
		Long: `Puts the present water of a line beside others, with every vessel and cartridge fresh today: how
many days until descaling, how long a cartridge lasts and costs, what reaches the machine, and what
it may corrode. Days are likely ones, with the 10 and 90 % points behind them.

Without a flag every kind of treatment is compared. --bypass sets other shares of water that go
round the exchanger, --blend shares of raw water behind a membrane, --kind other treatments of the
present cartridge's size, --test another source, such as bottled or a neighbour's water.`,
		Example: `  limekeep water compare
  limekeep water compare --bypass 0,0.3,0.5 --cost-per-cartridge 18 --currency EUR
  limekeep water compare --kind none,reverse-osmosis --blend 0.1,0.2
  limekeep water compare --test "hardness=4 dH,alkalinity=3 dH,ph=7.2 by meter"`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			for _, kind := range kinds {
				query.Kinds = append(query.Kinds, strings.ReplaceAll(strings.TrimSpace(kind), "-", " "))
			}
			if query.Currency != "" && query.CartridgePrice == 0 {
				return &record.FieldError{Field: "--currency", Value: query.Currency, Want: "a price with it, --cost-per-cartridge"}
			}
			usual, err := water.ParseMethod(method)
			if err != nil {
				return fmt.Errorf("--method: %w", err)
			}
			for i, text := range sources {
				test, err := parseSource(text, usual)
				if err != nil {
					return err
				}
				name := "other source"
				if len(sources) > 1 {
					name = fmt.Sprintf("other source %d", i+1)
				}
				query.Sources = append(query.Sources, advice.CompareSource{Name: name, Test: test})
			}
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				comparison, err := advice.CompareWaters(cmd.Context(), d, query)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, comparison)
				}
				return printComparison(a.tellOwner(cmd.OutOrStdout(), d.Place), comparison)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&query.Line, "line", "", "id of the water line, where there is more than one")
	flags.StringSliceVar(&kinds, "kind", nil, "treatments: softener, decarboniser, mixed, reverse-osmosis, none")
	flags.Float64SliceVar(&query.Bypasses, "bypass", nil, "shares of the water that go round an exchanger, 0 to 0.9")
	flags.Float64SliceVar(&query.Blends, "blend", nil, "shares of raw water blended in behind a membrane, 0 to 0.9")
	flags.StringArrayVar(&sources, "test", nil, "another source by its test: \"hardness=14 dH,alkalinity=11 dH\"; can be given again")
	flags.StringVar(&method, "method", string(water.MethodDrop), "how --test was measured: strip, drop, meter or laboratory")
	numberFlag(flags, &query.Hydrogen, "hydrogen-share", "share of a mixed exchanger that is on hydrogen (default: the present one's, or 0.5)")
	numberFlag(flags, &query.RatedLitres, "rated-litres", "litres that a compared cartridge treats (default: the present one's)")
	numberFlag(flags, &query.RatedDegrees, "rated-hardness", "at this hardness, German degrees (default: the present one's)")
	numberFlag(flags, &query.CartridgePrice, "cost-per-cartridge", "price of a cartridge or a membrane")
	flags.StringVar(&query.Currency, "currency", "", "of the price, such as EUR")
	return a.answers(cmd)
}

// parseSource reads --test, the test of another source: quantity=value, commas between.
// A comma that no quantity follows is a decimal one.
func parseSource(text string, method water.Method) (water.Test, error) {
	var test water.Test
	var parts []string
	for _, part := range strings.Split(text, ",") {
		if n := len(parts); n > 0 && !strings.Contains(part, "=") {
			parts[n-1] += "," + part
			continue
		}
		parts = append(parts, part)
	}
	for _, part := range parts {
		name, value, ok := strings.Cut(part, "=")
		if !ok {
			return test, &record.FieldError{Field: "--test", Value: part, Want: `a quantity and its value, such as "hardness=14 dH"`}
		}
		q, err := water.ParseQuantity(strings.TrimSpace(name))
		if err != nil {
			return test, fmt.Errorf("--test: %w", err)
		}
		m, err := parseMeasured(q, value, method)
		if err != nil {
			return test, fmt.Errorf("--test: %w", err)
		}
		test.Values = append(test.Values, m)
	}
	if err := test.Validate(); err != nil {
		return test, fmt.Errorf("--test: %w", err)
	}
	return test, nil
}

// printComparison writes a line for each water, and below what they may harm.
func printComparison(w io.Writer, c advice.WaterComparison) error {
	out := sheetFor(w)
	priced := slices.ContainsFunc(c.Waters, func(w advice.ComparedWater) bool { return w.Cartridge != nil && w.Cartridge.Yearly != nil })
	_, unit := out.to.HardnessOf(0)
	header := []string{"WATER"}
	for _, v := range c.Waters[0].Vessels {
		header = append(header, "DESCALE "+strings.ToUpper(v.Vessel))
	}
	header = append(header, "CARTRIDGE")
	if priced {
		header = append(header, strings.TrimSpace(c.Currency+" A YEAR"))
	}
	header = append(header, "HARDNESS", "ALKALINITY", "PH", "CHLORIDE")
	table := inColumns(out, strings.Join(header, "\t"))
	for _, water := range c.Waters {
		fmt.Fprintln(table, strings.Join(comparedCells(water, priced, out.to), "\t"))
	}
	if err := table.Flush(); err != nil {
		return err
	}
	printWrapped(out, "", "Days from fresh today to being due: likely, and from the 10 to the 90 % point. Hardness and alkalinity in "+string(unit)+" and chloride in mg/L, as they reach the machine behind a fresh cartridge.")
	printHarm(out, c.Waters)
	out.WriteString("\nTaken for granted:\n")
	for _, n := range c.Notes {
		printWrapped(out, "  - ", n)
	}
	_, err := w.Write(out.Bytes())
	return err
}

// comparedName names a water, and says of the present one that it is.
func comparedName(water advice.ComparedWater) string {
	if water.Present {
		return "as it is: " + water.Name
	}
	return water.Name
}

// comparedCells gives the cells of one water's line.
func comparedCells(compared advice.ComparedWater, priced bool, to customary.Units) []string {
	cells := []string{comparedName(compared)}
	for _, v := range compared.Vessels {
		cells = append(cells, intervalText(v.Descale))
	}
	cartridge, cost := "-", "-"
	if compared.Cartridge != nil {
		cartridge = intervalText(compared.Cartridge.Days)
		if compared.Cartridge.Yearly != nil {
			cost = compared.Cartridge.Yearly.Text(0)
		}
	}
	cells = append(cells, cartridge)
	if priced {
		cells = append(cells, cost)
	}
	r := compared.Reaches
	if r == nil {
		return append(cells, "?", "?", "?", "?")
	}
	hardness, _ := to.HardnessOf(r.Hardness.Likely)
	alkalinity, unit := to.HardnessOf(r.Alkalinity.Likely)
	decimals := 0
	if unit != water.MgPerLCaCO3 {
		decimals = 1
	}
	return append(cells, figure.Fixed(hardness, decimals), figure.Fixed(alkalinity, decimals), figure.Fixed(r.PH.Likely, 1), figure.Fixed(r.Chloride.Likely, 0))
}

// printHarm writes what the waters may harm; those that harm alike together.
func printHarm(w io.Writer, waters []advice.ComparedWater) {
	var order []string
	alike := map[string][]string{}
	for _, water := range waters {
		said := sheetFor(w)
		for _, warning := range water.Warnings {
			printWrapped(said, "  - ", fmt.Sprintf("%s, %s: %s.", warning.Code, figure.Percent(warning.Probability), warning.Sentence))
		}
		for _, v := range water.Vessels {
			if v.ChlorideAfterYear != nil {
				printWrapped(said, "  - ", fmt.Sprintf("chloride in the %s after a year: %.0f mg/L, or %.0f with half of its water replaced each month.", v.Vessel, *v.ChlorideAfterYear, *v.ChlorideWithDrains))
			}
		}
		text := said.String()
		if text == "" {
			continue
		}
		if alike[text] == nil {
			order = append(order, text)
		}
		alike[text] = append(alike[text], comparedName(water))
	}
	for _, text := range order {
		fmt.Fprintln(w)
		printWrapped(w, "", strings.Join(alike[text], "; ")+":")
		io.WriteString(w, text)
	}
}

// intervalText writes days: likely, then early to late.
func intervalText(i advice.Interval) string {
	day := func(n *int) string {
		if n == nil {
			return "> 5 years"
		}
		return fmt.Sprint(*n)
	}
	if i.Early == nil {
		return "> 5 years"
	}
	if i.Likely != nil && i.Late != nil && *i.Early == *i.Late {
		return day(i.Likely) // a limit by the calendar alone
	}
	return fmt.Sprintf("%s (%s to %s)", day(i.Likely), day(i.Early), day(i.Late))
}
