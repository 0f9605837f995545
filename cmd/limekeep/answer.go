package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
)

// answered prints what was written down and what follows from it.
func (a *app) answered(ctx context.Context, cmd *cobra.Command, j *journal.Journal, d *day.Day, w journal.Receipt, err error) error {
	if err != nil {
		return err
	}
	answer, err := answerTo(ctx, j, d, w)
	if err != nil { // it is written all the same
		return a.written(cmd, w, nil)
	}
	if a.asJSON {
		return printJSON(cmd, struct {
			journal.Receipt
			Answer advice.Answer `json:"answer"`
		}{w, answer})
	}
	if err := a.written(cmd, w, nil); err != nil {
		return err
	}
	printAnswer(a.tellOwner(cmd.OutOrStdout(), d.Place), answer)
	return nil
}

func answerTo(ctx context.Context, j *journal.Journal, d *day.Day, w journal.Receipt) (advice.Answer, error) {
	after, err := j.After(ctx, d, w)
	if err != nil {
		return advice.Answer{}, err
	}
	f, err := after.Forecast(ctx)
	if err != nil {
		return advice.Answer{}, err
	}
	return advice.AnswerTo(ctx, f, w.Record)
}

// printAnswer writes what follows from a record.
func printAnswer(w io.Writer, a advice.Answer) {
	if a.Water != nil {
		printLines(w, "  ", a.Water.Says)
		if len(a.Water.Mend) > 0 {
			fmt.Fprintln(w, "What would make it better, in this order:")
			printNumbered(w, a.Water.Mend)
		}
		printLines(w, "  measure again: ", a.Water.Again)
	}
	if a.Next != nil {
		printWrapped(w, "  ", a.Next.Says)
	}
	printLines(w, "  ", a.Learnt)
	if len(a.Moved) == 0 && a.Next == nil {
		fmt.Fprintln(w, "No date moved.")
		return
	}
	if len(a.Moved) == 0 {
		fmt.Fprintln(w, "No other date moved.")
		return
	}
	fmt.Fprintln(w, "Dates that moved:")
	for _, m := range a.Moved {
		printWrapped(w, "  ", m.Says)
	}
	if a.Others > 0 {
		fmt.Fprintf(w, "  and %d more\n", a.Others)
	}
}
