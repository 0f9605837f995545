package main

import (
	"context"
	"fmt"
	"net/url"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
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
	var scope string
	cmd := a.answers(&cobra.Command{
		Use:     "add NAME",
		Short:   "Make a password for an app, shown this once",
		Long:    "Makes a password for an app, and prints what has to be entered there. It is printed this once and\nkept nowhere. NAME is yours to choose: of the app, or of the device it runs on.",
		Example: "  limekeep apps add \"Tasks on the phone\"\n  limekeep apps add \"Scale at the bar\" --scope use",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place day.PlaceInfo) error {
				base, forOthers, err := a.base(ctx, db, place.Place)
				if err != nil {
					return err
				}
				password, err := appPasswords{db, place.Place}.Add(ctx, args[0], scope)
				if err != nil {
					return err
				}
				if scope != string(store.ScopeTasks) {
					return a.showToken(cmd, newToken{Name: args[0], Scope: scope, Token: password}, base, place.Today)
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
	cmd.Flags().StringVar(&scope, "scope", string(store.ScopeTasks), "what it opens: tasks (the to-dos), feed (the calendar, to read), use (writing use down) or all")
	baseFlag(cmd)
	return cmd
}

// newToken is what a program comes in with that is no task app.
type newToken struct {
	Name  string `json:"name"` // of the program
	Scope string `json:"scope"`
	Token string `json:"token"`
}

// showToken tells how a token is used, with the day of today in its example.
func (a *app) showToken(cmd *cobra.Command, t newToken, base *url.URL, today record.Date) error {
	if a.asJSON {
		return printJSON(cmd, t)
	}
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "token: %s\n\n", t.Token)
	at := strings.TrimRight(base.String(), "/")
	switch store.Scope(t.Scope) {
	case store.ScopeFeed:
		fmt.Fprintf(out, "calendar: %s/calendar/%s/limekeep.ics\n", at, t.Token)
	case store.ScopeUse:
		fmt.Fprintf(out, "curl -H 'Authorization: Bearer %s' -d shots-shots=2 -d shots-date=%s %s/use/shots\n", t.Token, today, at)
	default:
		fmt.Fprintf(out, "curl -H 'Authorization: Bearer %s' %s/api/due\n", t.Token, at)
	}
	printWrapped(out, "", `It is not shown again, and only a hash of it is kept: a program that lost it gets another, after "limekeep apps revoke".`)
	return nil
}
