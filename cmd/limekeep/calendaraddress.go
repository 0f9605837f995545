package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/day"
	"limekeep/store"
)

func newCalendarAddress(a *app) *cobra.Command {
	var replace, codes bool
	cmd := a.answers(&cobra.Command{
		Use:   "address",
		Short: "The addresses to subscribe to",
		Long: `Prints the addresses that a calendar program subscribes to, of the place and of each piece of
equipment, while "limekeep serve" runs. Whoever knows one can read the plan.`,
		Example: "  limekeep calendar address --qr --base http://192.168.1.20:8321\n  limekeep calendar address --new",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askStore(cmd, func(ctx context.Context, db *store.DB, place day.PlaceInfo) error {
				base, forOthers, err := a.base(ctx, db, place.Place)
				if err != nil {
					return err
				}
				get := db.Secret
				if replace {
					get = db.ReplaceSecret
				}
				secret, err := get(ctx, place.Place)
				if err != nil {
					return err
				}
				all := web.Subscriptions(base, secret, place)
				if a.asJSON {
					return printJSON(cmd, all)
				}
				if replace {
					printWrapped(cmd.OutOrStdout(), "", "The secret is replaced. Subscriptions under the old addresses are dead; subscribe again with these:")
					fmt.Fprintln(cmd.OutOrStdout())
				}
				if err := printSubscriptions(cmd.OutOrStdout(), all, codes); err != nil {
					return err
				}
				if !forOthers {
					fmt.Fprintln(cmd.OutOrStdout())
					printWrapped(cmd.OutOrStdout(), "", onlyHere)
				}
				return nil
			})
		},
	})
	cmd.Flags().BoolVar(&replace, "new", false, "replace the secret in the addresses first; every old subscription goes dead")
	cmd.Flags().BoolVar(&codes, "qr", false, "draw a QR code of each address, for a phone")
	baseFlag(cmd)
	return cmd
}

// onlyHere is said of addresses that nobody gave a base for.
const onlyHere = "This reaches programs on this computer only; --base names the address that others use."

// printSubscriptions writes addresses, and the codes of those for a camera.
func printSubscriptions(out io.Writer, all []web.Subscription, codes bool) error {
	for i, s := range all {
		if i > 0 {
			fmt.Fprintln(out)
		}
		what := s.Name
		if s.Equipment != "" {
			what += " [" + s.Equipment + "]"
		}
		fmt.Fprintf(out, "%s\n  %s\n  %s\n", what, s.Address, s.Webcal)
		if !codes {
			continue
		}
		code, err := web.NewQRCode(s.Webcal)
		if err != nil {
			return err
		}
		fmt.Fprint(out, code.Terminal())
	}
	return nil
}
