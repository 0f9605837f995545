package main

import (
	"context"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

func newHistory(a *app) *cobra.Command {
	last, before := 0, int64(0)
	cmd := a.answers(&cobra.Command{
		Use:     "history",
		Short:   "Everything that was written down",
		Long:    "Lists what was written down, oldest first; with --last the latest alone, and with --before those\nbefore a record, so that a long history can be gone through in pages.",
		Example: "  limekeep history\n  limekeep history --last 50\n  limekeep history --last 50 --before 1200",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(ctx context.Context, d *day.Day) error {
				lines, err := d.History(ctx)
				if err != nil {
					return err
				}
				if last < 0 || before < 0 {
					return &record.FieldError{Field: "--last", Value: fmt.Sprint(last), Want: "a number of records, and with --before the number of one"}
				}
				if before > 0 {
					lines = slices.DeleteFunc(lines, func(l day.HistoryLine) bool { return l.Record >= before })
				}
				if last > 0 && len(lines) > last {
					lines = lines[len(lines)-last:]
				}
				return printRows(cmd, a, lines, "", "RECORD\tDAY\tKIND\tFROM\tSAYS", func(l day.HistoryLine) string {
					mark := ""
					if l.Voided != 0 {
						mark = fmt.Sprintf("  VOID by record %d", l.Voided)
					}
					return fmt.Sprintf("%d\t%s\t%s\t%s\t%s%s", l.Record, l.On, l.Kind, say.OneLine(l.Source), say.OneLine(l.Says), mark)
				})
			})
		},
	})
	cmd.Flags().IntVar(&last, "last", 0, "how many of the latest (default: all)")
	cmd.Flags().Int64Var(&before, "before", 0, "only records before the one of this number")
	return cmd
}
