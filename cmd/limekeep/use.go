package main

import "github.com/spf13/cobra"

func newUse(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "use", Short: "What was drawn and ground"}
	cmd.AddCommand(newUseShow(a), newUseAdd(a), newUseImport(a), newUseMeter(a), newUseBag(a), newUseGuests(a))
	return cmd
}
