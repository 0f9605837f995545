package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/day"
	"limekeep/store"
)

// newAccount is what has to be entered in an app that was let in.
type newAccount struct {
	Name     string `json:"name"` // of the app
	Server   string `json:"server"`
	User     string `json:"user"`
	Password string `json:"password"`
}

func newAppsAdd(a *app) *cobra.Command {
	cmd := a.answers(&cobra.Command{
		Use:     "add NAME",
		Short:   "Make a password for an app, shown this once",
		Long:    "Makes a password for an app, and prints what has to be entered there. It is printed this once and\nkept nowhere. NAME is yours to choose: of the app, or of the device it runs on.",
		Example: "  limekeep apps add \"Tasks on the phone\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place day.PlaceInfo) error {
				base, forOthers, err := a.base(ctx, db, place.Place)
				if err != nil {
					return err
				}
				password, err := appPasswords{db, place.Place}.Add(ctx, args[0])
				if err != nil {
					return err
				}
				account := newAccount{Name: args[0], Server: web.TaskServer(base), User: place.Place, Password: password}
				if a.asJSON {
					return printJSON(cmd, account)
				}
				out := cmd.OutOrStdout()
				fmt.Fprintf(out, "server address: %s\nuser name:      %s\npassword:       %s\n\n", account.Server, account.User, account.Password)
				printWrapped(out, "", `In the app add an account of the kind CalDAV (it may be called "other" or "calendar account") and enter these three. Hyphens, spaces and capital letters of the password do not matter. It is not shown again: an app that lost it gets another, after "limekeep apps revoke".`)
				if !forOthers {
					printWrapped(out, "", onlyHere)
				}
				return nil
			})
		},
	})
	baseFlag(cmd)
	return cmd
}
