package main

import (
	"context"
	"fmt"
	"strconv"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func newAway(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "away", Short: "Times in which nobody draws anything"}
	cmd.AddCommand(newAwayAdd(a), newAwayEnd(a), newAwayList(a))
	return cmd
}

func newAwayAdd(a *app) *cobra.Command {
	var from, to string
	var away record.Away
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Write down a time away, past or to come",
		Long: `Writes down that nobody draws anything from a day to another: a holiday, or a machine switched off
for the summer. It may lie ahead. Left without --to it lasts until "limekeep away end". A day on
which something was written down all the same counts as written.`,
		Example: `  limekeep away add --from 2026-07-06 --to 2026-07-19
  limekeep away add --machine lever --from 2026-06-01 --note 'switched off for the summer'`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var err error
			if away.From, away.To, err = dateFlags(from, to); err != nil {
				return err
			}
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.AddAway(ctx, d, away)
				return a.written(cmd, written, err)
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&from, "from", "", "the first day away (default: today)")
	flags.StringVar(&to, "to", "", "the last day away (default: left open)")
	flags.StringVar(&away.Machine, "machine", "", "id of the machine that is switched off (default: all of the place)")
	flags.BoolVar(&away.Frost, "frost", false, "it may freeze where the machine stands")
	flags.StringVar(&away.Note, "note", "", "anything worth remembering")
	return a.answers(cmd)
}

func newAwayEnd(a *app) *cobra.Command {
	var last string
	cmd := &cobra.Command{
		Use:   "end [RECORD]",
		Short: "Give the last day of a time away that was left open",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := dateFlag("--to", last)
			if err != nil {
				return err
			}
			var id int64
			if len(args) == 1 {
				if id, err = strconv.ParseInt(args[0], 10, 64); err != nil || id <= 0 {
					return &record.FieldError{Field: "record", Value: args[0], Want: "the number of a record, as `limekeep away list` shows it"}
				}
			}
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				written, err := j.EndAway(ctx, d, id, day)
				return a.written(cmd, written, err)
			})
		},
	}
	cmd.Flags().StringVar(&last, "to", "", "the last day away (default: today)")
	return a.answers(cmd)
}

func newAwayList(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "list",
		Short: "List the times away",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(_ context.Context, d *schedule.Day) error {
				lines := d.Aways()
				if a.asJSON {
					return printJSON(cmd, lines)
				}
				if len(lines) == 0 {
					fmt.Fprintln(cmd.OutOrStdout(), "No time away is written down.")
					return nil
				}
				table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 8, 2, ' ', 0)
				for _, l := range lines {
					fmt.Fprintf(table, "%d\t%s\n", l.Record, l.Says)
				}
				return table.Flush()
			})
		},
	})
}

// dateFlags reads the first and the last day of a period.
func dateFlags(from, to string) (first, last record.Date, err error) {
	if first, err = dateFlag("--from", from); err != nil {
		return 0, 0, err
	}
	last, err = dateFlag("--to", to)
	return first, last, err
}
