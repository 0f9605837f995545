package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"limekeep/schedule"
)

func newPassword(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "password",
		Short: "The password that the pages ask for",
		Long: `Sets the password that the pages ask for, or takes it away. Other computers reach no page without
one. Programs come in with tokens of their own ("limekeep apps add").`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newPasswordSet(a), newPasswordRemove(a), newPasswordSignOut(a))
	return cmd
}

func newPasswordSet(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "set",
		Short:   "Set the password of the pages, and sign everybody out",
		Long:    "Asks for a password twice, without showing it; where there is no terminal it is the first line of the\nstandard input. Every browser has to sign in with it from then on.",
		Example: "  limekeep password set\n  limekeep password set < a-file-that-nobody-else-can-read",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			password, err := askPassword(cmd)
			if err != nil {
				return err
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				if err := h.db.SetOwnerPassword(ctx, password); err != nil {
					return err
				}
				fmt.Fprintln(cmd.OutOrStdout(), "The password is set; every browser has to sign in with it.")
				return nil
			})
		},
	}
}

func newPasswordRemove(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "remove",
		Short: "Ask for no password any more: only this computer reaches the pages then",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				if err := h.db.RemoveOwnerPassword(ctx); err != nil {
					return err
				}
				fmt.Fprintln(cmd.OutOrStdout(), "No password is asked for any more. Every user and program of this computer can reach the pages; what other computers reach stays closed.")
				return nil
			})
		},
	}
}

func newPasswordSignOut(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "sign-out",
		Short: "Sign every browser out",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				n, err := h.db.EndAllSessions(ctx)
				if err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "signed out: %d\n", n)
				return nil
			})
		},
	}
}

// mostPasswordLine bounds the line that a password is read from.
const mostPasswordLine = 4 << 10

// askPassword asks for a new password: twice at a terminal, without showing it.
func askPassword(cmd *cobra.Command) (string, error) {
	in, ok := cmd.InOrStdin().(*os.File)
	if !ok || !term.IsTerminal(int(in.Fd())) {
		line, err := bufio.NewReader(io.LimitReader(cmd.InOrStdin(), mostPasswordLine)).ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return "", err
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	out := cmd.ErrOrStderr()
	ask := func(what string) (string, error) {
		fmt.Fprint(out, what)
		defer fmt.Fprintln(out)
		data, err := term.ReadPassword(int(in.Fd()))
		return string(data), err
	}
	first, err := ask("New password: ")
	if err != nil {
		return "", err
	}
	again, err := ask("Once more: ")
	if err != nil {
		return "", err
	}
	if first != again {
		return "", errors.New("the two were not the same; nothing was changed")
	}
	return first, nil
}
