package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
)

func newFleetList(a *app) *cobra.Command {
	group, asCSV := "", false
	cmd := a.answers(&cobra.Command{
		Use:   "list",
		Short: "List the places, by group; as a table that \"fleet setup\" takes",
		Long: `Lists the places. With --csv it is a table for a spreadsheet: change cells of it and give it to
"limekeep fleet setup". A cell that begins like a formula has an apostrophe before it.`,
		Example: "  limekeep fleet list --group \"Blue Cups\"\n  limekeep fleet list --csv > places.csv",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				rows, err := (&api.FleetSetUp{Days: h.days}).Table(ctx, m.Today, group)
				switch {
				case err != nil:
					return err
				case a.asJSON:
					return printJSON(cmd, rows)
				case asCSV:
					return api.WriteFleetTable(cmd.OutOrStdout(), rows)
				}
				table := inColumns(cmd.OutOrStdout(), "PLACE\tNAME\tGROUP\tADDRESS\tWATER\tMACHINE\tSHOTS A DAY")
				for _, r := range rows {
					fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", r["place"], r["name"], r["group"], r["address"], r["water district"], r["machine"], r["weekday shots"])
				}
				return table.Flush()
			})
		},
	})
	cmd.Flags().StringVar(&group, "group", "", "only places of this chain or customer")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "as a table for a spreadsheet")
	return cmd
}

// distinct returns words once each, in their order.
func distinct(words []string) []string {
	var once []string
	seen := map[string]bool{}
	for _, w := range words {
		if !seen[w] {
			seen[w] = true
			once = append(once, w)
		}
	}
	return once
}
