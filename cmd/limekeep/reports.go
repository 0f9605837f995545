package main

import (
	"context"
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

func newReports(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "reports [RECORD]",
		Short: "Service reports that were signed",
		Long: `Lists the reports of visits that were signed, the newest first, or shows one. A report stays as it was
signed; what was put right since is told beside it.`,
		Example: "  limekeep reports\n  limekeep reports 61",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 {
				id, err := strconv.ParseInt(args[0], 10, 64)
				if err != nil {
					return &record.FieldError{Field: "record", Value: args[0], Want: "the number of a signed report, as `limekeep reports` shows it"}
				}
				return a.ofRecord(cmd, id, func(ctx context.Context, _ *journal.Journal, d *day.Day) error {
					report, err := advice.ReportSigned(ctx, d, id)
					if err != nil {
						return err
					}
					if a.asJSON {
						return printJSON(cmd, report)
					}
					printReport(cmd.OutOrStdout(), d, report)
					return nil
				})
			}
			return a.ask(cmd, func(ctx context.Context, d *day.Day) error {
				reports, err := advice.ReportsSigned(ctx, d)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, reports)
				}
				if len(reports) == 0 {
					fmt.Fprintln(cmd.OutOrStdout(), "No report was signed.")
				}
				for _, r := range reports {
					fmt.Fprintf(cmd.OutOrStdout(), "%d  %s  %d done, %d left, signed by %s, %d put right since\n", r.Record, r.On, len(r.Done), len(r.Left), r.SignedBy, len(r.Corrections))
				}
				return nil
			})
		},
	})
}

// printReport writes a report as it was signed, and what was put right since.
func printReport(w io.Writer, d *day.Day, r advice.SignedReport) {
	const minute = "2006-01-02 15:04"
	fmt.Fprintf(w, "Service report, record %d\n%s, %s to %s, by %s\n", r.Record, d.Info().Name, r.From.In(d.Zone).Format(minute), r.To.In(d.Zone).Format("15:04"), r.By)
	if len(r.Corrections) > 0 {
		fmt.Fprintln(w, "\nPut right since it was signed:")
		for _, c := range r.Corrections {
			printWrapped(w, "  - ", fmt.Sprintf("%s, record %d, written down %s", c.Says, c.Record, c.Entered.In(d.Zone).Format(minute)))
		}
	}
	fmt.Fprintln(w, "\nDone and found:")
	for _, x := range r.Done {
		next := ""
		if !x.Next.IsZero() {
			next = "; likely due again " + x.Next.Long()
		}
		printWrapped(w, "  - ", fmt.Sprintf("%s: %s, record %d%s", say.OfTask(x.Title, x.Name), x.Says, x.Record, next))
	}
	if len(r.Left) > 0 {
		fmt.Fprintln(w, "\nNot done:")
		for _, x := range r.Left {
			printWrapped(w, "  - ", say.OfTask(x.Title, x.Name))
		}
	}
	fmt.Fprintf(w, "\nSigned by %s, %s\n", r.SignedBy, r.SignedAt.In(d.Zone).Format(minute))
	if r.Note != "" {
		printWrapped(w, "  ", say.OneLine(r.Note))
	}
}
