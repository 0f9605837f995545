package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/store"
)

func newAppsRevoke(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "revoke NAME",
		Short: "Shut an app out: its password works no longer",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place day.PlaceInfo) error {
				if err := (appPasswords{db, place.Place}).Revoke(ctx, args[0]); err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: the password is revoked\n", args[0])
				return nil
			})
		},
	}
}
