package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/shotlog"
	"limekeep/schedule/journal"
	"limekeep/schedule/say"
)

// printUse prints what became of a file.
func (a *app) printUse(cmd *cobra.Command, log *shotlog.Log, outcome journal.UseImport) error {
	if a.asJSON {
		questions := []string{}
		for _, q := range log.Questions() {
			questions = append(questions, q.String())
		}
		return printJSON(cmd, struct {
			journal.UseImport
			Notes     []string `json:"notes,omitempty"`
			Questions []string `json:"questions,omitempty"`
		}{outcome, log.Notes(), questions})
	}
	out := cmd.OutOrStdout()
	if outcome.Preview {
		printPreview(out, log, outcome)
		return nil
	}
	printImport(out, outcome)
	printChanges(out, outcome)
	for _, note := range log.Notes() {
		fmt.Fprintln(out, note)
	}
	return nil
}

func printImport(out io.Writer, r journal.UseImport) {
	same := r.Known
	if r.Replaced {
		same -= r.Changed
	}
	if r.ID == 0 {
		fmt.Fprintf(out, "took 0 rows: all %d were known already\n", r.Known)
		return
	}
	fmt.Fprintf(out, "took %s from %s to %s as record %d", counted(r.Added, "row"), r.From, r.To, r.ID)
	if same > 0 {
		fmt.Fprintf(out, "; %d more were known already", same)
	}
	fmt.Fprintln(out)
	printUnknownDrinks(out, r)
}

// printChanges shows rows that came again and say something else.
func printChanges(out io.Writer, r journal.UseImport) {
	if r.Changed == 0 {
		return
	}
	became := "left as it was; --replace takes what they say now"
	switch {
	case r.Replaced && r.Preview:
		became = "it would be replaced"
	case r.Replaced:
		became = "replaced"
	}
	fmt.Fprintf(out, "%s known, with other figures or words now: %s\n", changedRows(r.Changed), became)
	if r.Changes == nil {
		return
	}
	for _, c := range r.Changes.Rows {
		when := c.Given.Date.String()
		if c.Given.Minute >= 0 {
			when += fmt.Sprintf(" %02d:%02d", c.Given.Minute/60, c.Given.Minute%60)
		}
		fmt.Fprintf(out, "  %s: %s\n", when, strings.Join(say.UseDifferences(c), ", "))
	}
	if n := r.Changed - len(r.Changes.Rows); n > 0 {
		fmt.Fprintf(out, "  and %d more\n", n)
	}
}

func changedRows(n int) string {
	if n == 1 {
		return "1 row is"
	}
	return fmt.Sprintf("%d rows are", n)
}

func printUnknownDrinks(out io.Writer, r journal.UseImport) {
	if len(r.UnknownDrinks) > 0 {
		fmt.Fprintf(out, "taken for drinks without milk or hot water: %s; name them under habit: drinks: in the place file where that is wrong\n", strings.Join(r.UnknownDrinks, ", "))
	}
}

// printPreview shows how a file was understood.
func printPreview(out io.Writer, log *shotlog.Log, r journal.UseImport) {
	fmt.Fprintf(out, "columns: %s\n", log.Columns())
	if order := log.Order(); order == shotlog.DayFirst || order == shotlog.MonthFirst {
		fmt.Fprintf(out, "dates: %s\n", order)
	}
	table := inColumns(out, "DATE\tTIME\tSHOTS\tDOSE G\tYIELD G\tSECONDS\tSTEAMED\tHOT WATER L\tGRIND\tDRINK\tBEANS\tNOTE")
	for _, row := range r.First {
		clock := "-"
		if row.Minute >= 0 {
			clock = fmt.Sprintf("%02d:%02d", row.Minute/60, row.Minute%60)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", row.Date, clock, orDash(row.Shots), orDash(row.DoseGrams), orDash(row.YieldGrams),
			orDash(row.Seconds), orDash(row.Steamed), orDash(row.HotWaterLitres), cut(row.Grind), cut(row.Drink), cut(row.Beans), cut(row.Note))
	}
	table.Flush()
	rows := r.Added + r.Known
	if r.Replaced {
		rows -= r.Changed // which count as added and as known
	}
	shots := "1 shot"
	if r.Shots != 1 {
		shots = fmt.Sprintf("%.10g shots", r.Shots)
	}
	fmt.Fprintf(out, "%s from %s to %s, %s; known already: %d\n", counted(rows, "row"), r.From, r.To, shots, r.Known)
	printChanges(out, r)
	printUnknownDrinks(out, r)
	for _, note := range log.Notes() {
		fmt.Fprintln(out, note)
	}
	for _, q := range log.Questions() {
		fmt.Fprintf(out, "to be said before it is written: %s\n", q)
	}
	fmt.Fprintln(out, "nothing was written")
}

// counted writes so many of something.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// orDash writes a number, and a dash for nothing.
func orDash(x float64) string {
	if x == 0 {
		return "-"
	}
	return fmt.Sprintf("%.10g", x)
}

// cut keeps words to a width for a table.
func cut(text string) string {
	const most = 24
	if runes := []rune(strings.Join(strings.Fields(text), " ")); len(runes) > most {
		return string(runes[:most-1]) + "…"
	} else if len(runes) == 0 {
		return "-"
	} else {
		return string(runes)
	}
}
