package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
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
				return printRows(cmd, a, list, "No app has a password.", "MADE\tLAST USED\tOPENS\tAPP", func(app web.App) string {
					used := "never"
					if app.LastUsed != nil {
						used = app.LastUsed.String()
					}
					return fmt.Sprintf("%s\t%s\t%s\t%s", app.Created.In(place.Zone).Format("2006-01-02 15:04"), used, app.Scope, app.Name)
				})
			})
		},
	})
}
