package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// printJSON writes an answer as JSON, as a program would read it.
func printJSON(cmd *cobra.Command, answer any) error {
	encoder := json.NewEncoder(cmd.OutOrStdout())
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(answer)
}

// printDues writes what is due, the soonest first, a line each.
func printDues(w io.Writer, dues []schedule.Due, today record.Date) error {
	if len(dues) == 0 {
		fmt.Fprintln(w, "Nothing falls due: there is no equipment that wears.")
		return nil
	}
	table := tabwriter.NewWriter(w, 0, 8, 2, ' ', 0)
	fmt.Fprintln(table, "LIKELY\tWINDOW\tSITTING\tTASK")
	for _, d := range dues {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s  [%s]\n", likelyText(d, today), windowText(d), sittingText(d), d.Title, d.Task)
	}
	return table.Flush()
}

func likelyText(d schedule.Due, today record.Date) string {
	switch {
	case d.Beyond:
		return "beyond 5 years"
	case d.Overdue:
		return d.Likely.String() + " overdue"
	case *d.Likely == today:
		return d.Likely.String() + " today"
	}
	return d.Likely.String()
}

func windowText(d schedule.Due) string {
	return dateText(d.Early) + " to " + dateText(d.Late)
}

func dateText(d *record.Date) string {
	if d == nil {
		return "beyond"
	}
	return d.String()
}

func sittingText(d schedule.Due) string {
	switch {
	case d.Routine:
		return "daily routine"
	case d.OnItsDay:
		return "on its day"
	case d.Sitting == nil:
		return "-"
	}
	return d.Sitting.Format("Mon 2006-01-02 15:04")
}

// printDue writes one task in full: what can hurt first, then when and why.
func printDue(w io.Writer, d schedule.Due, today record.Date) {
	fmt.Fprintf(w, "%s, %s  [%s]\n\nBefore you start:\n", d.Title, d.Name, d.Task)
	for _, c := range d.Cautions {
		printWrapped(w, "  ! ", c)
	}
	fmt.Fprintln(w, "Make safe, in this order:")
	for i, s := range d.MakeSafe {
		printWrapped(w, fmt.Sprintf("  %d. ", i+1), s)
	}
	if d.Rests != "" {
		fmt.Fprintln(w)
		printLines(w, "  - ", d.Why)
		return
	}
	fmt.Fprintf(w, "\nLikely due %s, window %s, sitting %s.\n", likelyText(d, today), windowText(d), sittingText(d))
	for _, g := range d.Gauges {
		fmt.Fprintf(w, "  %s %.2f  %s\n", bar(g.Reading), g.Reading, g.Name)
	}
	fmt.Fprintln(w, "Why:")
	for _, s := range d.Why {
		printWrapped(w, "  - ", s)
	}
}

// bar draws a reading from 0 to 1; what is beyond the limit shows at its end.
func bar(reading float64) string {
	const width = 20
	full := int(reading * width)
	if full > width {
		return "[" + strings.Repeat("#", width) + ">"
	}
	return "[" + strings.Repeat("#", max(full, 0)) + strings.Repeat(".", width-max(full, 0)) + "]"
}

// printWrapped breaks a sentence into lines under its lead.
func printWrapped(w io.Writer, lead, sentence string) {
	const width = 96
	indent := strings.Repeat(" ", len(lead))
	line := lead
	for i, word := range strings.Fields(sentence) {
		if i > 0 && len(line)+1+len(word) > width {
			fmt.Fprintln(w, line)
			line = indent + word
			continue
		}
		if i > 0 {
			line += " "
		}
		line += word
	}
	fmt.Fprintln(w, line)
}

// printNumbered writes sentences one below the other, with their numbers.
func printNumbered(w io.Writer, sentences []string) {
	for i, s := range sentences {
		printWrapped(w, fmt.Sprintf("  %d. ", i+1), s)
	}
}
