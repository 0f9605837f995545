package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/say"
	"limekeep/water/figure"
)

func newSteps(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "steps TASK",
		Short: "How a task is done, what can hurt and how to make safe first",
		Long: `Prints how a task is done: what can hurt and how to make safe first. TASK is its id as
"limekeep tasks" shows it, or as much of it as no other task shares. Licensed work has no steps,
only what to ask for and how to check that it was done.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				p, err := d.Steps(args[0])
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, p)
				}
				printSteps(a.tellOwner(cmd.OutOrStdout(), d.Place), p)
				return nil
			})
		},
	})
}

// printSteps writes a procedure: cautions and making safe before all else.
func printSteps(w io.Writer, p day.Procedure) {
	fmt.Fprintf(w, "%s  [%s]\n\nBefore you start:\n", say.OfTask(p.Title, p.Name), p.Task)
	printLines(w, "  ! ", p.Cautions)
	fmt.Fprintln(w, "Make safe, in this order:")
	printNumbered(w, p.MakeSafe)
	if p.Refuse != "" {
		fmt.Fprintln(w, "Not for you to do:")
		printWrapped(w, "  ! ", p.Refuse)
	}
	fmt.Fprintln(w)
	if p.Who.Booked() {
		printList(w, "Booked with licensed people or a workshop. Ask for:", p.AskFor)
		printList(w, "Check that it was done:", p.Check)
	} else {
		fmt.Fprintf(w, "For the %s, about %s minutes, cooling not counted.\n", p.Who, figure.Exact(p.Minutes))
		if len(p.Needs) > 0 {
			printWrapped(w, "  Starts from: ", strings.Join(p.Needs, ", ")+".")
		}
		if len(p.Parts) > 0 {
			printWrapped(w, "  Uses up: ", strings.Join(p.Parts, "; ")+".")
		}
		if len(p.Tools) > 0 {
			printWrapped(w, "  Have at hand: ", strings.Join(p.Tools, "; ")+".")
		}
		fmt.Fprintln(w, "Steps:")
		printNumbered(w, p.Steps)
	}
	printList(w, "A good result:", []string{p.Good})
	printList(w, "If it is otherwise:", p.Otherwise)
	printList(w, "Write down what you found:", p.NoteDown)
	fmt.Fprintf(w, "Done? %s\n", p.WriteDown)
	if p.Rests != "" {
		printWrapped(w, "It does not fall due: ", p.Rests+".")
	}
}

// printList writes lines under a heading, and nothing where there are none.
func printList(w io.Writer, heading string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintln(w, heading)
	printLines(w, "  - ", lines)
}

func printLines(w io.Writer, lead string, lines []string) {
	for _, line := range lines {
		printWrapped(w, lead, line)
	}
}
