package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/schedule"
)

func newCheck(a *app) *cobra.Command {
	full := false
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Look the file of records over",
		Long: `Looks at the pages of the file, and with --full at everything: that each record can be read and is as
it was written (by its checksum), that what points at a record finds one, and that sums are those of
their rows. Nothing is changed; the exit status is not zero where something is wrong.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				look, what := h.db.CheckQuick, "its pages are whole; --full looks at every record"
				if h.db.OnServer() {
					what = "it answers, and looks after its own pages; --full looks at every record"
				}
				if full {
					look, what = h.db.Check, "every record is as it was written"
				}
				if err := look(ctx); err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: %s\n", h.db.Path(), what)
				return nil
			})
		},
	}
	cmd.Flags().BoolVar(&full, "full", false, "look at every record")
	return cmd
}
