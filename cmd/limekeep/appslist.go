package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/store"
)

func newAppsList(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "list",
		Short: "The apps that have a password, and when each was last used",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place day.PlaceInfo) error {
				list, err := appPasswords{db, place.Place}.List(ctx)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, list)
				}
				if len(list) == 0 {
					fmt.Fprintln(cmd.OutOrStdout(), "No app has a password.")
					return nil
				}
				table := tabwriter.NewWriter(cmd.OutOrStdout(), 0, 8, 2, ' ', 0)
				fmt.Fprintln(table, "MADE\tLAST USED\tOPENS\tAPP")
				for _, app := range list {
					used := "never"
					if app.LastUsed != nil {
						used = app.LastUsed.String()
					}
					fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", app.Created.In(place.Zone).Format("2006-01-02 15:04"), used, app.Scope, app.Name)
				}
				return table.Flush()
			})
		},
	})
}
