package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/corrosion"
	"limekeep/water/figure"
)

func newWaterJudge(a *app) *cobra.Command {
	var line string
	var measured measuredFlags
	cmd := &cobra.Command{
		Use:   "judge",
		Short: "Say what a water test stands for",
		Long: `Says what a water test stands for: the lime a litre could lay down, the rest of the analysis as
far as the values tell, what the water may corrode, and what to measure again. Each number comes
with its 10 and 90 % points over the waters that agree with the test.

Give the values as for "limekeep water add", with no records needed. Without any, the newest test
of the line is judged as the water was where it was sampled.`,
		Example: `  limekeep water judge --hardness "14 dH" --alkalinity "11 dH"
  limekeep water judge --line tap --json`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			values, err := measured.test()
			if err != nil {
				return err
			}
			answer := func(judgement advice.WaterJudgement, err error) error {
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, judgement)
				}
				return printJudgement(cmd.OutOrStdout(), judgement)
			}
			if len(values.Values) > 0 {
				if line != "" {
					return &record.FieldError{Field: "--line", Value: line, Want: "either the line whose newest test is meant, or values"}
				}
				return answer(advice.Judge(values))
			}
			for _, name := range []string{"method", "celsius"} {
				if flag := cmd.Flags().Lookup(name); flag.Changed {
					return &record.FieldError{Field: "--" + name, Value: flag.Value.String(), Want: "at least one value with it, such as --hardness \"14 dH\""}
				}
			}
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				return a.answerIn(cmd, d.Place, func() error { return answer(advice.JudgeLine(d, line)) })
			})
		},
	}
	cmd.Flags().StringVar(&line, "line", "", "id of the water line whose newest test is meant, where there is more than one")
	measured = newMeasuredFlags(cmd.Flags())
	return a.answers(cmd)
}

// printJudgement writes a judgement so that it fits a screen.
func printJudgement(w io.Writer, j advice.WaterJudgement) error {
	out := sheetFor(w)
	printWrapped(out, "", judgedText(j)+".")

	out.WriteString("\nLime that a litre can lay down, mg as CaCO3    likely  10 to 90 %\n")
	fmt.Fprintf(out, "  %-43s %s\n", out.to.Text(fmt.Sprintf("brew water, %.0f °C, closed", j.Brew.Celsius)), rangeText(j.Brew.MgPerL, 0))
	fmt.Fprintf(out, "  %-43s %s\n", out.to.Text(fmt.Sprintf("steam boiler, %.0f °C, CO2 as in air", j.Steam.Celsius)), rangeText(j.Steam.MgPerL, 0))
	if j.Brew.MgPerL.Low < 0 || j.Steam.MgPerL.Low < 0 {
		out.WriteString("  Below zero the water dissolves lime instead.\n")
	}

	out.WriteString("\nWhat the water holds, mg/L                     likely  10 to 90 %\n")
	for _, line := range analysisLines(j) {
		fmt.Fprintf(out, "  %-43s %s\n", line.name, rangeText(line.is, line.decimals))
	}

	out.WriteString("\nFigures of the trade                           likely  10 to 90 %\n")
	printIndex(out, fmt.Sprintf("Langelier, %.0f °C (above 0: scale)", j.Indices.Celsius), j.Indices.Langelier)
	printIndex(out, fmt.Sprintf("Ryznar, %.0f °C (below 6: scale)", j.Indices.Celsius), j.Indices.Ryznar)
	printIndex(out, "Larson-Skold, for iron mains only", j.Indices.LarsonSkold)

	out.WriteString("\nMaterials\n")
	var calm []string
	for _, m := range j.Materials {
		switch {
		case !m.Judged:
			printWrapped(out, "  - ", m.Material+": not judged, since free chlorine was not measured.")
		case len(m.Warnings) == 0:
			calm = append(calm, m.Material)
		}
		for _, warning := range m.Warnings {
			printWrapped(out, "  ! ", fmt.Sprintf("%s, %s: %s.", m.Material, figure.Percent(warning.Probability), warning.Sentence))
		}
	}
	if len(calm) > 0 {
		printWrapped(out, "  - ", "less than 5 % likely to suffer: "+strings.Join(calm, ", ")+".")
	}
	if j.ChlorideLimitFactor.Likely > 1 {
		printWrapped(out, "  - ", fmt.Sprintf("chloride passes %.0f mg/L, too much for stainless steel, once a boiler has concentrated the water %s times.",
			corrosion.StainlessChlorideMgPerL, j.ChlorideLimitFactor.Text(1)))
	}

	out.WriteString("\nMeasure again\n")
	if len(j.Doubts) == 0 {
		out.WriteString("  nothing: the values agree with each other.\n")
	}
	for _, d := range j.Doubts {
		printWrapped(out, "  - ", d.Sentence+".")
	}
	_, err := w.Write(out.Bytes())
	return err
}

// judgedText says which test was judged.
func judgedText(j advice.WaterJudgement) string {
	values := make([]string, len(j.Test.Values))
	for i, m := range j.Test.Values {
		name, unit := string(m.Quantity), " "+string(m.Unit)
		if m.Quantity == water.PH {
			name, unit = "pH", ""
		}
		spread := ""
		if m.Spread > 0 {
			spread = " ± " + figure.Exact(m.Spread)
		}
		values[i] = fmt.Sprintf("%s %s%s%s by %s", name, figure.Exact(m.Value), unit, spread, m.Method)
	}
	text := strings.Join(values, ", ")
	if j.On == nil {
		return "Water with " + text
	}
	where := "as supplied"
	if j.After != "" {
		where = "sampled behind " + j.After
	}
	return fmt.Sprintf("Test of %s on %s (record %d), %s: %s", j.Line, j.On.Long(), j.Record, where, text)
}

// analysisLine is one line of the likely analysis.
type analysisLine struct {
	name     string
	is       figure.Percentiles
	decimals int
}

func analysisLines(j advice.WaterJudgement) []analysisLine {
	a := j.Analysis
	return []analysisLine{
		{"calcium", a.Calcium, 0},
		{"magnesium", a.Magnesium, 1},
		{"sodium", a.Sodium, 0},
		{"alkalinity, as CaCO3", a.Alkalinity, 0},
		{"chloride", a.Chloride, 0},
		{"sulfate", a.Sulfate, 0},
		{"silica", a.Silica, 0},
		{"pH", a.PH, 1},
		{"conductivity at 25 °C, µS/cm", a.Conductivity, 0},
	}
}

// printIndex writes an index of the trade.
func printIndex(w io.Writer, name string, is *figure.Percentiles) {
	name = unitsOf(w).Text(name)
	if is == nil {
		fmt.Fprintf(w, "  %-43s  none: no calcium or no alkalinity\n", name)
		return
	}
	fmt.Fprintf(w, "  %-43s %s\n", name, rangeText(*is, 1))
}

// rangeText writes percentiles for a column: likely, then low to high.
func rangeText(p figure.Percentiles, decimals int) string {
	likely := figure.Fixed(p.Likely, decimals)
	return fmt.Sprintf("%s%s  %s to %s", strings.Repeat(" ", max(0, 7-utf8.RuneCountInString(likely))), likely, figure.Fixed(p.Low, decimals), figure.Fixed(p.High, decimals))
}
