package main

import "github.com/spf13/cobra"

func newWater(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "water", Short: "Water tests"}
	cmd.AddCommand(newWaterAdd(a), newWaterTable(a), newWaterJudge(a), newWaterCompare(a), newWaterDistricts(a))
	return cmd
}
