package main

import (
	"github.com/spf13/cobra"
)

func newFleet(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "fleet",
		Short: "Many places: set them up from a table, list and compare them",
		Long: `For whoever has many places in one file of records: a chain, or a technician with customers.
Places belong to a group, the chain or the customer, and may share their water with others of a
district: see "limekeep water add --district".`,
		Args: cobra.NoArgs,
	}
	cmd.AddCommand(newFleetSetup(a), newFleetList(a), newFleetCompare(a))
	return cmd
}
