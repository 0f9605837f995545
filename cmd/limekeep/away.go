package main

import "github.com/spf13/cobra"

func newAway(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "away", Short: "Times in which nobody draws anything"}
	cmd.AddCommand(newAwayAdd(a), newAwayEnd(a), newAwayList(a))
	return cmd
}
