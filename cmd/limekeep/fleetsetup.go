package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/fleetfile"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

func newFleetSetup(a *app) *cobra.Command {
	var template string
	var given api.FleetGiven
	cmd := a.answers(&cobra.Command{
		Use:   "setup FILE.csv",
		Short: "Set many places up from a table, or change them",
		Long: `Reads a table: a first line of headings, then a row a place. A new place is the template, a place
file, with the row's cells in it; a place that is there changes in the row's columns alone and keeps
all else that was said of it. The same table twice changes nothing. All that is wrong is told at
once, by line and column, and then nothing is written. What the table does not name stays as it is.
A cell that is left open says nothing. The file may come from any spreadsheet; one named - is read
from standard input.

Headings: ` + wrapped(strings.Join(fleetfile.Headings(), ", ")) + `.
Any other field of a place file is named by its way through it: place.hardness_unit,
machine.habit.dose_grams, or with an id in place of the word, tap.treatment.filter.rated_litres.`,
		Example: `  limekeep fleet setup places.csv --template cafe.yaml --dry-run
  limekeep fleet setup places.csv --template cafe.yaml`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			var err error
			if given.CSV, err = readNamed(args[0], cmd.InOrStdin(), "the table"); err != nil {
				return err
			}
			if template != "" {
				if given.Template, err = readNamed(template, cmd.InOrStdin(), "the template"); err != nil {
					return err
				}
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				done, err := (&api.FleetSetUp{Days: h.days, Journal: h.journal}).Apply(ctx, m.Today, given)
				if err != nil {
					return fmt.Errorf("%s: %w", args[0], err)
				}
				if a.asJSON {
					return printJSON(cmd, done)
				}
				printFleetSetup(cmd.OutOrStdout(), done)
				return nil
			})
		},
	})
	flags := cmd.Flags()
	flags.StringVar(&template, "template", "", "place file that holds what the columns do not say of new places")
	flags.BoolVar(&given.Whole, "whole-template", false, "have places that are there become as the template says as well, and not in their columns alone")
	flags.BoolVar(&given.DryRun, "dry-run", false, "only tell what would change")
	return cmd
}

// wrapped breaks a text into lines for the help of a command.
func wrapped(text string) string {
	var b strings.Builder
	printWrapped(&b, "", text)
	return strings.TrimSuffix(b.String(), "\n")
}

// mostFileBytes bounds what is read of a file that is named by hand.
const mostFileBytes = 32 << 20

// readNamed reads a whole file, or standard input where it is named -.
func readNamed(path string, stdin io.Reader, what string) (string, error) {
	in := stdin
	if path != "-" {
		file, err := os.Open(path)
		if err != nil {
			return "", fmt.Errorf("%s cannot be read: %w", what, err)
		}
		defer file.Close()
		in = file
	}
	data, err := io.ReadAll(io.LimitReader(in, mostFileBytes+1))
	if err != nil {
		return "", fmt.Errorf("%s cannot be read: %w", what, err)
	}
	if len(data) > mostFileBytes {
		return "", &record.FieldError{Field: path, Value: "more than 32 MiB", Want: "a table with a row for each place"}
	}
	return string(data), nil
}

// mostLines is how many places are listed one by one.
const mostLines = 60

func printFleetSetup(w io.Writer, f api.FleetAnswer) {
	verb := ""
	if f.DryRun {
		verb = "would be "
	}
	shown := 0
	for _, p := range f.Places {
		if p.Became == "the same" {
			continue
		}
		if shown++; shown > mostLines {
			continue
		}
		name := p.Place
		if p.Name != "" && p.Name != p.Place {
			name += " (" + p.Name + ")"
		}
		printWrapped(w, "  ", fmt.Sprintf("%s %s%s", name, verb, p.Says()))
	}
	if shown > mostLines {
		fmt.Fprintf(w, "  and %d more\n", shown-mostLines)
	}
	fmt.Fprintf(w, "%s%d added, %d changed, %d the same\n", verb, f.Added, f.Changed, f.Same)
	if n := len(f.Others); n > 0 {
		text := strings.Join(f.Others[:min(n, 10)], ", ")
		if n > 10 {
			text += fmt.Sprintf(" and %d more", n-10)
		}
		printWrapped(w, "", "not in the table, left as they are: "+text)
	}
	switch {
	case f.DryRun:
		fmt.Fprintln(w, "Nothing was written: this was a dry run.")
	case f.Added > 0:
		fmt.Fprintln(w, "\"limekeep serve\" shows them all, and works their plans out one after the other.")
	}
}
