package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/say/customary"
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

// usualColumns is how wide sentences are where nobody says how wide it may be, as in a file.
const usualColumns = 96

// A terminal's own width counts within these: below there is no room for a lead and a word,
// and beyond an eye loses the line it came from. Assumption.
const (
	fewestColumns = 40
	mostColumns   = 120
)

// onTerminal reports whether what is written to a writer shows on a terminal, and how wide that
// is at the most.
func onTerminal(w io.Writer) (columns int, is bool) {
	switch w := w.(type) {
	case *sheet:
		return w.columns, w.terminal
	case *inOwnUnits:
		return onTerminal(w.Writer)
	case *os.File:
		if width, _, err := term.GetSize(int(w.Fd())); err == nil && width > 0 {
			return max(width, fewestColumns), true
		}
	}
	return 0, false
}

// columnsOf returns how wide sentences may be that are written to a writer: a terminal's own
// width, or the usual one.
func columnsOf(w io.Writer) int {
	switch w := w.(type) {
	case *sheet:
		return w.columns
	case *inOwnUnits:
		return w.columns
	}
	if width, is := onTerminal(w); is {
		return min(width, mostColumns)
	}
	return usualColumns
}

// sheet is an answer that is put together before it is written, as wide as where it goes.
type sheet struct {
	bytes.Buffer
	columns  int
	terminal bool
	to       customary.Units // in which its sentences are told
}

// sheetFor begins an answer that goes to a writer.
func sheetFor(w io.Writer) *sheet {
	_, terminal := onTerminal(w)
	return &sheet{columns: columnsOf(w), terminal: terminal, to: unitsOf(w)}
}

// printLine writes a line of pieces, each with what parts it from the one before. On a terminal
// that is narrower it is broken between them; elsewhere it stays one line, for what reads lines.
func printLine(w io.Writer, lead string, pieces ...string) {
	width, is := onTerminal(w)
	indent := strings.Repeat(" ", min(utf8.RuneCountInString(lead), max(width/3, 4)))
	line, bare := lead, true
	for _, piece := range pieces {
		if is && !bare && utf8.RuneCountInString(line)+utf8.RuneCountInString(piece) > width {
			fmt.Fprintln(w, line)
			line, piece = indent, strings.TrimLeft(piece, " ,;")
		}
		line += piece
		bare = bare && piece == ""
	}
	fmt.Fprintln(w, line)
}

// printWrapped breaks a sentence into lines under its lead.
func printWrapped(w io.Writer, lead, sentence string) {
	width, indent := columnsOf(w), strings.Repeat(" ", utf8.RuneCountInString(lead))
	line := lead
	for i, word := range strings.Fields(unitsOf(w).Text(sentence)) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
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
