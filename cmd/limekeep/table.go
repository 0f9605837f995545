package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule/say/customary"
)

// columns are cells that are lined up when they are flushed, told in an owner's units.
type columns struct {
	*tabwriter.Writer
	to customary.Units
}

// Write takes lines of cells.
func (c *columns) Write(cells []byte) (int, error) {
	if _, err := io.WriteString(c.Writer, c.to.Text(string(cells))); err != nil {
		return 0, err
	}
	return len(cells), nil
}

// inColumns lines up the cells of lines, which tabs part, below heads; none where they are
// empty.
func inColumns(w io.Writer, heads string) *columns {
	to := unitsOf(w)
	if own, ok := w.(*inOwnUnits); ok {
		w = own.Writer // what is in its cells is turned before they are lined up
	}
	table := &columns{tabwriter.NewWriter(w, 0, 8, 2, ' ', 0), to}
	if heads != "" {
		fmt.Fprintln(table, heads)
	}
	return table
}

// printRows prints all of what a command lists: as JSON where that is asked for, else a line
// of cells for each, or a sentence where there is none of it. Without a sentence the heads
// stand alone then. A line that is empty is left out, one of several lines is several.
func printRows[T any](cmd *cobra.Command, a *app, all []T, none, heads string, line func(T) string) error {
	if a.asJSON {
		return printJSON(cmd, all)
	}
	if len(all) == 0 && none != "" {
		fmt.Fprintln(cmd.OutOrStdout(), none)
		return nil
	}
	table := inColumns(cmd.OutOrStdout(), heads)
	for _, one := range all {
		if cells := line(one); cells != "" {
			fmt.Fprintln(table, cells)
		}
	}
	return table.Flush()
}
