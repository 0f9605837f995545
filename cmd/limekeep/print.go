package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// printJSON writes an answer as JSON, as a program would read it.
func printJSON(cmd *cobra.Command, answer any) error {
	encoder := json.NewEncoder(cmd.OutOrStdout())
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(answer)
}

func dateText(d *record.Date) string {
	if d == nil {
		return "beyond"
	}
	return d.String()
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

// written prints what was written down.
func (a *app) written(cmd *cobra.Command, w journal.Receipt, err error) error {
	if err != nil {
		return err
	}
	if a.asJSON {
		return printJSON(cmd, w)
	}
	fmt.Fprintf(cmd.OutOrStdout(), "record %d, %s: %s\n", w.Record, w.On, w.What)
	return nil
}
