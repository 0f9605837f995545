package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/store"
)

// appPasswords gives the pages the passwords of a place.
type appPasswords struct {
	db    *store.DB
	place string
}

var _ web.Apps = appPasswords{}

// List gives the apps that have a password, by name.
func (p appPasswords) List(ctx context.Context) ([]web.App, error) {
	list, err := p.db.Passwords(ctx, p.place)
	apps := make([]web.App, 0, len(list))
	for _, password := range list {
		app := web.App{Name: password.Name, Created: password.Created}
		if !password.LastUsed.IsZero() {
			app.LastUsed = &password.LastUsed
		}
		apps = append(apps, app)
	}
	return apps, err
}

// Add makes a password for an app, and gives it this once.
func (p appPasswords) Add(ctx context.Context, name string) (string, error) {
	return p.db.AddPassword(ctx, p.place, name)
}

// Revoke makes the password of an app worthless.
func (p appPasswords) Revoke(ctx context.Context, name string) error {
	return p.db.RevokePassword(ctx, p.place, name)
}

func newApps(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "apps",
		Short: "Passwords that let task apps in",
		Long: `Task apps that speak CalDAV show the tasks as to-dos while "limekeep serve" runs. Each app gets a
password of its own, so that one alone can be shut out.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newAddApp(a), newListApps(a), newRevokeApp(a))
	return cmd
}

// newAccount is what has to be entered in an app that was let in.
type newAccount struct {
	Name     string `json:"name"` // of the app
	Server   string `json:"server"`
	User     string `json:"user"`
	Password string `json:"password"`
}

func newAddApp(a *app) *cobra.Command {
	cmd := a.answers(&cobra.Command{
		Use:     "add NAME",
		Short:   "Make a password for an app, shown this once",
		Long:    "Makes a password for an app, and prints what has to be entered there. It is printed this once and\nkept nowhere. NAME is yours to choose: of the app, or of the device it runs on.",
		Example: "  limekeep apps add \"Tasks on the phone\"",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			base, err := a.base()
			if err != nil {
				return err
			}
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place schedule.PlaceInfo) error {
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
				if a.settings.GetString("base") == "" {
					printWrapped(out, "", onlyHere)
				}
				return nil
			})
		},
	})
	baseFlag(cmd)
	return cmd
}

func newListApps(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "list",
		Short: "The apps that have a password, and when each was last used",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place schedule.PlaceInfo) error {
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
				fmt.Fprintln(table, "MADE\tLAST USED\tAPP")
				for _, app := range list {
					used := "never"
					if app.LastUsed != nil {
						used = app.LastUsed.String()
					}
					fmt.Fprintf(table, "%s\t%s\t%s\n", app.Created.In(place.Zone).Format("2006-01-02 15:04"), used, app.Name)
				}
				return table.Flush()
			})
		},
	})
}

func newRevokeApp(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "revoke NAME",
		Short: "Shut an app out: its password works no longer",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place schedule.PlaceInfo) error {
				if err := (appPasswords{db, place.Place}).Revoke(ctx, args[0]); err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: the password is revoked\n", args[0])
				return nil
			})
		},
	}
}
